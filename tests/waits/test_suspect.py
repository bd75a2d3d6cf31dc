"""Suspicion: found where it happened, never healed by waiting, cleared only by a name."""

from datetime import timedelta

import pytest

from cureclock.core.lathe import Word
from cureclock.core.units import HOUR_US
from cureclock.shop.models import Event, Piece, Reading
from cureclock.waits.lathe import spin_answer
from cureclock.waits.models import Suspicion
from cureclock.waits.rebuild import differences
from tests.cast import PVA_G, Cast, when

pytestmark = pytest.mark.django_db


def evening() -> Cast:
    """Pressed at 18:10 in a shed read at 12.7 degC then; cooling to be learned."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-17")
    cast.read("Wed 16:00", 17.0)
    cast.spread("G11", ["L-17"], "Wed 18:02")
    cast.press("G11", "Wed 18:10")
    cast.do("joints_declared", "Wed 18:11", piece=cast.id("L-17"))
    return cast


def only() -> Suspicion:
    return Suspicion.objects.get()


def test_suspect_at_the_true_crossing_with_what_was_banked() -> None:
    cast = evening()
    cast.read("Wed 20:00", 9.0)
    # By pencil: 12.67 to 10 degC in 1 h 20, mean rate 0.547: 0.73 of 2.0 label-hours.
    assert abs(only().at - when("Wed 19:30")) < timedelta(seconds=5)
    assert only().banked_us is not None
    assert only().banked_us / HOUR_US == pytest.approx(0.73, abs=0.005)
    assert only().cause == "cold"


def test_learned_next_morning_from_the_lowest_reading() -> None:
    cast = evening()
    cast.read("Wed 18:10", 12.7)
    assert not Suspicion.objects.exists()
    cast.do("lowest_last_night", "Thu 07:55", place=cast.id("Shed"), temp_c=3.0)
    assert only().cause == "cold"
    assert differences(cast.workshop, when("Thu 07:55")) == []


def test_waiting_never_heals() -> None:
    cast = evening()
    cast.read("Wed 20:00", 9.0)
    at = when("Thu 00:00")
    while at < when("+20 00:00"):
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=20.0)
        at += timedelta(hours=4)
    answer = spin_answer(Piece.objects.get(), when("+20 00:00"))
    assert (answer.word, answer.reasons[0].key) == (Word.NO, "suspect_cold")


def test_a_witness_broken_in_wood_clears_with_a_name_and_one_broken_in_glue_does_not() -> None:
    cast = evening()
    cast.read("Wed 20:00", 9.0)
    cast.do("witness", "Thu 10:00", glue_up=cast.id("G11"), torn_tenths=1)
    assert only().cleared_by is None
    done = cast.do("witness", "Thu 11:00", glue_up=cast.id("G11"), torn_tenths=9)
    assert only().cleared_by == done.id
    assert Event.objects.get(id=done.id).person == cast.owner.person


def test_a_witness_from_before_the_cold_clears_nothing() -> None:
    cast = evening()
    cast.do("witness", "Wed 19:00", glue_up=cast.id("G11"), torn_tenths=10)
    cast.read("Wed 20:00", 9.0)
    assert only().cleared_by is None


def test_a_warmer_correction_withdraws_it() -> None:
    cast = evening()
    cold = cast.read("Wed 20:00", 9.0)
    cast.do("struck_out", "Wed 20:05", target=cold.id, reason="read the wrong dial")
    assert Reading.objects.get(id=cold.id).struck_by is not None
    cast.read("Wed 20:00", 14.0, arrived="Wed 20:06")
    assert not Suspicion.objects.exists()


def test_cold_after_keep_warm_only_slows() -> None:
    cast = evening()
    cast.read("Wed 20:00", 15.0)
    cast.read("Thu 00:00", 15.0)
    cast.read("Thu 04:00", 2.0)
    assert not Suspicion.objects.exists()


def test_a_start_in_the_cold_is_a_crossing() -> None:
    cast = evening()
    cast.read("Wed 20:00", 8.0)
    cast.piece("L-18")
    cast.spread("G12", ["L-18"], "Wed 20:30")
    cast.press("G12", "Wed 20:35")
    cast.read("Wed 21:00", 8.0)
    late = Suspicion.objects.get(wait__glue_up=cast.id("G12"))
    assert (late.at, late.banked_us) == (when("Wed 20:35"), 0)


def test_a_move_into_cold_is_a_crossing() -> None:
    cast = evening()
    cast.place("Yard")
    cast.read("Wed 16:00", 2.0, place="Yard", arrived="Wed 18:20")
    cast.do("moved_place", "Wed 18:30", glue_up=cast.id("G11"), place=cast.id("Yard"))
    cast.read("Wed 19:00", 2.0, place="Yard")
    assert only().at == when("Wed 18:30")


def test_exactly_the_floor_is_not_below_it() -> None:
    cast = evening()
    cast.read("Wed 19:30", 10.0)
    cast.read("Thu 08:00", 10.0)
    assert not Suspicion.objects.exists()


def test_clamps_off_before_their_gate() -> None:
    cast = evening()
    cast.read("Wed 18:10", 20.0)
    cast.do("clamps_off", "Wed 18:30", glue_up=cast.id("G11"))
    assert only().cause == "off_early"
    cast.do("clamps_off", "Wed 18:30", glue_up=cast.id("G11"), ident=cast.id("again"))
    assert Suspicion.objects.count() == 1


def unclamped(off: str) -> Cast:
    """A cold morning, read at eight; the sun is up, and the next reading only comes at noon."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("R-01")
    cast.read("Tue 08:00", 11.0)
    cast.spread("G5", ["R-01"], "Tue 09:26")
    cast.press("G5", "Tue 09:30")
    cast.do("clamps_off", off, glue_up=cast.id("G5"))
    return cast


