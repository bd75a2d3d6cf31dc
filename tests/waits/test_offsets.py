"""The table for a phone without a signal: what it promises is what the server then says."""

from datetime import timedelta
from typing import Any

import pytest

from cureclock.shop.models import LabelVersion
from cureclock.waits.current import current
from cureclock.waits.foretold import Foresight
from cureclock.waits.offsets import OffsetTable, offset_tables
from cureclock.waits.wood_recorded import wood_recorded
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def shed(
    family: str = "pva_interior", values: dict[str, Any] | None = None, outside: float = 4.0
) -> Cast:
    cast = Cast.open()
    cast.place()
    cast.material("Glue", family, values or {})
    cast.piece("L-01", zones=(_zone(cast),))
    cast.read("Mon 12:00", 21.0, 55.0)
    said = {"outside_low_c": outside, "half_gap_h": 4.0, "heater_off": True}
    cast.do("air_expected", "Mon 12:00", place=cast.id("Shed"), **said)
    return cast


def _zone(cast: Cast) -> Any:
    from cureclock.actions.pieces_made import ZoneSaid

    return ZoneSaid(cast.id("drum"), "drum")


def tables(cast: Cast, at: str) -> list[OffsetTable]:
    found = current(cast.workshop, when(at))
    versions = list(LabelVersion.objects.all())
    labels = [(row.id, row.label) for row in versions]
    by_material = wood_recorded(cast.workshop, when(at))
    recorded = {row.id: by_material.get(row.material_id, ()) for row in versions}
    places = list(found.places.values())
    ages, foresight = found.ages, Foresight(found.ages)
    return list(offset_tables(labels, places, ages, foresight, when(at), recorded=recorded))


def table(cast: Cast, at: str) -> OffsetTable:
    (told,) = tables(cast, at)
    return told


def told_for(tab: OffsetTable, start: str) -> dict[str, float | None]:
    number = tab.starts.index(when(start))
    return {kind: hours[number] for kind, hours in tab.gates.items()}


@pytest.mark.parametrize("family", ["pva_interior", "urea_powder", "epoxy_slow", "hide_liquid"])
@pytest.mark.parametrize("start", ["Mon 13:30", "Mon 17:00", "Tue 02:00"])
def test_a_glue_up_that_starts_then_gets_the_figures_of_the_table(family: str, start: str) -> None:
    cast = shed(family)
    promised = told_for(table(cast, "Mon 12:10"), start)
    cast.spread("G1", ["L-01"], start, label="Glue label")
    cast.press("G1", start)
    assert kept_to(cast, "G1", start, promised) >= 2


def kept_to(cast: Cast, glue_up: str, start: str, promised: dict[str, float | None]) -> int:
    """How many figures of a glue-up came as the table promised; none may come otherwise."""
    found = current(cast.workshop, when(start))
    own = [wait.id for wait in found.waits if wait.glue_up_id == cast.id(glue_up)]
    compared = 0
    for rung in (rung for wait in own for rung in found.rungs[wait]):
        if rung.gate.kind not in promised:
            continue
        hours = promised[rung.gate.kind]
        if hours is None:
            assert rung.acts is None or rung.acts - when(start) > timedelta(days=28)
            continue
        assert rung.acts is not None
        early = when(start) + timedelta(hours=hours) - rung.acts
        if rung.gate.opens:
            assert timedelta() <= early <= timedelta(seconds=37), rung.gate.kind
        else:
            assert -timedelta(seconds=37) <= early <= timedelta(), rung.gate.kind
        compared += 1
    return compared


def warming(family: str = "pva_interior") -> Cast:
    """A shed at 12 degC until Tuesday 08:00 and at 20 from then on; 50 and 75 mm were glued there."""
    cast = Cast.open()
    cast.place()
    cast.material("Glue", family, {})
    for at in ("Mon 00:00", "Mon 12:00", "Tue 00:00", "Tue 08:00"):
        cast.read(at, 12.0, 55.0)
    for number, thickness_mm in enumerate((20.0, 50.0, 75.0, None)):
        cast.piece(f"B{number}")
        cast.spread(
            f"G{number}", [f"B{number}"], "Mon 13:00", label="Glue label", thickness_mm=thickness_mm
        )
        cast.press(f"G{number}", "Mon 13:01")
    for at in ("Tue 08:01", "Tue 09:00"):
        cast.read(at, 20.0, 55.0)
    return cast


