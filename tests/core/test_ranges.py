"""The ranges that docstrings of wood, coat and night print are those that hold, to the last digit."""

import inspect

import numpy as np
import pytest

from cureclock.core.coat import area, film
from cureclock.core.refusal import Refused
from cureclock.core.wood import (
    moisture,
)
from tests.core.ranges import RANGES, assert_finite, drawn_of, span_of

NOT_ALONE = {  # at this end only together with another figure
    ("volume_solids_pct", "volume_pct", 100),
    ("volume_of_weight_solids_pct", "liquid_kg_l", 0.6),
}


@pytest.mark.parametrize("function", RANGES, ids=lambda f: f.__name__)
def test_the_docstring_prints_the_range(function):
    said = (
        " ".join(inspect.getdoc(function).split()).replace("0 000", "0000").replace("6 525", "6525")
    )
    for low, high in filter(None, RANGES[function].values()):
        ends = [{1e6: "1e6", 0.0001: "0.0001"}.get(end, f"{end:.12g}") for end in (low, high)]
        assert f"{ends[0]} to {ends[1]}" in said, f"{ends} is not in {said}"


TOGETHER = {  # what goes together where ranges depend on each other
    film.volume_solids_pct: {"weight_solids_pct": 90.0},
    film.volume_of_weight_solids_pct: {"weight_solids_pct": 60.0, "liquid_kg_l": 1.6},
    area.ring_area_m2: {"inner_m": 0.0},
    moisture.rh_for_emc_pct: {"wanted_pct": 9.0},
}


def _usual(function):
    """A figure amid each range."""
    amid = {name: sum(span_of(function, name)) / 2 for name in drawn_of(function)}
    return amid | TOGETHER.get(function, {})


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
