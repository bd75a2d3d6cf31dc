"""The cure clock: it never runs back, can be asked both ways, and errs on the safe side."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cureclock.core.clock import NEVER, build_clock
from cureclock.core.expected import Expected
from cureclock.core.felt import OwnStart
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import Readings, build_air
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, hours_us
from tests.core.airs import (
    EXPECTATIONS,
    LAGS_US,
    MONDAY_US,
    RESPONSES,
    STANCES,
    WARMING,
    airs,
    colder,
    gained_h,
    legs,
    line_of,
    reference_ages,
    settled,
    steps,
)

PLAIN = Response(Kind.DOUBLING)
every_response = pytest.mark.parametrize("name", RESPONSES)
every_stance = st.sampled_from(STANCES)
every_lag = st.sampled_from(LAGS_US)
SOME = settings(max_examples=40, deadline=None)


def spread_over(air, count: int = 200) -> np.ndarray:
    """Instants over a line of air, its nodes among them."""
    return np.unique(
        np.concatenate([air.at_us, np.linspace(*air.at_us[[0, -1]], count).astype(int)])
    )


@every_response
@SOME
@given(air=airs(), stance=every_stance, lag=every_lag)
def test_age_never_falls(name, air, stance, lag):
    clock = build_clock(air, RESPONSES[name], stance, lag)
    assert (np.diff(clock.age_us) >= 0).all()
    assert (np.diff(clock.age_at(spread_over(air))) >= 0).all()


@every_response
@SOME
@given(air=airs(), stance=every_stance, lag=every_lag)
def test_there_and_back_is_the_same_instant_where_the_clock_runs(name, air, stance, lag):
    clock = build_clock(air, RESPONSES[name], stance, lag)
    at = spread_over(air)
    age = clock.age_at(at)
    back = clock.earliest(age)
    assert (back <= at + 1).all()
    assert (clock.age_at(back) >= age).all(), "what is reached by the inverse is reached"
    rate = np.minimum(clock.rate_at(int(at[0])), 1)
    running = np.array([min(clock.rate_at(int(t) - 1), clock.rate_at(int(t))) for t in at]) > 0.05
    assert (np.abs(back - at)[running] <= 200).all(), rate


@every_response
@SOME
@given(air=airs(), stance=every_stance, part=st.floats(0, 1))
def test_an_instant_is_the_first_at_which_an_age_is_reached(name, air, stance, part):
    clock = build_clock(air, RESPONSES[name], stance)
    age = int(part * clock.age_us[-1])
    first = int(clock.earliest(age))
    last = int(clock.latest(age))
    assert clock.age_at(first) >= age
    assert first == clock.at_us[0] or clock.age_at(first - 1) <= age
    if last != NEVER:
        assert last >= first - 1
        assert clock.age_at(last) <= age


def test_what_is_out_of_reach_is_never():
    clock = build_clock(legs([10], [0, 0]), PLAIN)
    assert clock.earliest(hours_us(2.5)) == MONDAY_US + 10 * HOUR_US
    assert clock.earliest(hours_us(2.5) + 1) == NEVER
    assert clock.latest(hours_us(2.5)) == NEVER


def test_before_and_after_its_span_a_clock_has_the_age_of_its_ends():
    clock = build_clock(legs([10], [20, 20]), PLAIN)
    assert clock.age_at([0, MONDAY_US - 1, NEVER]).tolist() == [0, 0, 10 * HOUR_US]


@pytest.mark.parametrize("stance", STANCES)
@pytest.mark.parametrize("name", WARMING)
@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_colder_reading_never_ends_a_wait_sooner(name, stance, data):
    """Whatever comes after it, gaps and nights ahead included; damp as it was read.

    With the cooling curve no humidity is given: the same percentage in colder air is less
    water, which a curve that keeps the water then carries into warmer air.
    """
    kind = data.draw(st.sampled_from(sorted(EXPECTATIONS)))
    readings = data.draw(settled(damp="cool" not in kind and "heater" not in kind))
    number = data.draw(st.integers(0, len(readings) - 1))
    less = colder(readings, number, data.draw(st.sampled_from([0.1, 0.5, 3.0, 15.0])))
    lag = data.draw(every_lag)
    lines = [line_of(one, EXPECTATIONS[kind]) for one in (readings, less)]
    was, now = (build_clock(line, RESPONSES[name], stance, lag) for line in lines)
    at = spread_over(lines[0], 60)
    lost = np.diff(was.age_at(at)) - np.diff(now.age_at(at))
    exact = RESPONSES[name].log_linear and not stance.sure and lag == 0
    assert lost.min() >= (-60 if exact else -0.02e6), "microseconds: rounding, or Simpson's rule"


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_glue_that_stands_by_cooling_is_the_one_thing_warmth_delays(data):
    readings = data.draw(settled())
    less = colder(readings, data.draw(st.integers(0, len(readings) - 1)), 2.0)
    was, now = (
        build_clock(line_of(one, Expected()), RESPONSES["cooling"]) for one in (readings, less)
    )
    assert (now.age_us[-1] - was.age_us[-1]) >= -1e5


@settings(max_examples=60, deadline=None)
@given(settled(), st.randoms(use_true_random=False))
def test_readings_in_any_order_and_twice_give_the_same_clock(readings, chance):
    order = [*range(len(readings)), *chance.choices(range(len(readings)), k=3)]
    chance.shuffle(order)
    names = [f"id-{number}" for number in order]
    again = Readings.settle(
        readings.at_us[order],
        readings.temp_c[order],
        rh_pct=readings.rh_pct[order],
        mark=readings.mark[order],
        rhythm_us=readings.rhythm_us[order],
        ident=names,
    )
    one, other = (line_of(each, Expected()) for each in (readings, again))
    for name in ("at_us", "temp_c", "rh_pct", "mark"):
        assert np.array_equal(getattr(one, name), getattr(other, name), equal_nan=name == "rh_pct")


@every_response
@SOME
@given(air=airs(), lag=every_lag)
def test_stances_err_in_their_order(name, air, lag):
    response = RESPONSES[name]
    gained = {
        stance: np.diff(build_clock(air, response, stance, lag).age_at(air.at_us))
        for stance in STANCES
    }
    roomy = 100_000  # a tenth of a second: kinks and Simpson's rule
    for less, more in (
        (Stance.STRICT_SURE, Stance.STRICT),
        (Stance.STRICT, Stance.SLOW),
        (Stance.SLOW_SURE, Stance.SLOW),
        (Stance.STRICT_SURE, Stance.SLOW_SURE),
    ):
        assert (gained[less] <= gained[more] + roomy).all(), (less, more)
    elapsed = np.diff(air.at_us)
    assert (gained[Stance.QUICK] >= elapsed - roomy).all()
    assert (gained[Stance.SLOW] <= max(1 / 0.75, _warmest(response)) * elapsed + roomy).all()
    assert (gained[Stance.STRICT] <= max(1.0, _warmest(response)) * elapsed + roomy).all()


def _warmest(response: Response) -> float:
    rows = response.rows
    return float(response.row_hours(response.label_temp_c)) / rows[-1][1] if rows else 0.0


ramp = st.tuples(st.floats(-20, 45), st.floats(-20, 45), st.floats(0.1, 48))


@given(ramp, st.floats(1.5, 3.0), st.floats(0, 30))
def test_bare_is_the_pencils_sum_on_any_ramp(ramp, q, label_c):
    """(r1 - r2)/ln(r1/r2) x hours."""
    from_c, to_c, hours = ramp
    clock = build_clock(
        legs([hours], [from_c, to_c]), Response(Kind.DOUBLING, label_temp_c=label_c, q=q)
    )
    first, last = (q ** ((temp - label_c) / 10) for temp in (from_c, to_c))
    level = abs(np.log(first / last)) < 1e-9
    mean = first if level else (first - last) / np.log(first / last)
    assert clock.age_us[-1] / HOUR_US == pytest.approx(mean * hours, rel=1e-9, abs=1e-9)


def test_the_rates_by_hand_and_the_mean_of_a_ramp():
    by_hand = {20: 1.00, 18: 0.87, 15: 0.71, 10: 0.50, 5: 0.35, 0: 0.25}
    for temp, rate in by_hand.items():
        clock = build_clock(legs([1], [temp, temp]), PLAIN)
        assert clock.age_us[-1] / HOUR_US == pytest.approx(rate, abs=0.005)
    ramp_down = build_clock(legs([1], [20, 10]), PLAIN)
    assert ramp_down.age_us[-1] / HOUR_US == pytest.approx(0.721, abs=0.0005)


NIGHT = legs([3, 3, 3, 3, 3, 2, 1, 48], [16, 12, 9, 6, 4, 5, 12, 18, 18])  # from 17:00


def test_a_night_banked_leg_by_leg():
    clock = build_clock(NIGHT, PLAIN)
    banked = np.diff(clock.age_at(NIGHT.at_us)) / HOUR_US
    assert banked[:7] == pytest.approx([1.99, 1.56, 1.26, 1.06, 1.02, 0.91, 0.71], abs=0.005)
    assert banked[:5].sum() == pytest.approx(6.89, abs=0.005)
    assert _after(clock, 24) == pytest.approx(24 + 11 + 48 / 60, abs=1 / 60)  # 04:48
    assert _after(clock, 10) == pytest.approx(19 + 43 / 60, abs=1 / 60)  # 12:43


def _after(clock, need_h: float) -> float:
    """Hours after the clock's first node at which a need is met."""
    return float(clock.earliest(hours_us(need_h)) - clock.at_us[0]) / HOUR_US


