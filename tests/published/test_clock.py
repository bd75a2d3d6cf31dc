"""A year of measured air: due times of random waits against an adaptive integrator.

The file is the TMY3 year of Greensboro (723170TYA.CSV, United States Department of Energy) that
the package pvlib carries; it stands for an unheated shed.
"""

from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest
from scipy.integrate import solve_ivp

from cureclock.core.clock import NEVER, build_clock
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import Air
from cureclock.core.units import DAY_US, HOUR_US

WAITS = 150
RESPONSES = {
    "doubling": Response(Kind.DOUBLING),
    "chemical": Response(Kind.CHEMICAL, ea_kj_mol=65, sleep_below_c=5),
    "water loss": Response(Kind.WATER_LOSS),
    "moisture cure": Response(Kind.MOISTURE_CURE, ea_kj_mol=45),
    "oxidation": Response(Kind.OXIDATION, ea_kj_mol=76),
}


@pytest.fixture(scope="module")
def year() -> Air:
    file = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    table = pd.read_csv(file, skiprows=1)
    temp = table["Dry-bulb (C)"].to_numpy(float)
    damp = table["RHum (%)"].to_numpy(float)
    at = np.arange(len(temp), dtype=np.int64) * HOUR_US
    return Air(at, temp, damp, np.zeros(len(at) - 1))


def due_h(air: Air, response: Response, start_h: float, need_h: float) -> float:
    """When a wait is due [h] by an adaptive integrator that stops at the event."""
    hours = air.at_us / HOUR_US

    def rate(t, _):
        temp, damp = np.interp(t, hours, air.temp_c), np.interp(t, hours, air.rh_pct)
        return response.rate(temp, damp)

    def reached(_, y):
        return y[0] - need_h

    reached.terminal = True
    solved = solve_ivp(rate, (start_h, start_h + 24 * 40), [0.0], events=reached,
                       rtol=1e-8, atol=1e-9, max_step=0.5)  # fmt: skip
    return float(solved.t_events[0][0])


@pytest.mark.slow
@pytest.mark.parametrize("name", RESPONSES)
def test_a_year_of_measured_air_within_a_second_a_day(year, name, checked):
    count = WAITS if name == "doubling" else 15
    chance = np.random.default_rng(7)
    starts = np.round(chance.uniform(0, 300 * 24, count), 4)
    needs = np.round(
        chance.choice([0.75, 4, 12, 24, 72], count) * chance.uniform(0.8, 1.2, count), 4
    )
    clock = build_clock(year, RESPONSES[name], Stance.LIKELY)
    start_us = np.rint(starts * HOUR_US).astype(np.int64)
    due = clock.earliest(clock.age_at(start_us) + np.rint(needs * HOUR_US).astype(np.int64))
    assert (due != NEVER).all()
    ours = due / HOUR_US
    theirs = np.array(
        [due_h(year, RESPONSES[name], *wait) for wait in zip(starts, needs, strict=True)]
    )
    seconds_a_day = np.abs(ours - theirs) * 3600 / np.maximum((theirs - starts) / 24, 1 / 24)
    worst = int(np.argmax(seconds_a_day))
    checked(f"due of {count} waits over a year, {name} [h]", "scipy solve_ivp, pvlib's TMY3 year",
            ours[worst], theirs[worst])  # fmt: skip
    assert seconds_a_day.max() < 1.0
    assert year.at_us[-1] > 364 * DAY_US
