"""What an owner sees to on the phone: a backup, the door from outside, people, calendars."""

from pathlib import Path
from urllib.error import HTTPError
from urllib.request import urlopen
from zipfile import ZipFile

from playwright.sync_api import Page, expect
from pytest_django import Settings

from cureclock.exports.models import CalendarFeed
from cureclock.shop.models import OutsidePassword, Person
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed, ago
from tests.browser.test_screens import complaints

PASSWORD = "twelve wet clamps"


def tap(hand: Hand, name: str) -> None:
    """A button by its whole name: what opens an act and what does it begin alike."""
    hand.phone.get_by_role("button", name=name, exact=True).tap()


def a_backup_made_now_is_taken_away_whole(hand: Hand) -> None:
    tap(hand, "Make one now")
    with hand.phone.expect_download() as coming:
        hand.phone.get_by_role("link", name="Take away:").tap()
    with ZipFile(coming.value.path()) as archive:
        assert archive.testzip() is None


def the_outside_password_is_set_once_both_agree_and_taken_away_in_2_touches(
    hand: Hand, another: Page
) -> None:
    hand.phone.get_by_label("Name to sign in by").fill("Ash")
    hand.phone.get_by_label("Password", exact=True).fill(PASSWORD)
    hand.phone.get_by_label("The same once more").fill(PASSWORD[:-1])
    tap(hand, "Set it")
    expect(hand.phone.get_by_role("alert")).to_contain_text("The two passwords differ.")
    assert not OutsidePassword.objects.exists()
    hand.phone.get_by_label("The same once more").fill(PASSWORD)
    tap(hand, "Set it")
    expect(hand.phone.get_by_text("Not used yet.")).to_be_visible()
    assert OutsidePassword.objects.get().password.startswith("argon2")
    let_in_from_outside(another)
    hand.open("/outside")
    expect(hand.phone.get_by_text("Last used")).to_be_visible()
    tap(hand, "Take it away – ash")
    assert complaints(hand.phone, "outside") == []
    tap(hand, "Take it away – ash")
    expect(hand.phone.get_by_text("No password is set")).to_be_visible()
    assert not OutsidePassword.objects.exists()


def let_in_from_outside(phone: Page) -> None:
    """A phone that was never paired, by name and password alone."""
    phone.goto("/now")
    phone.get_by_text("I am the owner, outside").tap()
    phone.get_by_label("Name to sign in by").fill("Ash")
    phone.get_by_label("Password", exact=True).fill(PASSWORD[:-1])
    phone.get_by_role("button", name="Let me in").tap()
    expect(phone.get_by_text("name and password do not belong together")).to_be_visible()
    assert complaints(phone, "sign in") == []
    phone.get_by_label("Password", exact=True).fill(PASSWORD)
    phone.get_by_role("button", name="Let me in").tap()
    expect(phone.get_by_text("All sent")).to_be_visible()


def somebody_is_forgotten_only_once_their_name_is_typed(hand: Hand, helper: Person) -> None:
    forget = f"Forget – {helper.name}"
    tap(hand, forget)
    expect(hand.phone.get_by_text("The 1 thing they told stays")).to_be_visible()
    expect(hand.button(forget)).to_be_disabled()
    hand.phone.get_by_label("Type").fill(helper.name)
    assert complaints(hand.phone, "people") == []
    tap(hand, forget)
    expect(hand.phone.get_by_text(helper.name)).to_have_count(0)
    assert not Person.objects.filter(pk=helper.pk).exists()


def answers(url: str) -> int:
    try:
        with urlopen(url) as answer:
            return int(answer.status)
    except HTTPError as refused:
        return refused.code


def a_calendars_address_is_shown_once_made_anew_and_switched_off(hand: Hand) -> None:
    hand.phone.get_by_label("Which calendar is it for?").fill("kitchen")
    tap(hand, "Make the address")
    address = hand.phone.locator(".token").text_content() or ""
    assert answers(address) == 200
    tap(hand, "Make it anew – kitchen")
    assert complaints(hand.phone, "calendar") == []
    tap(hand, "Make it anew – kitchen")
    expect(hand.phone.locator(".token")).not_to_have_text(address)
    anew = hand.phone.locator(".token").text_content() or ""
    assert (answers(address), answers(anew)) == (404, 200)
    tap(hand, "Switch it off – kitchen")
    tap(hand, "Switch it off – kitchen")
    eventually(lambda: not CalendarFeed.objects.filter(revoked_at=None).exists(), hand.phone)
    assert answers(anew) == 404


def test_what_an_owner_sees_to_is_done_on_the_phone(
    shed: Shed, settings: Settings, tmp_path: Path
) -> None:
    """One phone for all four, which go by the rows of the settings."""
    settings.CURECLOCK_OUTSIDE, settings.CURECLOCK_VAR = True, tmp_path
    cast, helper = shed.cast, shed.cast.helper.person
    assert helper is not None
    cast.do("place_made", ago(1), by=cast.helper, place=cast.id("Loft"), name="Loft")
    hand = Hand(shed.phone()).open("/settings")
    hand.follow("Is it all kept?")
    a_backup_made_now_is_taken_away_whole(hand)
    hand.phone.go_back()
    hand.follow("Who gets in from outside?")
    the_outside_password_is_set_once_both_agree_and_taken_away_in_2_touches(hand, shed.phones())
    hand.open("/settings")
    hand.follow("What is kept of whom?")
    somebody_is_forgotten_only_once_their_name_is_typed(hand, helper)
    hand.phone.go_back()
    hand.follow("In my own calendar?")
    a_calendars_address_is_shown_once_made_anew_and_switched_off(hand)