@pytest.mark.parametrize("thickness_mm", [None, 20.0, 60.0, 75.0])
def test_a_glue_up_of_thick_wood_gets_the_figures_of_the_table_for_such_wood(
    thickness_mm: float | None,
) -> None:
    cast = warming()
    every = tables(cast, "Tue 09:00")
    assert [one.wood_mm for one in every] == [None, 20.0, 75.0]
    rows = [one for one in every if one.wood_mm is None or one.wood_mm >= (thickness_mm or 0.0)]
    told = rows[0] if thickness_mm is None else rows[1]
    promised = told_for(told, "Tue 09:30")
    cast.piece("L-01")
    cast.spread("G", ["L-01"], "Tue 09:30", label="Glue label", thickness_mm=thickness_mm)
    cast.press("G", "Tue 09:30")
    assert kept_to(cast, "G", "Tue 09:30", promised) >= 4


def test_thicker_wood_is_promised_no_gate_sooner_that_opens_and_later_where_it_warms() -> None:
    air, thin, thick = (told_for(one, "Tue 09:30") for one in tables(warming(), "Tue 09:00"))
    for kind in ("clamps_off", "light", "heavy", "spin"):
        hours = [one[kind] for one in (air, thin, thick)]
        assert None not in hours
        assert hours == sorted(hours)  # type: ignore[type-var]
    assert thick["light"] > air["light"] + 0.5  # type: ignore[operator]


def test_wood_that_was_glued_with_another_material_or_long_ago_counts_for_nothing() -> None:
    cast = warming()
    cast.material("Other", "pva_interior", {}, at="Tue 09:00")
    assert {
        one.wood_mm for one in tables(cast, "Tue 09:00") if one.label != cast.id("Glue label")
    } == {None}
    assert wood_recorded(cast.workshop, when("Mon 13:00") + timedelta(days=91)) == {}


def test_a_coat_that_starts_then_gets_the_figures_of_the_table() -> None:
    cast = shed("water_acrylic_pu", outside=16.0)
    promised = told_for(table(cast, "Mon 12:10"), "Mon 14:00")
    cast.do(
        "coat_began",
        "Mon 14:00",
        coat=cast.id("C1"),
        name="C1",
        label=cast.id("Glue label"),
        place=cast.id("Shed"),
        zones=(cast.id("drum"),),
    )
    cast.do("coat_ended", "Mon 14:00", coat=cast.id("C1"))
    found = current(cast.workshop, when("Mon 14:00"))
    (rungs,) = found.rungs.values()
    told = [rung for rung in rungs if promised.get(rung.gate.kind) is not None]
    assert len(told) >= 5
    for rung in told:
        assert rung.acts is not None
        hours = promised[rung.gate.kind]
        assert hours is not None
        assert abs(when("Mon 14:00") + timedelta(hours=hours) - rung.acts) <= timedelta(seconds=37)


def test_starts_are_every_half_hour_for_a_day_and_a_half_from_the_last_one_on() -> None:
    starts = table(shed(), "Mon 12:10").starts
    assert starts[0] == when("Mon 12:00")
    assert starts[-1] == when("Wed 00:00")
    assert len(starts) == 73


def test_a_start_outside_the_labels_rows_is_promised_nothing() -> None:
    rows = {"rows": [[15, 0.5], [20, 0.4], [30, 0.3]]}
    cast = shed("urea_powder", {"clamps_off": rows})
    told = table(cast, "Mon 12:10")
    assert told_for(told, "Mon 12:30")["clamps_off"] is not None
    assert told_for(told, "Tue 06:00")["clamps_off"] is None


def test_both_kinds_of_clamping_are_told() -> None:
    gates = table(shed(), "Mon 12:10").gates
    assert {"clamps_off", "clamps_off_stressed"} <= gates.keys()
    assert "keep_warm" not in gates


def test_the_starts_that_the_night_spoils_are_marked() -> None:
    told = table(shed(), "Mon 12:10")
    spoils = dict(zip(told.starts, told.spoils, strict=True))
    assert not spoils[when("Mon 12:30")]
    assert spoils[when("Mon 23:00")]
    (cold,) = told.foretold
    assert cold.cause == "cold"
    assert cold.latest_good is not None
    last_good = max(start for start, bad in spoils.items() if not bad and start < cold.at)
    assert timedelta() <= cold.latest_good - last_good < timedelta(minutes=30)
