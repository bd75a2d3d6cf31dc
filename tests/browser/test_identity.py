"""Which is which: a number moved at the tap, two pieces taken for each other, pictures, a whole batch."""

import io

from PIL import Image
from playwright.sync_api import expect

from cureclock.shop.models import Event, Photo
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed, ago


def told(hand: Hand, kind: str) -> Event:
    event: Event = eventually(lambda: Event.objects.filter(kind=kind).first(), hand.phone)
    return event


def test_where_the_number_went_is_asked_at_the_tap_and_told_of_the_piece(shed: Shed) -> None:
    held = {"hold": shed.cast.id("hold"), "piece": shed.cast.id("L-01")}
    shed.cast.do("hold_on", ago(5), **held, what="Waste block")
    hand = Hand(shed.phone()).open(f"/piece/{shed.cast.id('L-01')}")
    hand.press("Hold off – Waste block")
    hand.phone.get_by_text("Number moved?").tap()
    hand.press("Hook tag")
    moved = told(hand, "number_moved")
    assert moved.body == {"pieces": [str(shed.cast.id("L-01"))], "where": "hook_tag"}
    expect(hand.phone.get_by_text("Number moved?")).to_have_count(0)


def test_two_pieces_taken_for_each_other_change_their_records_from_a_time_on(shed: Shed) -> None:
    hand = Hand(shed.phone()).open(f"/piece/{shed.cast.id('L-01')}")
    hand.phone.get_by_text("Taken for another one?").tap()
    for choice in ("L-04", "3 h 00 ago"):
        hand.phone.locator("label.choice", has_text=choice).tap(position={"x": 10, "y": 10})
    hand.press("Swap their records")
    expect(hand.phone.get_by_text("L-01 and L-04: told.")).to_be_visible()
    swapped = told(hand, "records_swapped")
    first, second = (str(shed.cast.id(tag)) for tag in ("L-01", "L-04"))
    assert (swapped.body["first"], swapped.body["second"]) == (first, second)


def test_a_picture_taken_without_a_signal_goes_to_the_glue_up_once_there_is_one(
    shed: Shed,
) -> None:
    shed.glued("First load", ["L-01", "L-02"], 6)
    hand = Hand(shed.phone()).open(f"/wait/{shed.cast.id('First load')}")
    hand.kept_offline()
    hand.press("Pictures")
    expect(hand.phone.get_by_text("Take a picture")).to_be_visible()
    hand.phone.context.set_offline(True)
    crack = io.BytesIO()
    Image.new("RGB", (3000, 2000), "brown").save(crack, "JPEG")
    file = {"name": "crack.jpg", "mimeType": "image/jpeg", "buffer": crack.getvalue()}
    hand.phone.locator("input[type=file]").set_input_files([file])  # type: ignore[list-item]
    expect(hand.phone.get_by_text("1 kept on this phone")).to_be_visible()
    assert not Photo.objects.exists()
    hand.phone.context.set_offline(False)
    photo = eventually(Photo.objects.first, hand.phone, patience_ms=15_000)
    assert (photo.width, photo.height, photo.event.kind) == (1600, 1067, "pressure_on")
    hand.sent()
    hand.phone.reload()
    hand.press("Pictures")
    expect(hand.phone.get_by_role("img", name="Pressure on")).to_be_visible()


def test_one_question_to_a_whole_batch_says_once_what_is_alike(shed: Shed) -> None:
    from cureclock.actions.pieces_made import PieceSaid

    tags = ["B-1", "B-2", "B-3"]
    pieces = tuple(PieceSaid(shed.cast.id(tag), tag) for tag in tags)
    batch = shed.cast.id("Bowls")
    shed.cast.do("pieces_made", ago(40), pieces=pieces, batch=batch, batch_name="Bowls")
    shed.glued("Bowl load", ["B-1", "B-2"], 6)
    hand = Hand(shed.phone()).open("/can")
    hand.follow("All of Bowls")
    parts = hand.phone.locator(".answer-part")
    expect(parts).to_have_count(2)
    expect(parts.filter(has_text="Not yet")).to_contain_text("B-1, B-2")
    expect(parts.filter(has_text="Unknown")).to_contain_text("B-3")
    assert hand.touches == 1