def test_latest_starts_run_the_sum_backwards():
    """Noon 20, 18:00 18, midnight 12, 06:00 8, 08:00 8; ready at 08:00."""
    clock = build_clock(legs([6, 6, 6, 2], [20, 18, 12, 8, 8]), PLAIN)
    needs = [hours_us(hours) for hours in (1, 4, 6, 8, 10)]
    starts = (clock.latest_start(MONDAY_US + 20 * HOUR_US, needs) - MONDAY_US) / HOUR_US + 12
    clock_times = [29 + 42 / 60, 23 + 47 / 60, 20 + 42 / 60, 18 + 10 / 60, 15 + 55 / 60]
    assert starts == pytest.approx(clock_times, abs=1 / 60)


def test_the_warm_box_makes_eight_hours_six():
    clock = build_clock(legs([24], [24, 24]), PLAIN)
    assert _after(clock, 8) == pytest.approx(6 + 4 / 60, abs=0.5 / 60)


@every_response
@SOME
@given(air=airs(), stance=every_stance, parts=st.tuples(st.floats(0, 1), st.floats(0, 1)))
def test_a_latest_start_is_in_time_and_a_later_one_is_not(name, air, stance, parts):
    clock = build_clock(air, RESPONSES[name], stance)
    first, last = int(air.at_us[0]), int(air.at_us[-1])
    ready = first + int(parts[0] * (last - first))
    need = int(parts[1] * clock.age_at(ready))
    start = int(clock.latest_start(ready, need))
    assert start <= ready
    assert clock.age_at(ready) - clock.age_at(start) >= need
    later = min(start + 60_000_000, ready)
    assume(later > start and clock.rate_at(start) > 0.05)
    assert clock.age_at(ready) - clock.age_at(later) < need or need == 0


