"""The frequent acts in as few touches as the trade allows, counted by the page from Now on."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from cureclock.reminders.clock import FakeClock
from cureclock.shop.models import Event, Reading
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed, ago
from tests.reminders.stage import Stage


def told(kind: str, **about: object) -> list[Event]:
    return list(Event.objects.filter(kind=kind, **about).order_by("happened_at"))


def one(hand: Hand, kind: str) -> Event:
    """The one event of this kind that the phone told."""
    (event,) = eventually(lambda: told(kind, phone__isnull=False), hand.phone)
    return event


def glued(shed: Shed, tags: Sequence[str] = ("L-01", "L-02"), hours: float = 6) -> Hand:
    shed.glued("First load", list(tags), hours)
    return Hand(shed.phone()).open()


def coated(shed: Shed, hours: float, label: str = "Varnish-W label") -> None:
    """Drums of two pieces coated, so many hours ago."""
    zones = tuple(shed.cast.id(f"{tag} drum") for tag in ("L-01", "L-02"))
    coat = shed.cast.id("Drums")
    shed.cast.do(
        "coat_began",
        ago(hours + 0.2),
        coat=coat,
        name="Drums",
        label=shed.cast.id(label),
        place=shed.cast.id("Shed"),
        zones=zones,
    )


def test_spread_begins_with_1_touch_and_pressure_goes_on_with_1(shed: Shed) -> None:
    hand = glued(shed)
    hand.press("Spread began")
    expect(hand.button("Pressure on")).to_be_visible()
    assert hand.touches == 1
    hand.press("Pressure on")
    assert hand.touches == 2
    assert one(hand, "spread_began").glue_up_id == one(hand, "pressure_on").glue_up_id


def test_same_glue_up_again_is_1_touch_and_takes_the_next_pieces(shed: Shed) -> None:
    hand = glued(shed)
    hand.press("Spread began")
    hand.press("Pressure on")
    hand.sent()
    hand.phone.evaluate("window.touches = 0")
    hand.press("Same again")
    expect(hand.button("Pressure on")).to_be_visible()
    assert hand.touches == 1
    first, second = eventually(_both, hand.phone)
    tags = [
        sorted(joint.piece.tag for joint in event.glue_up.joints.all()) for event in (first, second)
    ]
    assert tags == [["L-03", "L-04"], ["L-05", "L-06"]]


def _both() -> list[Event]:
    found = told("spread_began", phone__isnull=False)
    return found if len(found) == 2 else []


def test_clamps_off_a_whole_group_is_1_touch(shed: Shed) -> None:
    hand = glued(shed)
    hand.press("Off – First load")
    assert one(hand, "clamps_off").body == {"glue_up": str(shed.cast.id("First load"))}
    assert hand.touches == 1


def test_can_i_spin_this_is_answered_with_2_touches(shed: Shed) -> None:
    hand = glued(shed)
    hand.follow("Can I?")
    hand.follow("L-01")
    expect(hand.phone.get_by_text("Can I spin L-01?")).to_be_visible()
    expect(hand.phone.locator(".answer-word")).to_have_text("Not yet")
    assert hand.touches == 2


def test_a_coat_ends_with_1_touch_and_the_next_begins_with_1(shed: Shed) -> None:
    coated(shed, hours=0)
    hand = Hand(shed.phone()).open()
    hand.press("Coat ends – Drums")
    assert one(hand, "coat_ended").coat_id == shed.cast.id("Drums")
    assert hand.touches == 1


def test_the_next_coat_begins_with_1_touch(shed: Shed) -> None:
    coated(shed, hours=20)
    shed.cast.do("coat_ended", ago(20), coat=shed.cast.id("Drums"))
    hand = Hand(shed.phone()).open()
    hand.press("Coat begins – Drums")
    began = one(hand, "coat_began")
    assert began.body["zones"] == [str(shed.cast.id(f"{tag} drum")) for tag in ("L-01", "L-02")]
    assert hand.touches == 1


@pytest.mark.parametrize("result", ["Still tacky", "Ready"])
def test_tacky_or_ready_is_2_touches(shed: Shed, result: str) -> None:
    coated(shed, hours=1)
    shed.cast.do("coat_ended", ago(1), coat=shed.cast.id("Drums"))
    hand = Hand(shed.phone()).open()
    hand.follow("Drums")
    hand.press(result)
    assert one(hand, "checked").body["result"] == {"Still tacky": "tacky", "Ready": "ready"}[result]
    assert hand.touches == 2


def test_wiped_is_1_touch(shed: Shed) -> None:
    coated(shed, hours=0)
    shed.cast.do("coat_ended", ago(0), coat=shed.cast.id("Drums"))
    hand = Hand(shed.phone()).open()
    hand.press("Wiped – Drums")
    assert one(hand, "wiped").coat_id == shed.cast.id("Drums")
    assert hand.touches == 1


@pytest.mark.parametrize(
    ("word", "where"), [("Flat outside", "flat_outside"), ("Under water, lid on", "under_water")]
)
def test_where_the_rags_are_is_1_touch(shed: Shed, word: str, where: str) -> None:
    coated(shed, hours=1)
    shed.cast.do("coat_ended", ago(1), coat=shed.cast.id("Drums"))
    hand = Hand(shed.phone()).open()
    hand.press(f"{word} – Drums")
    assert one(hand, "rag_placed").body["where"] == where
    assert hand.touches == 1


def test_lowest_last_night_is_2_touches_in_the_morning(shed: Shed) -> None:
    shed.glued("First load", ["L-01"], 6)
    shed.morning()
    hand = Hand(shed.phone()).open()
    hand.follow("Lowest last night?")
    hand.press("18 °C")
    reading = eventually(lambda: Reading.objects.filter(floating=True).first(), hand.phone)
    assert (reading.temp_c, reading.mark) == (18, Reading.Mark.MINMAX)
    assert hand.touches == 2


def test_it_was_10_min_ago_is_1_touch_more_and_goes_by_fives(shed: Shed) -> None:
    hand = glued(shed)
    hand.press("It was earlier")
    hand.press("5 earlier")
    before = datetime.now(UTC)
    hand.press("Off – First load")
    assert hand.touches == 3
    early = before - one(hand, "clamps_off").happened_at
    assert timedelta(minutes=14, seconds=50) < early < timedelta(minutes=15, seconds=10)


def test_undo_is_1_touch_and_what_was_told_keeps_its_line(shed: Shed) -> None:
    hand = glued(shed)
    hand.press("Off – First load")
    hand.sent()
    hand.phone.evaluate("window.touches = 0")
    hand.press("Undo")
    assert hand.touches == 1
    assert one(hand, "struck_out").strikes == one(hand, "clamps_off").id
    expect(hand.button("Off – First load")).to_be_visible()


def told_to_both(shed: Shed) -> None:
    """Clamps may come off since a while, and everybody of the shop was told."""
    shed.cast.workshop.hours = {str(day): ["00:00", "23:59"] for day in range(7)}
    shed.cast.workshop.save(update_fields=["hours"])
    shed.glued("First load", ["L-01", "L-02"], 0.8)
    stage = Stage(shed.cast, FakeClock(ago(0.05)))
    for teller in (shed.cast.owner, shed.cast.helper):
        stage.way(teller)
    stage.tick()
    stage.tick(ago(0))


@pytest.mark.parametrize("says", ["I’ve got it", "Not me"])
def test_what_was_told_is_answered_with_1_touch_and_others_see_who_has_it(
    shed: Shed, says: str
) -> None:
    told_to_both(shed)
    hand = Hand(shed.phone()).open()
    hand.press(f"{says} – ")
    answer = one(hand, "alert_answered")
    word = {"I’ve got it": "mine", "Not me": "not_me"}[says]
    assert (answer.body["says"], hand.touches) == (word, 1)
    expect(hand.button(f"{says} – ")).to_have_count(0)
    if says == "I’ve got it":
        other = Hand(shed.phone("helper")).open()
        expect(other.phone.get_by_text("has it:")).to_be_visible()
        expect(other.button(f"{says} – ")).to_have_count(0)


def test_what_another_phone_told_is_undone_with_1_touch_too(shed: Shed) -> None:
    hand = glued(shed)
    hand.press("Off – First load")
    assert one(hand, "clamps_off")
    helper = Hand(shed.phone("helper")).open()
    helper.press("Undo – Clamps off")
    assert helper.touches == 1
    assert one(helper, "struck_out").strikes == one(helper, "clamps_off").id
    expect(helper.button("Off – First load")).to_be_visible()
