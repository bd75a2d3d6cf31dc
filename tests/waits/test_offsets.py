"""The table for a phone without a signal: what it promises is what the server then says."""

from datetime import timedelta
from typing import Any

import pytest

from cureclock.shop.models import LabelVersion
from cureclock.waits.current import current
from cureclock.waits.foretold import Foresight
from cureclock.waits.offsets import OffsetTable, offset_tables
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


def table(cast: Cast, at: str) -> OffsetTable:
    found = current(cast.workshop, when(at))
    labels = [(row.id, row.label) for row in LabelVersion.objects.all()]
    places = list(found.places.values())
    (told,) = offset_tables(labels, places, found.ages, Foresight(found.ages), when(at))
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
    found = current(cast.workshop, when(start))
    compared = 0
    for rungs in found.rungs.values():
        for rung in rungs:
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
    assert compared >= 2


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
