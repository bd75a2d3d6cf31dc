"""Equilibrium moisture: worked figures, shape, and the way back."""

import timeit

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.wood.moisture import emc_pct, rh_for_emc_pct


@pytest.mark.parametrize(
    ("temp", "rh", "emc"),
    [(20, 65, 12.0), (21.1, 50, 9.2), (20, 35, 7.0), (15, 75, 14.6), (10, 80, 16.4)],
)
def test_emc_worked_by_hand(temp, rh, emc):
    assert round(float(emc_pct(temp, rh)), 1) == emc


def test_colder_than_the_printed_rows_counts_as_the_coldest():
    assert emc_pct(-15, 70) == emc_pct(-10 / 9, 70)
    assert emc_pct(-1.0, 70) != emc_pct(-10 / 9, 70)


def test_a_kiln_has_to_be_named():
    with pytest.raises(Refused):
        emc_pct(60, 55)
    assert emc_pct(60, 55, kiln=True) > 8


@given(st.floats(-40, 50), st.floats(1, 99), st.floats(0.1, 1))
def test_damper_air_means_wetter_wood(temp, rh, more):
    assert emc_pct(temp, rh + more) > emc_pct(temp, rh)


@given(st.floats(-40, 50), st.floats(5, 100))
def test_the_way_back_gives_the_humidity_again(temp, rh):
    wanted = emc_pct(temp, rh)
    assert rh_for_emc_pct(temp, wanted) == pytest.approx(rh, abs=1e-6)


def test_more_than_saturated_air_gives_is_refused_with_what_it_gives():
    with pytest.raises(Refused, match=r"1 to 26\.9 %, the most that air of 50 degC gives"):
        rh_for_emc_pct(50, 28)


def test_shapes_are_kept():
    assert emc_pct([[10], [20]], [40, 50, 60]).shape == (2, 3)
    assert rh_for_emc_pct([10, 20], 9).shape == (2,)
    assert emc_pct([], []).shape == (0,)
    assert np.ndim(emc_pct(20, 50)) == 0


def test_a_year_of_hourly_air_takes_under_5_ms():
    hour = np.arange(365 * 24)
    temp, rh = 10 + 9 * np.sin(hour / 1394), 70 + 12 * np.sin(hour / 3.8)
    assert min(timeit.repeat(lambda: emc_pct(temp, rh), number=1, repeat=10)) < 0.005


def test_the_printed_formula_to_the_third_place():
    """20 degC and 65 %: W = 349 + 25.8 + 5.4 = 380.2; K = 0.805 + 0.01472 - 0.001092 = 0.818628,
    Kh = 0.5321082; K1 = 6.27 - 0.1876 - 0.1212 = 5.9612, K2 = 1.91 + 0.814 - 0.1172 = 2.6068;
    K1 Kh = 3.172003, K1 K2 Kh^2 = 4.399885; 4.734350 x (1.137237 + 11.971773/8.571888) = 11.9963.
    """
    assert float(emc_pct(20, 65)) == pytest.approx(11.9962, abs=0.0005)
