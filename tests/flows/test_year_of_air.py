"""A year of real air in an unheated shed: gates against an independent adaptive integrator.

Air: hourly dry-bulb temperature and relative humidity of Greensboro, North Carolina, from the
TMY3 file 723170TYA.CSV (NREL, typical meteorological year) that pvlib carries in its data folder.
The rival integrates rates written anew here with scipy's solve_ivp and stops at an event.
"""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any
from uuid import uuid5

import numpy as np
import psychrolib
import pvlib
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from cureclock.actions.pieces_made import PieceSaid
from cureclock.actions.spread_began import JointSaid
from cureclock.waits.ages import Ages
from cureclock.waits.figures import figures_of
from cureclock.waits.models import Gate
from cureclock.waits.rebuild import differences
from tests.api.door import sensor_in
from tests.cast import Cast

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
psychrolib.SetUnitSystem(psychrolib.SI)

START = datetime(2025, 1, 1, tzinfo=UTC)
WEEK_H, LAST_H = 168, 8736
Rate = Callable[[float, float], float]

LABELS: dict[str, tuple[str, dict[str, Any], str]] = {
    "doubling": ("pva_interior", {"spin": 24, "heavy": 12, "states_rule": True}, "spin"),
    "sleeping": ("urea_powder", {"heavy": 24, "min_c": 18, "sleep_below_c": 18}, "heavy"),
    "rows": ("urea_two_part_normal", {}, "clamps_off"),
    "water": (
        "pva_cross_linking",
        {"heavy": 24, "response_kind": "water_loss", "air_weight": 0.5},
        "heavy",
    ),
}
UF_ROWS = ((15.0, 3.5), (20.0, 2.25), (25.0, 1.5), (30.0, 1.25))  # a published label's rows [h]


def doubling(temp_c: float, rh_pct: float) -> float:
    return float(2 ** ((temp_c - 20) / 10))


def sleeping(temp_c: float, rh_pct: float) -> float:
    return 0.0 if temp_c < 18 else doubling(temp_c, rh_pct)


def rows(temp_c: float, rh_pct: float) -> float:
    if temp_c < UF_ROWS[0][0]:
        return 0.0
    inverse = [1 / (t + 273.15) for t, _ in UF_ROWS]
    log_h = np.interp(1 / (temp_c + 273.15), inverse[::-1], [np.log(h) for _, h in UF_ROWS][::-1])
    return float(2.25 / np.exp(log_h))


def water(temp_c: float, rh_pct: float) -> float:
    here = psychrolib.GetSatVapPres(temp_c) * (1 - rh_pct / 100)
    power = here / (psychrolib.GetSatVapPres(20.0) * 0.5)
    return min(doubling(temp_c, rh_pct), 1 - 0.5 * (1 - power))


RATES: dict[str, Rate] = {"doubling": doubling, "sleeping": sleeping, "rows": rows, "water": water}


@dataclass(frozen=True)
class Year:
    """Hourly air."""

    temp_c: list[float]
    rh_pct: list[float]

    def at(self, hour: float) -> tuple[float, float]:
        before, part = int(hour), hour % 1
        temps, damps = self.temp_c[before : before + 2], self.rh_pct[before : before + 2]
        return (
            temps[0] + part * (temps[1] - temps[0]),
            damps[0] + part * (damps[1] - damps[0]),
        )


def greensboro() -> Year:
    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    with path.open(newline="") as file:
        told = list(csv.reader(file))
    temp, damp = told[1].index("Dry-bulb (C)"), told[1].index("RHum (%)")
    return Year(
        [float(row[temp]) for row in told[2:]],
        [float(row[damp]) for row in told[2:]],
    )


def reached_h(year: Year, rate: Rate, start_h: float, need_h: float) -> float | None:
    """Hour at which a rival integrator has gained the need; None if not within the year."""

    def gained(_: float, age: NDArray[np.float64]) -> float:
        return float(age[0]) - need_h

    gained.terminal = True  # type: ignore[attr-defined]
    solved = solve_ivp(
        lambda hour, _: [rate(*year.at(hour))],
        (start_h, min(start_h + 90 * 24, LAST_H)),
        [0.0],
        events=gained,
        rtol=1e-9,
        atol=1e-9,
        max_step=0.5,
    )
    return float(solved.t_events[0][0]) if solved.t_events[0].size else None


