"""What stands on the shelf: taken in, opened, frozen and left over, told at the bottle itself."""

from playwright.sync_api import expect

from cureclock.shop.models import Event
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed, ago


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


def test_a_start_takes_from_a_bottle_that_is_open_and_says_when_the_pot_was_mixed(
    shed: Shed,
) -> None:
    cast = shed.cast
    shed.label("Resin-M", "epoxy_slow", {"pot_life": 0.5})
    for lid, days in (("red lid", 40), ("blue lid", 2)):
        bottle = {"container": cast.id(lid), "material": cast.id("Resin-M"), "name": lid}
        cast.do("container_taken_in", ago(24 * days + 1), **bottle, holds_g=500)
        cast.do("container_opened", ago(24 * days), container=cast.id(lid))
    hand = Hand(shed.phone()).open("/start/glue-up")
    hand.phone.get_by_role("radio", name="red lid, open for 40 days").tap()
    expect(hand.phone.get_by_text("500 g of 500 g left.")).to_be_visible()
    expect(hand.phone.get_by_text("Once mixed it keeps 30 min in the pot")).to_be_visible()
    hand.phone.get_by_role("radio", name="10 min ago").tap()
    hand.phone.get_by_role("checkbox", name="L-01").tap()
    hand.press("Spread began")
    mixed = told(hand, "mixed")
    spread = told(hand, "spread_began")
    assert spread.body["label"] == str(cast.id("Resin-M label"))
    early = (spread.happened_at - mixed.happened_at).total_seconds()
    assert 600 <= early < 900