def test_a_start_before_the_clock_is_told_as_such():
    clock = build_clock(legs([10], [20, 20]), PLAIN)
    lowest = np.iinfo(np.int64).min
    assert clock.latest_start(MONDAY_US + 10 * HOUR_US, 11 * HOUR_US) == lowest
    with pytest.raises(Refused, match="need"):
        clock.latest_start(MONDAY_US, -1)


def test_the_first_microseconds_of_a_clock_and_what_lies_before_them():
    clock = build_clock(legs([10], [20, 20]), PLAIN)
    first, lowest = MONDAY_US, np.iinfo(np.int64).min
    assert clock.earliest([-5, -1, 0, 1]).tolist() == [first, first, first, first + 1]
    assert clock.latest([-5, -1, 0, 1]).tolist() == [lowest, lowest, first, first + 1]


def test_asleep_nothing_is_banked_and_nothing_is_lost():
    sleeper = Response(Kind.DOUBLING, sleep_below_c=10.0)
    clock = build_clock(steps([2, 8, 2], [20, 5, 20]), sleeper)
    fell_asleep, woke = 2 * HOUR_US + 1, 10 * HOUR_US  # a step of air takes a microsecond
    assert clock.age_at(fell_asleep) == clock.age_at(woke) == fell_asleep
    assert clock.age_us[-1] == fell_asleep + 2 * HOUR_US
    assert clock.earliest(fell_asleep) == fell_asleep, "due: the earliest instant"
    assert clock.latest(fell_asleep) == woke, "latest start: the latest"


def test_where_the_film_sleeps_the_crossing_splits_the_leg():
    sleeper = Response(Kind.DOUBLING, sleep_below_c=15.0)
    clock = build_clock(legs([2], [20, 10]), sleeper)
    first, last = 1.0, 2**-0.5
    assert clock.age_us[-1] / HOUR_US == pytest.approx((first - last) / np.log(first / last))
    assert clock.rate_at(MONDAY_US + HOUR_US + 1) == 0.0


