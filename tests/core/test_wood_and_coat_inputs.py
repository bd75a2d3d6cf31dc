"""Whatever floats come in, every public name of wood, coat and night answers or refuses.

The ranges below are those the docstrings print; a test holds the two against each other.
"""

import importlib
import inspect
import pkgutil

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.core import coat, night, wood
from cureclock.core.coat import area, before_date, shop_hours, verdict
from cureclock.core.refusal import Refused
from cureclock.core.units import DAY_US
from cureclock.core.wood import (
    air_drying,
    dry_date,
    drying,
    entry,
    lag,
    meter,
    slab,
    weighing,
)
from tests.core.ranges import AIR, DAMP, RANGES, assert_finite, drawn_of, span_of

# Public names with a test of their own further down.
OWN_TEST = {
    "rising_us", "moment_us", "match_parts", "fit_drying", "forecast_dry", "next_meter_day",
    "expected_kappa", "settle", "weeks_until_within", "wood_after_step_c", "hours_to_warm",
    "turned_area_m2", "pappus_area_m2", "unfit_for_coat", "air_verdict", "coats_before",
    "latest_first_coat_us", "learn_half_gap", "redraw_night", "slab_coefficients",
    "left_of_roots",  # checks nothing by itself; slab_left and hours_to_warm call it
    # drawn from in test_may.py
    "Film", "ZoneState", "may_coat", "may_scuff", "may_handle", "may_wrap", "may_use",
    "Block", "AirLimits", "ShopHours", "ReadyTable", "CoatRoute", "KappaPrior",
}  # fmt: skip
ANSWERS = {
    "Match", "Movement", "EveningOut", "DryingFit", "DryForecast", "Settling", "LagBin",
    "AirVerdict", "Word", "Unfit", "CoatsBefore", "HalfGap",
}  # fmt: skip

ODD = [0.0, -0.0, 5e-324, 1e-300, 1e300, float("nan"), float("inf"), float("-inf"), 0.5, 68.0]
WILD = st.one_of(st.floats(), st.sampled_from(ODD), st.integers(-(2**70), 2**70))
RELAXED = settings(max_examples=50, deadline=None)


def figures(low: float, high: float) -> st.SearchStrategy[float]:
    """Mostly inside a range, at its ends and close to them, now and then anything."""
    near = st.floats(low, min(high, low + 1))
    inside = st.one_of(st.floats(low, high), near, st.sampled_from([low, high]))
    return st.integers(0, 7).flatmap(lambda turn: WILD if turn == 0 else inside)


def rows(low: float, high: float, size: int) -> st.SearchStrategy[list[float]]:
    return st.lists(figures(low, high), min_size=size, max_size=size)


def answers_or_refuses(call: object, *args: object, **kwargs: object) -> object:
    try:
        answer = call(*args, **kwargs)  # type: ignore[operator]
    except Refused:
        return None
    assert_finite(answer)
    return answer


def _modules() -> list:
    names = [
        f"{room.__name__}.{m.name}"
        for room in (wood, coat)
        for m in pkgutil.iter_modules(room.__path__)
    ]
    return [night, *(importlib.import_module(name) for name in names)]


def test_every_public_name_is_fuzzed():
    public = {
        name: value
        for module in _modules()
        for name, value in vars(module).items()
        if not name.startswith("_")
        and (inspect.isfunction(value) or inspect.isclass(value))
        and value.__module__ == module.__name__
    }
    tabled = {function.__name__ for function in RANGES}
    assert set(public) == tabled | OWN_TEST | ANSWERS


@pytest.mark.parametrize("function", RANGES, ids=lambda f: f.__name__)
def test_every_function_answers_or_refuses(function):
    answered = 0

    @RELAXED
    @given(data=st.data())
    def fuzz(data):
        nonlocal answered
        size = data.draw(st.sampled_from([None, 3]))
        span = {name: span_of(function, name) for name in drawn_of(function)}
        figure = {n: figures(*s) if size is None else rows(*s, size) for n, s in span.items()}
        answer = answers_or_refuses(function, **data.draw(st.fixed_dictionaries(figure)))
        answered += answer is not None

    fuzz()
    assert answered >= 3, "the fuzz is not to be one of refusals only"


@RELAXED
@given(st.one_of(WILD, st.lists(WILD, max_size=4)))
def test_moments_answer_or_refuse(moments):
    answers_or_refuses(entry.rising_us, moments)
    if not isinstance(moments, list):
        answers_or_refuses(entry.moment_us, moments)


@RELAXED
@given(st.integers(0, 4).flatmap(lambda n: rows(1, 60, n)), st.none() | figures(1, 30))
def test_match_answers_or_refuses(parts, home):
    answers_or_refuses(meter.match_parts, parts, home)


@RELAXED
@given(st.integers(0, 4).flatmap(lambda n: rows(1e-6, 1000, n)))
def test_slab_coefficients_answer_or_refuse(roots):
    answers_or_refuses(slab.slab_coefficients, roots)


READINGS = st.integers(0, 5).flatmap(
    lambda n: st.tuples(rows(0, 36_525, n), rows(0, 250, n), rows(0.1, 10, n))
)