def told_week_by_week(cast: Cast, year: Year, starts: dict[str, list[float]]) -> None:
    """The sensor sends each week's readings; what was pressed in it is told at its end."""
    sensor = sensor_in(cast, "Shed", rhythm_s=3600)
    for week in range(LAST_H // WEEK_H):
        hours = range(week * WEEK_H, (week + 1) * WEEK_H + 1)
        rows_sent = [
            {
                "id": str(uuid5(cast.workshop.id, f"hour {hour}")),
                "at": (START + timedelta(hours=hour)).isoformat(),
                "temp_c": year.temp_c[hour],
                "rh_pct": year.rh_pct[hour],
            }
            for hour in hours
        ]
        end = START + timedelta(hours=hours[-1])
        answer = sensor.post("readings", end, {"readings": rows_sent})
        assert answer.status_code == 200, answer.content
        assert answer.json()["refused"] == []
        for label, hours_of in starts.items():
            glue_week(cast, label, [h for h in hours_of if hours[0] <= h < hours[-1]], end)


def glue_week(cast: Cast, label: str, starts: list[float], told: datetime) -> None:
    """One glue-up of a label in a week, its joints pressed one by one."""
    if not starts:
        return
    name = f"{label} {starts[0]:.3f}"
    at = START + timedelta(hours=starts[0]) - timedelta(minutes=5)
    tags = [f"{label} {hour:.3f}" for hour in starts]
    cast.do("pieces_made", at, pieces=tuple(PieceSaid(cast.id(tag), tag) for tag in tags))
    joints = [JointSaid(cast.id(f"joint {tag}"), cast.id(tag), tag) for tag in tags]
    said = {"label": cast.id(f"{label} label"), "place": cast.id("Shed"), "joints": tuple(joints)}
    cast.do("spread_began", at, arrived=told, glue_up=cast.id(name), name=name, **said)
    for joint, hour in zip(joints, starts, strict=True):
        pressed = START + timedelta(hours=hour)
        cast.do("pressure_on", pressed, arrived=told, glue_up=cast.id(name), joints=(joint.id,))


@pytest.mark.parametrize(
    "each",
    [
        pytest.param(130, id="520_waits", marks=pytest.mark.embedded),
        pytest.param(30, id="120_waits", marks=pytest.mark.scaled),
    ],
)
def test_waits_come_due_when_a_rival_says(transactional_db: None, each: int) -> None:
    year, cast, chance = greensboro(), Cast.open(), Random(20250101)
    cast.place(at="Mon 00:00")
    for label, (family, values, _) in LABELS.items():
        cast.material(label, family, values)
    starts = {
        label: sorted(round(chance.uniform(24, LAST_H - 2200), 3) for _ in range(each))
        for label in LABELS
    }
    told_week_by_week(cast, year, starts)
    last = START + timedelta(hours=LAST_H)
    compared = 0
    for label, (_, _, kind) in LABELS.items():
        of_label = {"kind": kind, "wait__label": cast.id(f"{label} label"), "wait__open": True}
        gates = list(Gate.objects.with_clocks().filter(**of_label))
        found = figures_of(gates, Ages(START, last))
        for number, gate in enumerate(gates):
            told = found[gate.id].act if number % 2 else found[gate.id].bare
            compared += agree(year, capped(label, gate) if number % 2 else RATES[label], gate, told)
    assert compared >= each * len(LABELS) * 500 / 520
    assert differences(cast.workshop, last) == []


def capped(label: str, gate: Gate) -> Rate:
    """The rate that acts: never above 1/0.75 of label, or 1 where it can hurt, or the rate of
    the warmest printed row where the label prints rows."""
    cap = 1.0 if gate.hurts else 4 / 3
    cap = max(cap, 2.25 / UF_ROWS[-1][1]) if label == "rows" else cap
    return lambda temp_c, rh_pct: min(RATES[label](temp_c, rh_pct), cap)


def agree(year: Year, rate: Rate, gate: Gate, told: datetime | None) -> int:
    """A figure against the rival, within a second a day of wait; 1 if the rival reached it."""
    start_h = (gate.began_at - START) / timedelta(hours=1)
    theirs = reached_h(year, rate, start_h, gate.need_us / 3.6e9)
    if theirs is None:
        return 0
    assert told is not None
    off_s = abs((told - START) / timedelta(hours=1) - theirs) * 3600
    assert off_s <= max((theirs - start_h) / 24, 0.5), (gate.kind, start_h, off_s)
    return 1
