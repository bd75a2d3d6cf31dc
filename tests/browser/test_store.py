"""The wood store: two lots held against each other before anything is glued of them."""

from playwright.sync_api import expect

from tests.browser.hand import Hand
from tests.browser.shed import Shed, ago


def test_two_lots_too_far_apart_are_told_and_dry_anew_once_metered(shed: Shed) -> None:
    cast = shed.cast
    for lot, mc_pct in (("ash", 11.0), ("poplar", 22.0)):
        cast.do("lot_taken_in", ago(30), lot=cast.id(lot), name=lot)
        cast.do("metered", ago(29), lot=cast.id(lot), mc_pct=mc_pct)
    hand = Hand(shed.phone()).open("/store")
    page = hand.phone
    expect(page.get_by_text("Choose two lots at least.")).to_be_visible()
    for lot in ("ash", "poplar"):
        page.get_by_role("checkbox", name=lot).check()
    expect(page.get_by_role("heading", name="Do not glue these")).to_be_visible()
    expect(page.get_by_text("poplar at 22.0 % against 11.0 % next to it")).to_be_visible()
    poplar = page.locator("article", has_text="poplar")
    poplar.get_by_text("Meter or weigh it").tap()
    poplar.get_by_label("Metered, face %").fill("11.5")
    poplar.get_by_role("button", name="Keep").tap()
    expect(page.get_by_role("heading", name="They go together")).to_be_visible()
