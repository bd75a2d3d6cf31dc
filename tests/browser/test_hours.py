"""Hours of the shop, home time and quiet hours are told on the phone, by whom they concern."""

from datetime import time

from playwright.sync_api import Page, expect

from cureclock.shop.models import Membership
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed


def choose(page: Page, *days: str) -> None:
    for day in days:
        page.locator("label.choice", has_text=day).tap(position={"x": 10, "y": 10})


def test_the_owner_says_when_the_shop_is_open_and_when_everybody_goes_home(shed: Shed) -> None:
    hand = Hand(shed.phone()).open("/settings")
    hand.follow("Hours and quiet")
    choose(hand.phone, "Sat", "Sun")
    hand.press("Free on these days")
    choose(hand.phone, "Tue")
    hand.phone.get_by_label("Opened at").fill("09:30")
    hand.phone.get_by_label("Left at").fill("16:00")
    hand.press("These hours")
    expect(hand.phone.get_by_text("Tue: 09:30 to 16:00")).to_be_visible()
    hand.phone.get_by_label("At", exact=True).fill("17:15")
    hand.press("Then we go home")

    def kept() -> bool:
        shed.cast.workshop.refresh_from_db()
        return shed.cast.workshop.home_time == time(17, 15)

    eventually(kept, hand.phone)
    hours = shed.cast.workshop.hours
    assert hours["1"] == ["09:30", "16:00"]
    assert not {"5", "6"} & set(hours)


def test_a_helper_says_their_own_quiet_hours_and_nothing_of_the_shop(shed: Shed) -> None:
    hand = Hand(shed.phone("helper")).open("/hours")
    expect(hand.button("These hours")).to_have_count(0)
    expect(hand.phone.locator(".container")).to_have_count(1)
    hand.phone.get_by_text("Quiet from …").tap()
    hand.phone.get_by_label("Quiet from").fill("20:30")
    hand.press("Quiet then")
    expect(hand.phone.get_by_text("Quiet from 20:30 until 07:00.")).to_be_visible()
    own = Membership.objects.filter(person=shed.cast.helper.person)
    quiet = eventually(lambda: own.filter(quiet_from=time(20, 30)).first(), hand.phone)
    assert quiet.quiet_until == time(7)
    hand.phone.reload()
    expect(hand.phone.get_by_text("Quiet from 20:30 until 07:00.")).to_be_visible()
