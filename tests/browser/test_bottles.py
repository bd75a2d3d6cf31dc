"""What stands on the shelf: taken in, opened, frozen and left over, told at the bottle itself."""

from playwright.sync_api import expect

from cureclock.shop.models import Event
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed


def told(hand: Hand, kind: str) -> Event:
    event: Event = eventually(lambda: Event.objects.filter(kind=kind).first(), hand.phone)
    return event


def test_a_bottle_is_taken_in_opened_and_its_rest_told_by_eye_also_without_a_signal(
    shed: Shed,
) -> None:
    hand = Hand(shed.phone()).open(f"/bottle/{shed.cast.id('PVA-G')}")
    hand.kept_offline()
    hand.phone.get_by_text("Take one in").tap()
    hand.phone.get_by_label("What stands on its lid?").fill("blue lid")
    hand.phone.get_by_label("How much does it hold, g?").fill("500")
    hand.press("Take it in")
    taken = told(hand, "container_taken_in")
    assert (taken.body["name"], taken.body["holds_g"]) == ("blue lid", 500)
    expect(hand.phone.get_by_text("500 g of 500 g left.")).to_be_visible()
    hand.phone.context.set_offline(True)
    hand.press("Opened – blue lid")
    hand.phone.get_by_text("Froze, tried, how much is left").tap()
    hand.press("A quarter – blue lid")
    expect(hand.phone.get_by_text("125 g of 500 g left.")).to_be_visible()
    hand.press("It froze – blue lid")
    expect(hand.phone.get_by_text("try it on a scrap before it is used")).to_be_visible()
    assert not Event.objects.filter(kind="container_opened").exists()
    hand.phone.context.set_offline(False)
    assert told(hand, "container_left").body["left_g"] == 125
    hand.sent()
    hand.phone.goto("/bottles")
    expect(hand.phone.get_by_role("link", name="PVA-G")).to_contain_text("It froze")
