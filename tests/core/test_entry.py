"""Guards for typed figures: the slip is named."""

import numpy as np
import pytest

from cureclock.core.refusal import Refused
from cureclock.core.wood.entry import humidity_pct, moment_us, rising_us, shop_temp_c


def test_humidity_typed_as_a_fraction_is_named():
    with pytest.raises(Refused, match=r"humidity 0.5 % .* 50 % is written 50, not 0\.50"):
        humidity_pct([60, 0.5])


@pytest.mark.parametrize("rh", [0, 1, 100])
def test_humidity_at_its_ends_is_taken(rh):
    assert humidity_pct(rh) == rh


@pytest.mark.parametrize("rh", [-1, 100.1, 0.001, 0.999, np.nan, np.inf])
def test_humidity_outside_is_refused(rh):
    with pytest.raises(Refused, match="humidity"):
        humidity_pct(rh)


def test_temperature_in_fahrenheit_is_named():
    with pytest.raises(Refused, match=r"wood temperature 68 degC .*68 degF is written 20"):
        shop_temp_c(68, "wood temperature")


def test_a_kiln_may_be_hotter_than_a_shop():
    assert shop_temp_c(68, kiln=True) == 68
    with pytest.raises(Refused):
        shop_temp_c(96, kiln=True)


def test_moments_have_to_rise():
    assert rising_us([1.0, 2.0]).dtype == np.int64
    for bad in ([2, 1], [1, 1], [], [[1, 2]], [1.0, np.nan], [2**63 - 1]):
        with pytest.raises(Refused):
            rising_us(bad)


def test_a_whole_moment_stays_exact():
    far = 2**53 + 1
    assert moment_us(far) == far
    with pytest.raises(Refused):
        moment_us(float("inf"))
