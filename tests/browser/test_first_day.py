"""From a link to the first running wait, with nothing to type and in under two minutes."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

from playwright.sync_api import Page, expect

from cureclock.actions.pairing_offered import pairing_offered
from cureclock.shop.models import Event, GlueUp, LabelVersion, Phone, Place, Reading
from tests.browser.hand import Hand
from tests.browser.shed import Shed, ago
from tests.cast import Cast


def link(cast: Cast) -> str:
    assert cast.owner.person is not None
    token, _ = pairing_offered(
        by=cast.owner, person_name=cast.owner.person.name, role="owner", at=ago(0)
    )
    return f"/pair/{token}"


def test_a_new_maker_comes_to_the_first_running_wait_without_typing(
    phones: Callable[[], Page], live_server: Any
) -> None:
    cast, phone = Cast.open(), phones()
    hand = Hand(phone)
    began = datetime.now(UTC)
    phone.goto(link(cast))
    hand.press("Pair it")
    hand.press("Shed")
    hand.press("14 °C")
    hand.press("PVA, interior")
    hand.press("4 – Spread began")
    expect(hand.phone.get_by_role("timer")).to_contain_text(re.compile(r"\d:\d\d"))
    hand.press("Pressure on")
    hand.follow("Open A-1–4")
    expect(hand.phone.get_by_role("img", name="Night strip of A-1–4")).to_be_visible()
    hand.sent()
    assert datetime.now(UTC) - began < timedelta(minutes=2)
    assert hand.touches == 7
    assert (Place.objects.get().name, Reading.objects.get().temp_c) == ("Shed", 14)
    assert LabelVersion.objects.get().read_by is None  # a kind was chosen, no label was read
    pieces = {joint.piece.tag for joint in GlueUp.objects.get().joints.all()}
    assert pieces == {"A-1", "A-2", "A-3", "A-4"}
    assert Event.objects.filter(kind="pressure_on").count() == 1
    assert Phone.objects.get().person == cast.owner.person


def test_a_link_that_was_used_says_so_and_asks_for_another(shed: Shed) -> None:
    address = link(shed.cast)
    for page in (shed.phones(), shed.phones()):
        page.goto(address)
        page.get_by_role("button", name="Pair it").tap()
    expect(page.get_by_text("The link did not work")).to_be_visible()


def test_a_stranger_is_told_how_to_pair_and_shown_nothing(shed: Shed) -> None:
    shed.glued("First load", ["L-01"], 6)
    page = shed.phones()
    page.goto("/now")
    expect(page.get_by_role("heading", name="Not paired")).to_be_visible()
    expect(page.get_by_text("First load")).to_have_count(0)


def test_a_viewer_sees_everything_and_has_nothing_to_tell_with(shed: Shed) -> None:
    shed.glued("First load", ["L-01"], 6)
    page = shed.phone("viewer")
    for address in ("/now", f"/wait/{shed.cast.id('First load')}", "/air"):
        page.goto(address)
        expect(page.get_by_text("All sent")).to_be_visible()
        assert page.locator(".tape").count() == 0, address
    expect(page.get_by_text("Shed").first).to_be_visible()


def test_an_owner_pairs_another_phone_by_a_picture_and_unpairs_it(shed: Shed) -> None:
    page = shed.phone()
    page.goto("/settings")
    page.get_by_label("Whose is it?").fill("Anneke")
    page.get_by_role("button", name="Make the link").tap()
    address = page.get_by_role("img").get_attribute("alt")
    assert address is not None
    other = shed.phones()
    other.goto(address)
    other.get_by_label("What this phone is called").fill("Old tablet")
    other.get_by_role("button", name="Pair it").tap()
    expect(other.get_by_text("All sent")).to_be_visible()
    page.reload()
    page.get_by_role("button", name="Unpair – Old tablet").tap()
    expect(page.get_by_text("“Old tablet” opens nothing here")).to_be_visible()
    page.get_by_role("button", name="Unpair – Old tablet").tap()
    expect(page.get_by_role("button", name="Unpair – Old tablet")).to_have_count(0)
    other.reload()
    expect(other.get_by_text("This phone is not paired")).to_be_visible()


def test_the_first_phone_names_the_shop_and_its_zone_and_a_code_after_a_hash_works(
    phones: Callable[[], Page], live_server: Any
) -> None:
    cast, phone = Cast.open("Unnamed"), phones()
    phone.goto(link(cast).replace("/pair/", "/pair#"))
    phone.get_by_text("The first phone of a new workshop?").tap()
    phone.get_by_label("What is the workshop called?").fill("Slipway shed")
    phone.get_by_role("button", name="Pair it").tap()
    expect(phone.get_by_text("Where does your work stand?")).to_be_visible()
    cast.workshop.refresh_from_db()
    assert cast.workshop.name == "Slipway shed"
    assert cast.workshop.zone == phone.evaluate("Intl.DateTimeFormat().resolvedOptions().timeZone")
