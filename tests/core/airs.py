"""Air, responses and an independent integrator for the tests of the time core."""

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from cureclock.core.clock import Clock
from cureclock.core.expected import Expected
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance, felt_damp, stance_rate
from cureclock.core.timeline import Air, Mark, Readings, build_air
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

UREA_H = ((10.0, 6.0), (15.0, 2.75), (20.0, 1.75), (25.0, 1.25), (30.0, 1.0))
RESPONSES = {
    "wall": Response(Kind.WALL),
    "doubling": Response(Kind.DOUBLING),
    "tripling, sleeps": Response(Kind.DOUBLING, q=3.0, sleep_below_c=8.0),
    "states its rule": Response(Kind.DOUBLING, states_rule=True),
    "chemical": Response(Kind.CHEMICAL, ea_kj_mol=65, ea_upper_kj_mol=90, sleep_below_c=5),
    "table": Response(Kind.TABLE, rows=UREA_H),
    "water loss": Response(Kind.WATER_LOSS),
    "water loss, closed": Response(Kind.WATER_LOSS, air_weight=0.4, ea_upper_kj_mol=60),
    "moisture cure": Response(Kind.MOISTURE_CURE, ea_kj_mol=45),
    "moisture cure, root": Response(Kind.MOISTURE_CURE, ea_kj_mol=45, damp_power=0.5),
    "solvent loss": Response(Kind.SOLVENT_LOSS, ea_kj_mol=42),
    "oxidation": Response(Kind.OXIDATION, ea_kj_mol=76, ea_upper_kj_mol=100),
    "cooling": Response(Kind.COOLING, pot_c=60, solid_c=33),
}
WARMING = {name: one for name, one in RESPONSES.items() if one.kind != Kind.COOLING}
DAMP_FELT = [name for name, one in RESPONSES.items() if one.needs_humidity]
STANCES = tuple(Stance)
UNLIKE = (Stance.LIKELY, Stance.SLOW, Stance.STRICT_SURE, Stance.QUICK)  # one of each build
LAGS_US = (0, 15 * MINUTE_US, 240 * MINUTE_US)
MONDAY_US = 1_770_000_000_000_000 // DAY_US * DAY_US  # a day in February 2026
EXPECTATIONS = {
    "held": Expected(),
    "typed": Expected(typed=((300.0, 4.0, 80.0), (900.0, 16.0, 55.0))),
    "cools": Expected(outside_low_c=1.0, heater_off=True),
    "heater comes back": Expected(
        outside_low_c=1.0, heater_off=True, heater_on_us=MONDAY_US + 30 * HOUR_US
    ),
}

tenths_c = st.integers(-50, 320).map(lambda tenths: tenths / 10)
whole_pct = st.integers(20, 100).map(float)


def legs(hours: list[float], temp_c: list[float], rh_pct: list[float] | float = 50.0) -> Air:
    """Measured air straight between temperatures, so many hours to each leg."""
    at = MONDAY_US + np.concatenate([[0], np.cumsum(np.array(hours) * HOUR_US)]).astype(np.int64)
    damp = np.broadcast_to(np.asarray(rh_pct, dtype=float), at.shape)
    return Air(at, np.array(temp_c, dtype=float), damp, np.zeros(len(hours)))


def steps(hours: list[float], temp_c: list[float]) -> Air:
    """Measured air that stays so many hours at each temperature, and jumps between."""
    ends = np.cumsum(np.array(hours) * HOUR_US).astype(np.int64)
    at = np.sort(np.concatenate([[0], ends, ends[:-1] + 1]))
    temps = np.repeat(np.array(temp_c, dtype=float), 2)
    return Air(at, temps, np.full(len(at), 50.0), np.zeros(len(at) - 1))


