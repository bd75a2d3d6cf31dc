"""What the expected air will do, told before it does: the trade's own worked nights."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from cureclock.core.ladder import ladder
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import LabelVersion
from cureclock.waits.current import current
from cureclock.waits.foretold import Foresight, StartForetold, starts_foretold
from cureclock.waits.groups import group_shown, groups_of
from cureclock.waits.shown import GroupShown
from tests.cast import PVA_G, Cast, when

pytestmark = pytest.mark.django_db


def cooling_shed(**label: Any) -> Cast:
    """Heater off at 18:00 at 18 degC, outside 2 degC, the gap halves every 4 h."""
    cast = Cast.open()
    cast.place()
    cast.material(values={**PVA_G, **label})
    cast.read("Mon 17:00", 18.0)
    cast.read("Mon 18:00", 18.0)
    expect_cooling(cast, "Mon 18:00", 2.0)
    return cast


def expect_cooling(cast: Cast, at: str, outside: float) -> None:
    said = {"outside_low_c": outside, "half_gap_h": 4.0, "heater_off": True}
    cast.do("air_expected", at, place=cast.id("Shed"), **said)


def starts(cast: Cast, at: str, label: str = "PVA-G label") -> tuple[StartForetold, ...]:
    found = current(cast.workshop, when(at))
    version = LabelVersion.objects.get(id=cast.id(label)).label
    place = found.places[cast.id("Shed")]
    foresight = Foresight(found.ages)
    return starts_foretold(foresight, place, version, ladder(version), instant_us(when(at)))


def near(us: int | None, at: str, minutes: float = 2) -> bool:
    return us is not None and abs(moment_of(us) - when(at)) <= timedelta(minutes=minutes)


def shown(cast: Cast, at: str) -> GroupShown:
    found = current(cast.workshop, when(at))
    (group,) = groups_of(found)
    return group_shown(found, Foresight(found.ages), group)


def test_two_label_hours_above_ten_degrees_must_be_tight_by_1843() -> None:
    (told,) = starts(cooling_shed(keep_warm=2), "Mon 18:00")
    assert told.cause == "cold"
    assert near(told.at_us, "Mon 22:00")
    assert near(told.latest_good_us, "Mon 18:43")


def test_with_three_it_was_too_late_already_at_six() -> None:
    (told,) = starts(cooling_shed(keep_warm=3), "Mon 18:00")
    assert near(told.at_us, "Mon 22:00")
    assert told.latest_good_us is None


def test_a_night_that_stays_warm_foretells_nothing() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.read("Mon 18:00", 18.0)
    assert starts(cast, "Mon 18:00") == ()


def test_a_place_that_is_too_cold_now_has_no_good_time_left() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.read("Mon 18:00", 8.0)
    (told,) = starts(cast, "Mon 18:00")
    assert told.shown.at == when("Mon 18:00")
    assert told.latest_good_us is None


def late_glue_up() -> Cast:
    """Pressed at 18:10 at 12.7 degC, and the shed falls 2 degC an hour (typed as expected)."""
    from cureclock.actions.air_expected import DayPoint

    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-17")
    cast.read("Wed 18:10", 12.7)
    day = (DayPoint("18:10", 12.7), DayPoint("23:10", 2.7))
    cast.do("air_expected", "Wed 18:10", place=cast.id("Shed"), day=day, half_gap_h=1 / 6)
    cast.spread("G11", ["L-17"], "Wed 18:10")
    cast.press("G11", "Wed 18:10")
    return cast


def test_a_film_that_will_be_too_cold_is_foretold_while_there_is_time() -> None:
    (told,) = shown(late_glue_up(), "Wed 18:11").foretold
    assert told.cause == "cold"
    assert abs(told.at - when("Wed 19:30")) <= timedelta(minutes=2)
    assert told.latest_good == told.at


def test_once_it_is_known_to_be_cold_it_is_suspect_and_no_longer_foretold() -> None:
    cast = late_glue_up()
    cast.read("Wed 20:10", 8.7)
    told = shown(cast, "Wed 20:11")
    assert told.foretold == ()
    assert [doubt.cause for doubt in told.suspect] == ["cold"]
    assert told.suspect[0].pieces == ("L-17",)
    assert told.suspect[0].need_h == 2
    assert told.suspect[0].banked_h == pytest.approx(0.73, abs=0.02)


def test_a_film_that_is_formed_before_the_cold_is_not_foretold() -> None:
    cast = cooling_shed()
    cast.piece("L-01")
    cast.spread("G1", ["L-01"], "Mon 17:30")
    cast.press("G1", "Mon 17:35")
    assert shown(cast, "Mon 18:01").foretold == ()


def sleeping() -> Cast:
    cast = cooling_shed()
    cast.material("Urea", "urea_powder", {})
    cast.piece("L-01")
    cast.spread("G4", ["L-01"], "Mon 17:50", label="Urea label")
    cast.press("G4", "Mon 18:00")
    return cast


def test_what_will_fall_asleep_is_told_from_when() -> None:
    (told,) = shown(sleeping(), "Mon 18:01").foretold
    assert told.cause == "asleep"
    assert when("Mon 18:00") <= told.at <= when("Mon 18:10")
    assert told.latest_good is None


def test_what_is_reached_before_the_sleep_is_not_asleep() -> None:
    cast = Cast.open()
    cast.place()
    values = {"clamps_off": 1, "light": None, "heavy": None, "spin": None, "service": None}
    values |= {"clamps_off_stressed": None, "sand_glue_line": None, "wet_use": None}
    cast.material("Urea", "urea_powder", {**values, "final_surfacing": None})
    cast.piece("L-01")
    cast.read("Mon 10:00", 24.0)
    cast.spread("G4", ["L-01"], "Mon 10:00", label="Urea label")
    cast.press("G4", "Mon 10:05")
    cast.read("Mon 18:00", 20.0)
    expect_cooling(cast, "Mon 18:00", 2.0)
    assert shown(cast, "Mon 18:05").foretold == ()


def test_the_latest_good_start_of_what_sleeps_leaves_time_for_its_clamps() -> None:
    cast = cooling_shed()
    cast.material("Urea", "urea_powder", {"clamps_off": 1})
    told = [one for one in starts(cast, "Mon 16:30", "Urea label") if one.cause == "asleep"]
    assert len(told) == 1
    asleep_at: datetime = moment_of(told[0].at_us)
    assert told[0].latest_good_us is not None
    spare = asleep_at - moment_of(told[0].latest_good_us)
    assert timedelta(hours=1) <= spare <= timedelta(hours=1.4)


def test_a_later_start_is_spoiled_where_an_earlier_one_is_not() -> None:
    import numpy as np

    from cureclock.waits.foretold import spoiled

    cast = cooling_shed()
    found = current(cast.workshop, when("Mon 18:00"))
    label = LabelVersion.objects.get(id=cast.id("PVA-G label")).label
    keep_warm = next(gate for gate in ladder(label) if gate.kind.key == "keep_warm")
    at = np.array(
        [instant_us(when(f"Mon {clock}")) for clock in ("18:00", "18:30", "19:00", "23:00")]
    )
    bad = spoiled(Foresight(found.ages), found.places[cast.id("Shed")], label, keep_warm, at)
    assert bad == [False, False, True, True]
