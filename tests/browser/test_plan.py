"""A route written on the phone says how thick its wood is, and the plan says what that changes."""

from playwright.sync_api import expect

from cureclock.actions.pieces_made import PieceSaid
from cureclock.planner.resolve import claim, resolve
from cureclock.shop.models import Event
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed, ago
from tests.planner.batch import QUICK


def test_a_steps_thickness_is_taken_and_the_plan_says_that_its_wood_lags(shed: Shed) -> None:
    shed.morning()
    cast = shed.cast
    pieces = (PieceSaid(cast.id("B-1"), "B-1"),)
    batch = {"batch": cast.id("Bowls"), "batch_name": "Bowls"}
    cast.do("pieces_made", ago(40), pieces=pieces, **batch)
    hand = Hand(shed.phone()).open("/plan/route")
    thickness = hand.phone.get_by_label("How thick the wood is")
    expect(thickness).to_have_count(0)  # nothing glued yet
    hand.phone.locator("label.choice", has_text="Bowls").tap()
    hand.phone.get_by_label("What is done").fill("glue")
    hand.phone.locator("label.choice", has_text="PVA-G").tap()
    thickness.fill("999")
    hand.press("Add this step")
    expect(hand.phone.get_by_role("alert")).to_contain_text(
        "Type a thickness from 0.5 mm to 400 mm"
    )
    thickness.fill("60")
    hand.press("Add this step")
    hand.phone.locator("label.choice", has_text="heavy").first.tap()
    hand.phone.get_by_label("What is done").fill("turn")
    hand.press("Add this step")
    hand.press("Keep this route")
    told = eventually(Event.objects.filter(kind="route_told").first, hand.phone)
    glue, turn = told.body["steps"]
    assert (glue["thickness_mm"], turn["thickness_mm"]) == (60, None)
    eventually(Event.objects.filter(kind="batch_routed").first, hand.phone)
    assert claim(cast.workshop.id, ago(0))
    resolve(cast.workshop, ago(0), QUICK)
    hand.open("/plan")
    expect(hand.phone.get_by_text("behind the air, and is counted so.").first).to_be_visible()
