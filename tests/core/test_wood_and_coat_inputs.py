"""Whatever floats come in, every public name of wood, coat and night answers or refuses.

The ranges below are those the docstrings print; a test holds the two against each other.
"""

import importlib
import inspect
import pkgutil
from dataclasses import fields, is_dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.core import coat, night, wood
from cureclock.core.coat import air, area, before_date, coverage, film, shop_hours, verdict
from cureclock.core.refusal import Refused
from cureclock.core.units import DAY_US
from cureclock.core.wood import (
    air_drying,
    dry_date,
    drying,
    entry,
    glue_water,
    heat,
    lag,
    meter,
    moisture,
    movement,
    slab,
    weighing,
)

AIR, DAMP, OLD = (-40, 50), (1, 100), (0, 36_525)
GRAVITY, WET = (0.1, 1.3), (0, 25)
RANGES = {
    air.saturation_pressure_pa: {"temp_c": (-100, 200)},
    air.dew_point_c: {"temp_c": AIR, "rh_pct": DAMP},
    air.dew_point_magnus_c: {"temp_c": AIR, "rh_pct": DAMP},
    air.vapour_density_g_m3: {"temp_c": AIR, "rh_pct": DAMP},
    air.drying_power: {"temp_c": AIR, "rh_pct": DAMP, "label_temp_c": (0, 50),
                       "label_rh_pct": (1, 95)},
    air.night_rh_pct: {"temp_c": AIR, "rh_pct": DAMP, "night_temp_c": AIR},
    area.box_area_m2: {"length_m": (0, 20), "width_m": (0, 20), "thickness_m": (0, 20)},
    area.ring_area_m2: {"outer_m": (0, 20)},
    area.swept_area_m2: {"outline_m": (0, 1e6), "balance_radius_m": (0, 10)},
    coverage.litres: {"area_m2": (0, 1000), "coats": (0, 50), "coverage_m2_l": (0.1, 1000),
                      "pieces": (0, 100_000), "loss_fraction": (0, 2)},
    film.volume_solids_pct: {"volume_pct": (1, 100)},
    film.volume_of_weight_solids_pct: {"weight_solids_pct": (1, 100), "coating_kg_l": (0.7, 2.5),
                                       "liquid_kg_l": (0.6, 1.6)},
    film.spreading_rate_m2_l: {"dry_film_um": (1, 5000), "volume_pct": (1, 100)},
    film.practical_rate_m2_l: {"rate_m2_l": (0.1, 1000), "loss_fraction": (0, 0.9)},
    film.wet_film_um: {"dry_film_um": (1, 5000), "volume_pct": (1, 100),
                       "thinner_fraction": (0, 2)},
    film.dry_film_um: {"wet_film": (1, 5000), "volume_pct": (1, 100), "thinner_fraction": (0, 2)},
    film.wet_film_of_rate_um: {"rate_m2_l": (0.1, 1000)},
    night.shed_temp_c: {"start_c": AIR, "outside_c": AIR, "elapsed_h": (0, 240),
                        "half_gap_h": (0.25, 72)},
    night.hours_until_c: {"start_c": AIR, "outside_c": AIR, "wanted_c": AIR,
                          "half_gap_h": (0.25, 72)},
    entry.humidity_pct: {"rh_pct": DAMP},
    entry.shop_temp_c: {"temp_c": AIR},
    moisture.emc_pct: {"temp_c": AIR, "rh_pct": DAMP},
    moisture.rh_for_emc_pct: {"temp_c": AIR},
    meter.meter_corrected_pct: {"reading_pct": (6, 30), "wood_temp_c": (-20, 50),
                                "calibrated_c": (15, 30), "species_points": (-5, 5)},
    movement.movement_linear_mm: {"width_mm": (0, 20_000), "mc_from_pct": (6, 14),
                                  "mc_to_pct": (6, 14)},
    movement.movement_total_mm: {"width_mm": (0, 20_000), "shrinkage_pct": (0.5, 20),
                                 "mc_from_pct": (0, 30), "mc_to_pct": (0, 30)},
    movement.movement: {"width_mm": (0, 20_000), "mc_from_pct": (0, 30), "mc_to_pct": (0, 30),
                        "coefficient": None, "shrinkage_pct": (0.5, 20)},
    movement.fit_gap_mm: {"opening_mm": (0, 20_000), "part_mm": (0, 20_000),
                          "opening_change_mm": (-2000, 2000), "part_change_mm": (-2000, 2000)},
    movement.flush_step_mm: {"width_mm": (0, 20_000), "mc_a_pct": None, "mc_b_pct": None,
                             "home_pct": (6, 14), "coefficient_a": None, "coefficient_b": None},
    glue_water.glue_water_points: {"spread_g_m2": (10, 1000), "water_fraction": (0, 0.95),
                                   "thickness_m": (0.0002, 1), "density_kg_m3": (80, 1400),
                                   "lines": (1, 200), "mc_pct": (0, 60)},
    glue_water.moisture_diffusion_m2_s: {"temp_c": (-40, 95)},
    glue_water.evening_out: {"temp_c": (-40, 70), "depth_m": (0.001, 0.1)},
    drying.moisture_after_pct: {"days": OLD, "start_pct": (0, 250), "emc_pct": (0, 30),
                                "kappa_per_day": (0.0001, 2)},
    air_drying.kappa_moved: {"temp_from_c": AIR, "temp_to_c": AIR},
    heat.density_kg_m3: {"gravity": GRAVITY, "mc_pct": WET},
    heat.gravity_of_density: {"density": (130, 1300), "mc_pct": WET},
    heat.conductivity_w_mk: {"gravity": GRAVITY, "mc_pct": WET},
    heat.heat_capacity_j_kgk: {"temp_c": (-40, 95), "mc_pct": WET},
    heat.diffusivity_m2_s: {"gravity": GRAVITY, "mc_pct": WET, "temp_c": (-40, 95)},
    slab.biot_number: {"surface_w_m2k": (1, 200), "half_thickness_m": (0.0001, 1),
                       "conductivity_w_mk": (0.02, 1)},
    slab.slab_roots: {"biot": (0.0001, 10_000)},
    slab.slab_left: {"biot": (0.0001, 10_000), "fourier": (0, 1e6), "depth": None},
    slab.slab_left_one_term: {"biot": (0.0001, 10_000), "fourier": (0.2, 1e6), "depth": None},
    lag.pencil_lag_h: {"thickness_m": (0.0005, 0.4)},
    lag.lag_bin: {"time_constant_h": (0, 1000)},
}  # fmt: skip

