"""Wood behind the air: falling air counts as air, rising as wood; the other way for what closes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.core.clock import build_clock
from cureclock.core.felt import OwnStart, felt_line, wood_at_c, wood_temp_c
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import Air
from cureclock.core.units import HOUR_US, MINUTE_US
from tests.core.airs import MONDAY_US, airs, gained_h, legs

PLAIN = Response(Kind.DOUBLING)
lags = st.sampled_from([15 * MINUTE_US, HOUR_US, 4 * HOUR_US, 16 * HOUR_US])


def test_a_cold_block_in_warm_air_follows_with_its_time_constant():
    """At 6 degC, air put to 18 at 08:00: 12.3 at 09:00 and 15 at 09:51 with a lag of 1.34 h."""
    lag = round(1.34 * HOUR_US)
    at = [0, 12, 12 + 1 / 3600, 13, 13.85]
    air = legs(list(np.diff(at)), [6, 6, 18, 18, 18])
    wood = wood_temp_c(air, lag)
    assert wood[3] == pytest.approx(12.3, abs=0.05)
    assert wood[4] == pytest.approx(15.0, abs=0.05)


@settings(max_examples=80, deadline=None)
@given(airs(), lags)
def test_wood_stays_between_the_coldest_and_the_warmest_air(air, lag):
    wood = wood_temp_c(air, lag)
    assert wood.min() >= air.temp_c.min() - 0.0006
    assert wood.max() <= air.temp_c.max() + 0.0006
    assert np.array_equal(wood, wood.round(3)), "to a millikelvin"


@given(st.integers(-40_000, 60_000), lags)
def test_in_level_air_wood_is_as_warm_as_the_air(thousandths, lag):
    air = legs([1, 30, 5], [thousandths / 1000] * 4)
    assert np.array_equal(wood_temp_c(air, lag), air.temp_c)


@settings(max_examples=60, deadline=None)
@given(airs(), lags, st.floats(-0.2, 1.2), st.none() | st.floats(-40, 120))
def test_wood_at_an_instant_is_that_of_a_line_with_a_node_there(air, lag, share, came_c):
    first, last = int(air.at_us[0]), int(air.at_us[-1])
    at = first + round(share * (last - first))
    own = None if came_c is None else OwnStart(first, came_c)
    found = wood_at_c(air, at, lag, own)
    nodes = np.unique(np.append(air.at_us, np.clip(at, first, last)))
    finer = Air(nodes, air.temp_at(nodes), np.full(len(nodes), np.nan), np.zeros(len(nodes) - 1))
    there = int(np.searchsorted(nodes, np.clip(at, first, last)))
    assert found == pytest.approx(float(wood_temp_c(finer, lag, own)[there]), abs=0.0011)


def test_an_instant_that_is_none_is_refused():
    with pytest.raises(Refused, match="instant"):
        wood_at_c(legs([1], [10, 20]), "noon", HOUR_US)


@settings(max_examples=60, deadline=None)
@given(airs(), lags)
def test_wood_is_the_exponential_mean_of_the_air_before(air, lag):
    """Held against a fine sum over eight time constants, done another way."""
    ago = np.linspace(0, 8, 20_001)
    middle = (ago[1:] + ago[:-1]) / 2
    weight = np.exp(-ago[:-1]) - np.exp(-ago[1:])
    now = int(air.at_us[-1])
    felt = np.interp(now - middle * lag, air.at_us, air.temp_c)
    oldest = np.interp(now - 8 * lag, air.at_us, air.temp_c) * np.exp(-8)
    assert wood_temp_c(air, lag)[-1] == pytest.approx(float(felt @ weight + oldest), abs=0.002)


@settings(max_examples=60, deadline=None)
@given(airs(), lags)
def test_the_felt_line_is_the_colder_or_the_warmer_all_along(air, lag):
    damp = air.rh_pct
    cold, warm = (felt_line(air, damp, lag_us=lag, warmer=warmer) for warmer in (False, True))
    for line, side in ((cold, 1), (warm, -1)):
        for at, felt in ((line.at_us[:-1], line.from_c), (line.at_us[1:], line.to_c)):
            assert (side * (air.temp_at(at) - felt)).min() >= -1e-9
        middle = (line.at_us[:-1] + line.at_us[1:]) // 2
        assert (side * (air.temp_at(middle) - line.middle_c)).min() >= -1e-6


def test_falling_air_counts_as_air_and_rising_air_as_wood():
    falling, rising = legs([4, 8], [20, 20, 8]), legs([4, 8], [8, 8, 20])
    lag = HOUR_US
    for stance in (Stance.SLOW, Stance.STRICT, Stance.STRICT_SURE):
        plain, lagged = (build_clock(falling, PLAIN, stance, each) for each in (0, lag))
        assert gained_h(lagged, *falling.at_us[[0, -1]]) == pytest.approx(
            gained_h(plain, *falling.at_us[[0, -1]])
        )
        later = build_clock(rising, PLAIN, stance, lag)
        assert gained_h(later, *rising.at_us[[0, -1]]) < gained_h(
            build_clock(rising, PLAIN, stance), *rising.at_us[[0, -1]]
        )


def test_what_closes_counts_the_warmer():
    warm_then_cold = legs([12, 0.1, 4], [30, 30, 10, 10])
    start, end = warm_then_cold.at_us[[1, -1]]
    plain, lagged = (build_clock(warm_then_cold, PLAIN, Stance.QUICK, lag) for lag in (0, HOUR_US))
    assert gained_h(lagged, start, end) > gained_h(plain, start, end) + 0.2


def test_a_changed_leg_reaches_eight_time_constants_forward_and_no_further():
    lag = 15 * MINUTE_US
    was = legs([0.5] * 24, [10 + (n % 5) for n in range(25)])
    temp = was.temp_c.copy()
    temp[10] -= 6
    now = legs([0.5] * 24, temp.tolist())
    ages = [
        np.diff(build_clock(air, PLAIN, Stance.SLOW, lag).age_at(air.at_us)) for air in (was, now)
    ]
    changed = np.flatnonzero(ages[0] != ages[1])
    assert changed.min() == 9, "no leg before the ones whose air changed"
    ends = was.at_us[changed.max()] - was.at_us[11]
    assert ends <= 8 * lag
    assert changed.max() > 10, "and it does reach forward"


def test_wood_carried_from_the_cold_is_cold_and_has_caught_up_after_four_time_constants():
    air = legs([24, 24], [18, 18, 18])
    came = OwnStart(MONDAY_US + 24 * HOUR_US, 2.0)
    own = build_clock(air, PLAIN, Stance.STRICT, HOUR_US, came)
    shared = build_clock(air, PLAIN, Stance.STRICT, HOUR_US)
    start = came.at_us
    first = [gained_h(clock, start, start + HOUR_US) for clock in (own, shared)]
    after = [gained_h(clock, start + 4 * HOUR_US, start + 5 * HOUR_US) for clock in (own, shared)]
    assert first[0] < 0.6 * first[1]
    assert after[0] == pytest.approx(after[1], rel=0.02)
    assert gained_h(own, start - HOUR_US, start) == gained_h(shared, start - HOUR_US, start)


def test_carried_wood_follows_the_closed_form():
    air = legs([24, 24], [18, 18, 18])
    came = OwnStart(MONDAY_US + 12 * HOUR_US, 2.0)
    line = felt_line(air, air.rh_pct, lag_us=HOUR_US, own=came)
    hours = (line.at_us[1:] - came.at_us) / HOUR_US
    inside = (hours > 0) & (hours < 8)
    expected = 18 - 16 * np.exp(-hours[inside])
    assert line.to_c[inside] == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("lag", [1, 59_000_000, 49 * HOUR_US, -HOUR_US, float("nan")])
def test_a_lag_that_is_none_is_refused(lag):
    with pytest.raises(Refused, match="lag"):
        wood_temp_c(legs([1], [10, 20]), lag)


def test_a_temperature_no_wood_has_is_refused():
    with pytest.raises(Refused, match="wood"):
        OwnStart(0, 200.0)