@settings(max_examples=40, deadline=None)
@given(
    readings=settled(most=12),
    kind=st.sampled_from(sorted(EXPECTATIONS)),
    name=st.sampled_from(sorted(RESPONSES)),
    stance=every_stance,
    lag=every_lag,
    more=st.tuples(st.integers(0, 50 * 24), st.integers(0, 50 * 24)),
)
def test_leg_ages_and_thresholds_do_not_depend_on_the_span_asked(readings, kind, more, **clock):
    name, stance, lag = clock["name"], clock["stance"], clock["lag"]
    first, last = int(readings.at_us[0]), int(readings.at_us[-1])
    spans = [(first, last), (first - more[0] * HOUR_US, last + more[1] * HOUR_US + 7)]
    clocks = [
        build_clock(build_air(readings, [EXPECTATIONS[kind]], *span), RESPONSES[name], stance, lag)
        for span in spans
    ]
    ages = [clock.age_at(readings.at_us) - clock.age_at(first) for clock in clocks]
    assert ages[0].dtype == np.int64
    assert np.array_equal(*ages)
    inside = np.linspace(first, last, 50).astype(np.int64)
    within = [clock.age_at(inside) - clock.age_at(last) for clock in clocks]
    assert np.array_equal(*within)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(5, 90), st.integers(-50, 320)), min_size=60, max_size=60),
    st.sampled_from([Stance.SLOW, Stance.STRICT_SURE, Stance.QUICK]),
)
def test_with_a_lag_only_eight_time_constants_are_remembered(rows, stance):
    lag = 15 * MINUTE_US
    at = MONDAY_US + np.cumsum([minutes for minutes, _ in rows]) * MINUTE_US
    temps = np.array([tenths / 10 for _, tenths in rows])
    whole = Readings.settle(at, temps)
    kept = max(int(np.searchsorted(at, at[-20] - 8 * lag, side="right")) - 1, 0)
    part = Readings.settle(at[kept:], temps[kept:])
    long, short = (
        build_clock(line_of(one, Expected()), PLAIN, stance, lag) for one in (whole, part)
    )
    asked = at[-20:]
    assert np.array_equal(
        long.age_at(asked) - long.age_at(asked[0]), short.age_at(asked) - short.age_at(asked[0])
    )


@pytest.mark.slow
@every_response
@settings(max_examples=3, deadline=None)
@given(air=airs(most=5), lag=st.sampled_from([0, 60 * MINUTE_US]))
def test_within_a_second_a_day_of_an_adaptive_integrator(name, air, lag):
    theirs = reference_ages(air, RESPONSES[name], lag)
    days = (air.at_us[-1] - air.at_us[0]) / DAY_US
    for stance, ages in theirs.items():
        ours = build_clock(air, RESPONSES[name], stance, lag).age_at(air.at_us) / 1e6
        assert np.abs(ours - ages).max() <= max(days, 0.005), stance


@pytest.mark.parametrize("name", ["doubling", "water loss", "oxidation", "moisture cure", "table"])
def test_inside_a_leg_too_within_a_second_a_day(name):
    """A leg of twelve hours: asked in the middle, where pieces are filled in by a rule."""
    air = legs([12, 12], [22, 9, 21], [45, 100, 40])
    fine = np.linspace(*air.at_us[[0, -1]], 100_001).astype(np.int64)
    halves = np.interp(fine, air.at_us, air.temp_c), np.interp(fine, air.at_us, air.rh_pct)
    rate = RESPONSES[name].rate(*halves)
    theirs = np.concatenate([[0], np.cumsum((rate[1:] + rate[:-1]) / 2 * np.diff(fine))])
    ours = build_clock(air, RESPONSES[name]).age_at(fine)
    assert np.abs(ours - theirs).max() < 1e6


def test_damp_unknown_counts_temperature_alone_for_bare_and_85_for_what_acts():
    air = legs([10], [20, 20], np.nan)
    water = RESPONSES["water loss"]
    assert gained_h(build_clock(air, water), *air.at_us) == pytest.approx(10)
    drying = (100 - 85) / (100 - 50)
    for stance in (Stance.SLOW, Stance.STRICT, Stance.SLOW_SURE, Stance.STRICT_SURE):
        assert gained_h(build_clock(air, water, stance), *air.at_us) == pytest.approx(10 * drying)


def test_the_smaller_of_warmth_and_drying_air_rules():
    warm_and_damp = legs([1], [14, 14], 78)
    banked = gained_h(build_clock(warm_and_damp, RESPONSES["water loss"]), *warm_and_damp.at_us)
    assert banked == pytest.approx(0.30, abs=0.005)
    dry = legs([1], [14, 14], 40)
    assert gained_h(build_clock(dry, RESPONSES["water loss"]), *dry.at_us) == pytest.approx(
        0.66, abs=0.005
    )


def test_bare_never_counts_the_wood():
    air = legs([5, 5], [6, 18, 18])
    own = OwnStart(MONDAY_US, -5.0)
    plain, lagged = build_clock(air, PLAIN), build_clock(air, PLAIN, Stance.LIKELY, HOUR_US, own)
    assert np.array_equal(plain.age_us, lagged.age_us)