def test_clamps_off_on_assumed_air_are_in_doubt_only_once_a_reading_says_so() -> None:
    """At 11 degC their gate would be at 10:54; the air that was, or was not, decides at noon."""
    warm = unclamped("Tue 10:40")
    assert not Suspicion.objects.exists()
    warm.read("Tue 12:00", 18.0)
    assert not Suspicion.objects.exists()
    cold = unclamped("Tue 10:40")
    assert not Suspicion.objects.exists()
    cold.read("Tue 12:00", 11.0)
    found = only()
    assert (found.cause, found.at) == ("off_early", when("Tue 10:40"))
    assert found.banked_us is not None
    assert found.banked_us < 0.75 * HOUR_US
    assert differences(cold.workshop, when("Tue 12:00")) == []


def test_clamps_off_too_soon_for_any_air_are_in_doubt_at_once() -> None:
    """45 label-minutes take 33:45 at the least, on the clock that is never faster than 1/0.75."""
    unclamped("Tue 10:04")
    assert not Suspicion.objects.exists()
    unclamped("Tue 10:03")
    assert only().cause == "off_early"


def test_pressed_after_the_assembly_time() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    cast.read("Mon 08:00", 20.0)
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:13")  # the label allows 12 minutes
    assert only().cause == "pressed_late"


def test_heat_shortens_the_assembly_time_and_cold_never_lengthens_it() -> None:
    for temp_c, minute, suspect in (
        (28.0, 8, True),
        (28.0, 6, False),
        (5.0, 11, False),
        (5.0, 13, True),
    ):
        cast = Cast.open()
        cast.place()
        cast.material(values={**PVA_G, "keep_warm": 2})
        cast.piece("L-01")
        cast.read("Mon 08:00", temp_c)
        cast.spread("G1", ["L-01"], "Mon 08:00")
        cast.press("G1", f"Mon 08:{minute:02d}")
        late = Suspicion.objects.filter(wait__workshop=cast.workshop, cause="pressed_late")
        assert late.exists() == suspect, (temp_c, minute)
