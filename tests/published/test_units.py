"""Conversions against printed pairs."""

import numpy as np
import pytest

from cureclock.core.units import celsius_of_fahrenheit, g_m2_of_lb_msf

MANUAL = "construction manual of a wooden aircraft, appendix D, resorcinol sheet: 50 to 70 lb is 244 to 342 g/m2"
ARITHMETIC = "factor 4.8824, by the definitions of pound and foot"


def test_spread_of_a_resin_sheet(checked):
    """Printed both ways: 50, 60 and 70 lb to 1000 ft2 are 244, 293 and 342 g/m2."""
    ours = [g_m2_of_lb_msf(lb) for lb in (50, 60, 70)]
    checked("spread [g/m2]", MANUAL, ours, [244, 293, 342])
    assert ours == pytest.approx([244, 293, 342], abs=0.5)


def test_spread_by_the_factor(checked):
    pounds = np.array([30, 35, 40, 50, 60, 65, 70, 80, 100])
    ours = [g_m2_of_lb_msf(lb) for lb in pounds]
    printed = [146.5, 170.9, 195.3, 244.1, 292.9, 317.4, 341.8, 390.6, 488.2]
    checked("spread, by the factor [g/m2]", ARITHMETIC, ours, printed)
    assert ours == pytest.approx(printed, abs=0.1)


def test_fahrenheit_of_the_moisture_table(checked):
    """The printed pairs of the moisture table's rows (Wood Handbook, table 4-2)."""
    ours = [celsius_of_fahrenheit(degf) for degf in (30, 40, 50, 60, 70, 80, 90, 100)]
    printed = [-1.1, 4.4, 10.0, 15.6, 21.1, 26.7, 32.2, 37.8]
    checked(
        "temperature [degC]", "Wood Handbook FPL-GTR-190 (2010) table 4-2, p. 4-4", ours, printed
    )
    assert ours == pytest.approx(printed, abs=0.06)