@st.composite
def airs(draw: st.DrawFn, most: int = 8) -> Air:
    """A line of air with legs of minutes to hours, some of them assumed, damp known or not."""
    count = draw(st.integers(2, most))
    minutes = draw(st.lists(st.integers(1, 600), min_size=count, max_size=count))
    temps = draw(st.lists(tenths_c, min_size=count, max_size=count))
    damp = draw(st.lists(whole_pct | st.just(np.nan), min_size=count, max_size=count))
    marks = draw(st.lists(st.sampled_from([0, 1, 2, 3]), min_size=count - 1, max_size=count - 1))
    at = MONDAY_US + np.cumsum(minutes) * MINUTE_US
    return Air(at, np.array(temps), np.array(damp), np.array(marks))


@st.composite
def settled(draw: st.DrawFn, most: int = 12, damp: bool = True) -> Readings:
    """Readings of a day or some, by hand or by a sensor, some far enough apart for a gap."""
    count = draw(st.integers(1, most))
    apart = st.sampled_from([7, 60, 240, 700, 1500])
    minutes = draw(st.lists(apart, min_size=count, max_size=count))
    temps = draw(st.lists(tenths_c, min_size=count, max_size=count))
    rhythm = draw(st.sampled_from([0, 30 * MINUTE_US]))
    rh = draw(st.lists(whole_pct, min_size=count, max_size=count)) if damp else [np.nan] * count
    return Readings.settle(
        MONDAY_US + np.cumsum(minutes) * MINUTE_US,
        temps,
        rh_pct=rh,
        rhythm_us=np.full(count, rhythm),
    )


def colder(readings: Readings, number: int, by_c: float) -> Readings:
    """The same readings with one of them colder."""
    temp = readings.temp_c.copy()
    temp[number] = max(temp[number] - by_c, -40.0)
    return replace(readings, temp_c=temp)


def line_of(readings: Readings, expected: Expected, days_ahead: float = 2.0) -> Air:
    """The line of air over readings and some days ahead."""
    until = int(readings.at_us[-1] + days_ahead * DAY_US)
    return build_air(readings, [expected], int(readings.at_us[0]), until)


def reference_ages(
    air: Air, response: Response, lag_us: int = 0, finest: int = 40
) -> dict[Stance, np.ndarray]:
    """Ages at the nodes [s] by an adaptive integrator that knows nothing of our pieces."""
    lag_s = lag_us / 1e6
    damp = np.array([felt_damp(stance, response, air.rh_pct) for stance in UNLIKE])
    state = np.concatenate([[air.temp_c[0]], np.zeros(len(UNLIKE))])
    kept = [state]
    for leg in range(len(air.at_us) - 1):
        seconds = float(air.at_us[leg + 1] - air.at_us[leg]) / 1e6

        def slope(t, y, leg=leg, seconds=seconds):
            part = t / seconds
            felt = air.temp_c[leg] + part * (air.temp_c[leg + 1] - air.temp_c[leg])
            rates = [
                _rate(stance, response, (felt, y[0] if lag_us else felt),
                      damp[n, leg] + part * (damp[n, leg + 1] - damp[n, leg]),
                      air.mark[leg] == Mark.ASSUMED)
                for n, stance in enumerate(UNLIKE)
            ]  # fmt: skip
            return [(felt - y[0]) / lag_s if lag_us else 0.0, *rates]

        step = seconds / finest
        solved = solve_ivp(slope, (0, seconds), state, rtol=1e-9, atol=1e-7, max_step=step)
        state = solved.y[:, -1]
        kept.append(state)
    return {stance: np.array(kept)[:, n + 1] for n, stance in enumerate(UNLIKE)}


def _rate(stance, response, air_and_wood_c, rh_pct, assumed) -> float:
    felt = air_and_wood_c[0]
    if stance.careful:
        felt = min(air_and_wood_c)
    elif stance == Stance.QUICK:
        felt = max(air_and_wood_c)
    temp = np.array(felt)
    asleep = response.asleep(temp)
    return float(
        stance_rate(
            stance, response, temp, np.array(rh_pct), asleep=asleep, assumed=np.array(assumed)
        )
    )


def gained_h(clock: Clock, from_us: int, to_us: int) -> float:
    """Label-hours gained between two instants."""
    return float(clock.age_at(to_us) - clock.age_at(from_us)) / HOUR_US
