"""The water in the air: worked figures and which way they move."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.air import (
    dew_point_c,
    dew_point_magnus_c,
    drying_power,
    night_rh_pct,
    saturation_pressure_pa,
    vapour_density_g_m3,
)
from cureclock.core.refusal import Refused

SHOP_C, DAMP_PCT = st.floats(-30, 45), st.floats(1, 100)


def test_dew_worked_by_hand():
    """14 degC and 72 %: dew point 9.0, so the wood has to be at 12.0."""
    assert round(float(dew_point_magnus_c(14, 72)), 1) == 9.0
    assert round(float(dew_point_c(14, 72)), 1) == 9.0


def test_night_worked_by_hand():
    """17 degC and 68 % cooling to 12: 94 %."""
    assert round(float(night_rh_pct(17, 68, 12))) == 94


def test_drying_power_worked_by_hand():
    """14 degC, 78 %: 3.51 hPa against 11.66, 0.30."""
    assert saturation_pressure_pa(14) * 0.22 / 100 == pytest.approx(3.51, abs=0.01)
    assert saturation_pressure_pa(20) * 0.50 / 100 == pytest.approx(11.66, abs=0.04)
    assert drying_power(14, 78) == pytest.approx(0.30, abs=0.002)


@given(SHOP_C, DAMP_PCT)
def test_at_its_dew_point_the_same_air_is_saturated(temp, rh):
    dew = dew_point_c(temp, rh)
    held = saturation_pressure_pa(dew) / saturation_pressure_pa(temp)
    assert 100 * held == pytest.approx(rh, rel=1e-4)
    assert dew <= temp


@given(SHOP_C, st.floats(1, 98), st.floats(0.5, 2))
def test_damper_air_has_more_water_a_higher_dew_point_and_dries_less(temp, rh, more):
    assert vapour_density_g_m3(temp, rh + more) > vapour_density_g_m3(temp, rh)
    assert dew_point_c(temp, rh + more) > dew_point_c(temp, rh)
    assert drying_power(temp, rh + more) < drying_power(temp, rh)


@given(SHOP_C, DAMP_PCT, st.floats(0.1, 10))
def test_cooling_never_makes_air_drier(temp, rh, fall):
    assert rh - 1e-9 <= night_rh_pct(temp, rh, temp - fall) <= 100


def test_saturation_has_no_gap_at_freezing():
    below, above = saturation_pressure_pa([0.0099, 0.0101])
    assert above == pytest.approx(below, rel=5e-4)


def test_the_labels_air_dries_at_one():
    assert drying_power(20, 50) == 1
    assert drying_power(23, 65, 23, 65) == 1
    assert drying_power(20, 100) == 0


def test_slips_are_named():
    with pytest.raises(Refused, match="68 degF is written 20"):
        dew_point_c(68, 50)
    with pytest.raises(Refused, match=r"not 0\.50"):
        drying_power(20, 0.5)


def test_shapes_are_kept():
    assert dew_point_c([[10], [20]], [40, 50, 60]).shape == (2, 3)
    assert np.ndim(dew_point_c(20, 50)) == 0
    assert saturation_pressure_pa([]).shape == (0,)