@settings(RELAXED, max_examples=200)
@given(READINGS, figures(1, 30), figures(1, 60), st.none() | figures(1e-5, 10))
def test_drying_and_its_dates_answer_or_refuse(readings, emc, target, expected):
    prior = None
    if expected is not None:
        prior = answers_or_refuses(air_drying.KappaPrior, expected, 0.5)
    days, moistures, errors = readings
    fit = answers_or_refuses(
        drying.fit_drying, days, moistures, emc, error_points=errors or 1.0, prior=prior
    )
    if fit is not None:
        answers_or_refuses(dry_date.forecast_dry, fit, target)
        answers_or_refuses(dry_date.next_meter_day, fit, target)


@RELAXED
@given(st.sampled_from([*air_drying.AIR_DRYING_DAYS, "plywood", ""]), figures(0.01, 0.15))
def test_expected_rates_answer_or_refuse(name, thickness):
    answers_or_refuses(air_drying.expected_kappa, name, thickness)


@settings(RELAXED, max_examples=200)
@given(
    st.integers(0, 5).flatmap(lambda n: st.tuples(rows(500, 2000, n), rows(0, 20, n))),
    st.booleans(),
    figures(0.1, 1e5),
)
def test_weighing_answers_or_refuses(weighings, falling, near):
    weights, weeks = weighings
    if falling:
        weights = sorted(weights, key=lambda w: -abs(w))
    for given_weeks in (None, weeks, sorted(weeks, key=float)):
        settling = answers_or_refuses(weighing.settle, weights, given_weeks)
        if settling is not None:
            answers_or_refuses(weighing.weeks_until_within, settling, near)


@settings(RELAXED, max_examples=200)
@given(
    st.tuples(figures(0.0005, 0.4), figures(130, 1300), figures(0, 25), figures(1, 200)),
    st.sampled_from([1, 2, 3]),
    st.tuples(figures(-40, 50), figures(-40, 95), figures(-40, 50), figures(0, 1000)),
)
def test_blocks_answer_or_refuse(wood_piece, faces, air_step):
    block = answers_or_refuses(lag.Block, *wood_piece, faces=faces)
    if block is None:
        return
    start, around, wanted, hours = air_step
    assert_finite([block.biot, block.hour_in_fourier, block.time_constant_h])
    answers_or_refuses(lag.wood_after_step_c, block, start, around, hours)
    answers_or_refuses(lag.hours_to_warm, block, start, around, wanted)


@RELAXED
@given(st.integers(0, 5).flatmap(lambda n: st.tuples(rows(-20, 20, n), rows(0, 10, n))))
def test_turned_areas_answer_or_refuse(outline):
    answers_or_refuses(area.turned_area_m2, *outline)
    answers_or_refuses(area.pappus_area_m2, *outline)


MOMENTS = st.lists(st.integers(0, 9 * DAY_US), min_size=1, max_size=6, unique=True).map(sorted)


@settings(RELAXED, max_examples=200)
@given(data=st.data())
def test_air_verdicts_answer_or_refuse(data):
    at = data.draw(MOMENTS | st.lists(WILD, max_size=3))
    limits = answers_or_refuses(
        verdict.AirLimits, data.draw(figures(-10, 40)), data.draw(figures(20, 100)), 3.0
    )
    if limits is None:
        return
    airs = [data.draw(rows(*span, len(at))) for span in (AIR, DAMP, AIR)]
    answers_or_refuses(verdict.unfit_for_coat, *airs, limits)
    wet = data.draw(figures(0, 3 * DAY_US))
    answers_or_refuses(verdict.air_verdict, at, *airs, wet_us=wet, limits=limits)


@RELAXED
@given(data=st.data())
def test_coats_before_a_date_answer_or_refuse(data):
    ends = data.draw(MOMENTS | st.lists(WILD, max_size=4))
    hours = answers_or_refuses(shop_hours.ShopHours, ends[::2], ends[1::2])
    starts = data.draw(MOMENTS)
    waits = data.draw(st.lists(st.integers(-5, DAY_US), min_size=len(starts), max_size=len(starts)))
    table = answers_or_refuses(shop_hours.ReadyTable, starts, np.add(starts, waits))
    if hours is None or table is None:
        return
    hands = data.draw(figures(0, DAY_US))
    route = answers_or_refuses(before_date.CoatRoute, hands, table, table, table, 60)
    if route is None:
        return
    first, due = data.draw(figures(0, 9 * DAY_US)), data.draw(figures(0, 20 * DAY_US))
    answers_or_refuses(
        before_date.coats_before,
        route,
        hours,
        from_us=first,
        due_us=due,
        most=data.draw(figures(0, 60)),
    )
    answers_or_refuses(
        before_date.latest_first_coat_us, route, hours, coats=data.draw(figures(1, 60)), due_us=due
    )


@settings(RELAXED, max_examples=200)
@given(st.integers(0, 6).flatmap(
    lambda n: st.tuples(rows(0, 3, n), rows(0, 240, n), rows(-40, 50, n), rows(-40, 50, n))
))  # fmt: skip
def test_learning_the_half_gap_answers_or_refuses(nights):
    answers_or_refuses(night.learn_half_gap, *nights)


@settings(RELAXED, max_examples=200)
@given(
    st.one_of(MOMENTS, st.lists(WILD, max_size=4)).flatmap(
        lambda at: st.tuples(st.just(at), rows(-40, 50, len(at)))
    ),
    figures(-40, 50),
    st.none() | st.integers(-5, 9 * DAY_US),
)
def test_redrawn_nights_answer_or_refuse(curve, lowest, coldest):
    answers_or_refuses(night.redraw_night, *curve, lowest, coldest)
