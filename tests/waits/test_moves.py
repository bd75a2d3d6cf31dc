"""A move re-places what is still needed on the new place's clock, whatever is learned later."""

from datetime import timedelta

import pytest

from cureclock.waits.ages import Ages
from cureclock.waits.figures import figures_of
from cureclock.waits.models import Clock, Gate, Leg
from cureclock.waits.rebuild import differences, rebuild
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


def moved() -> Cast:
    """Pressed at noon in a shed at 10 degC, carried at 16:00 to a box at 20 degC."""
    cast = Cast.open()
    for name in ("Shed", "Box"):
        cast.place(name)
    cast.material()
    cast.piece("L-01")
    cast.read("Mon 12:00", 10.0)
    cast.read("Mon 12:00", 20.0, place="Box")
    cast.spread("G1", ["L-01"], "Mon 11:55")
    cast.press("G1", "Mon 12:00")
    cast.do("moved_place", "Mon 16:00", glue_up=cast.id("G1"), place=cast.id("Box"))
    return cast


def heavy_opens(at: str):  # type: ignore[no-untyped-def]
    gates = list(Gate.objects.with_clocks().filter(kind="heavy"))
    (found,) = figures_of(gates, Ages(when("Mon 11:00"), when(at))).values()
    return found.bare


def test_what_was_banked_before_the_move_counts() -> None:
    moved()
    # 4 h at 0.5 banked in the shed; 10 of 12 label-hours are left for the box at 1.
    assert abs(heavy_opens("Mon 16:00") - when("Tue 02:00")) < MINUTE


def test_a_later_reading_of_the_old_place_moves_the_gate_on_the_new_one() -> None:
    cast = moved()
    cast.read("Mon 16:00", 0.0, arrived="Mon 17:00")
    # 10 to 0 degC over 4 h: mean rate (0.5 - 0.25)/ln 2 = 0.3607, so 1.443 are banked.
    expected = when("Mon 16:00") + timedelta(hours=12 - 1.4427)
    assert abs(heavy_opens("Mon 17:00") - expected) < MINUTE
    assert differences(cast.workshop, when("Mon 17:00")) == []


def test_the_legs_tell_where_it_stood() -> None:
    moved()
    told = list(Leg.objects.order_by("began_at").values_list("place__name", "ended_at"))
    assert told == [("Shed", when("Mon 16:00")), ("Box", None)]


def test_a_move_between_spread_and_pressure_is_a_leg_of_its_own() -> None:
    cast = Cast.open()
    for name in ("Shed", "Box"):
        cast.place(name)
    cast.material()
    cast.piece("L-01")
    cast.spread("G1", ["L-01"], "Mon 11:55")
    cast.do("moved_place", "Mon 11:57", glue_up=cast.id("G1"), place=cast.id("Box"))
    cast.press("G1", "Mon 12:00")
    told = list(Leg.objects.order_by("began_at").values_list("place__name", "ended_at"))
    assert told == [("Shed", when("Mon 11:57")), ("Box", None)]


def nexts() -> list[tuple[object, ...]]:
    """What is next on each clock."""
    rows = Clock.objects.order_by("place__name", "response_hash", "stance")
    return list(rows.values_list("place__name", "stance", "next_due_at"))


def test_a_late_reading_of_a_place_moves_what_is_next_where_its_pieces_went() -> None:
    cast = Cast.open()
    cast.place()
    cast.place("Box")
    cast.material()
    cast.read("Mon 06:00", 12.0)
    cast.read("Mon 06:00", 18.0, place="Box")
    cast.piece("P")
    cast.spread("G", ["P"], "Mon 07:00")
    cast.press("G", "Mon 07:05")
    cast.read("Mon 12:00", 12.0)
    cast.do("moved_place", "Mon 12:30", place=cast.id("Box"), glue_up=cast.id("G"))
    cast.read("Mon 13:00", 18.0, place="Box")
    before = nexts()
    cast.read("Mon 09:00", 19.0, arrived="Mon 14:00")
    told = nexts()
    assert told != before
    rebuild(cast.workshop, when("Mon 14:00"))
    assert told == nexts()