# Arguments whose range depends on another, or is not printed as "a to b": drawn from here.
ALSO = {
    "inner_m": (0, 20), "weight_solids_pct": (1, 100), "wanted_pct": (1, 30),
    "coefficient": (0, 0.008), "mc_a_pct": (6, 14), "mc_b_pct": (6, 14),
    "coefficient_a": (0, 0.008), "coefficient_b": (0, 0.008), "kappa_per_day": (1e-5, 10),
    "depth": (0, 1), "roots": (1e-6, 1000),
}  # fmt: skip

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

NOT_ALONE = {  # at this end only together with another figure
    ("volume_solids_pct", "volume_pct", 100),
    ("volume_of_weight_solids_pct", "liquid_kg_l", 0.6),
}

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


def assert_finite(answer: object) -> None:
    if is_dataclass(answer):
        for field in fields(answer):
            assert_finite(getattr(answer, field.name))
        return
    array = np.asarray(answer)
    assert array.dtype.kind in "fiubU", array.dtype
    if array.dtype.kind == "f":
        assert np.isfinite(array).all(), answer


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


def _span(function, name):
    return RANGES[function].get(name) or ALSO[name]


def _drawn(function):
    return [*RANGES[function], *(n for n in inspect.signature(function).parameters
            if n in ALSO and n not in RANGES[function])]  # fmt: skip


@pytest.mark.parametrize("function", RANGES, ids=lambda f: f.__name__)
def test_every_function_answers_or_refuses(function):
    answered = 0

    @RELAXED
    @given(data=st.data())
    def fuzz(data):
        nonlocal answered
        size = data.draw(st.sampled_from([None, 3]))
        span = {name: _span(function, name) for name in _drawn(function)}
        figure = {n: figures(*s) if size is None else rows(*s, size) for n, s in span.items()}
        answer = answers_or_refuses(function, **data.draw(st.fixed_dictionaries(figure)))
        answered += answer is not None

    fuzz()
    assert answered >= 3, "the fuzz is not to be one of refusals only"


@pytest.mark.parametrize("function", RANGES, ids=lambda f: f.__name__)
def test_the_docstring_prints_the_range(function):
    said = (
        " ".join(inspect.getdoc(function).split()).replace("0 000", "0000").replace("6 525", "6525")
    )
    for low, high in filter(None, RANGES[function].values()):
        ends = [{1e6: "1e6", 0.0001: "0.0001"}.get(end, f"{end:.12g}") for end in (low, high)]
        assert f"{ends[0]} to {ends[1]}" in said, f"{ends} is not in {said}"


def _usual(function):
    """A figure amid each range; where ranges depend on each other, ones that go together."""
    usual = {
        name: (low + high) / 2 for name in _drawn(function) for low, high in [_span(function, name)]
    }
    usual |= {n: v for n, v in {"weight_solids_pct": 90.0, "inner_m": 0.0, "wanted_pct": 9.0}.items()
              if n in usual and RANGES[function].get(n) is None}  # fmt: skip
    if function is film.volume_of_weight_solids_pct:
        usual |= {"weight_solids_pct": 60.0, "liquid_kg_l": 1.6}
    return usual


@pytest.mark.parametrize("function", RANGES, ids=lambda f: f.__name__)
def test_both_ends_of_a_range_are_answered(function):
    usual = _usual(function)
    for name, span in RANGES[function].items():
        for end in span or ():
            if (function.__name__, name, end) not in NOT_ALONE:
                assert_finite(function(**{**usual, name: end}))


@pytest.mark.parametrize("function", RANGES, ids=lambda f: f.__name__)
def test_what_lies_outside_the_range_is_refused_with_its_range(function):
    usual = _usual(function)
    assert_finite(function(**usual))
    for name, span in RANGES[function].items():
        if span is None:
            continue
        below, above = np.nextafter(span, [-np.inf, np.inf])
        for outside in (below, above, float("nan"), float("inf"), -float("inf")):
            with pytest.raises(Refused) as refusal:
                function(**{**usual, name: outside})
            assert any(letter.isdigit() for letter in refusal.value.valid)


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
