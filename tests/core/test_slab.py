"""The slab: bounds, order and agreement of its two forms."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.wood.slab import (
    biot_number,
    slab_coefficients,
    slab_left,
    slab_left_one_term,
    slab_roots,
)

BIOTS = st.floats(-4, 3).map(lambda power: 10.0**power)


@given(BIOTS)
def test_roots_solve_their_equation_and_lie_one_in_each_half_turn(biot):
    roots = slab_roots(min(max(biot, 1e-4), 1e3), 12)
    assert np.all(np.floor(roots / np.pi) == np.arange(12))
    assert roots * np.tan(roots) == pytest.approx(np.full(12, biot), rel=1e-6)


@given(st.floats(0.01, 10), st.floats(0.001, 20), st.floats(0, 1))
def test_the_share_left_is_between_none_and_all_and_least_at_the_face(biot, fourier, depth):
    left = slab_left(biot, fourier, depth)
    assert 0 <= slab_left(biot, fourier, 1) <= left + 1e-9
    assert left <= slab_left(biot, fourier, 0) + 1e-9 <= 1 + 1e-9


@given(st.floats(0.01, 10), st.floats(0.002, 5), st.floats(1.01, 2))
def test_the_share_left_falls_with_time(biot, fourier, later):
    assert slab_left(biot, fourier * later) <= slab_left(biot, fourier) + 1e-12


@given(st.floats(0.01, 10), st.floats(0.2, 5))
def test_one_term_is_within_two_per_cent_from_a_fifth_on(biot, fourier):
    assert slab_left_one_term(biot, fourier) == pytest.approx(
        float(slab_left(biot, fourier)), rel=0.02
    )


def test_at_the_start_everything_is_left():
    assert slab_left(2.0, 0) == 1
    assert slab_left(2.0, 0.001) == pytest.approx(1, abs=1e-6)


def test_one_term_is_refused_where_it_is_not_enough():
    with pytest.raises(Refused, match=r"Fourier number 0\.1 "):
        slab_left_one_term(1.0, 0.1)


def test_many_slabs_and_times_at_once():
    assert slab_left([[0.1], [1.0]], [0.1, 0.5, 2.0]).shape == (2, 3)
    assert biot_number([5, 8], 0.02, 0.15).shape == (2,)


def test_a_root_beyond_a_thousand_is_refused():
    assert np.isfinite(slab_coefficients(1000))
    with pytest.raises(Refused, match="root"):
        slab_coefficients(np.nextafter(1000, 2000))
