"""Saturation pressure, dew point and vapour density against printed tables and psychrolib."""

import numpy as np
import psychrolib
import pytest

from cureclock.core.coat.air import (
    dew_point_c,
    dew_point_magnus_c,
    drying_power,
    saturation_pressure_pa,
    vapour_density_g_m3,
)

PSYCHROLIB = "psychrolib test values (ASHRAE)"

# T [degC], RH [%], dew point [degC] by psychrolib's ASHRAE formulae.
DEW_POINTS = np.array([
    (10, 50, 0.063), (10, 80, 6.713), (15, 50, 4.672), (15, 65, 8.482), (15, 85, 12.501),
    (16, 71, 10.750), (18, 60, 10.128), (20, 30, 1.914), (20, 40, 6.004), (20, 50, 9.272),
    (20, 60, 12.007), (20, 65, 13.227), (20, 70, 14.367), (20, 80, 16.447), (20, 85, 17.403),
    (23, 50, 12.028), (25, 40, 10.476), (25, 50, 13.864), (25, 60, 16.701), (25, 80, 21.309),
    (25, 85, 22.302), (30, 50, 18.447), (30, 70, 23.928), (30, 80, 26.169),
])  # fmt: skip

# Saturated vapour [g/m3] and its pressure [hPa]: CRC Handbook of Chemistry and Physics, 62nd ed.
# (1981), as reprinted at archive.unu.edu/unupress/unupbooks/80a01e/80A01E0d.htm
CRC = np.array([
    (-10, 2.16, 2.62), (-8, 2.56, 3.12), (-6, 3.01, 3.70), (-4, 3.54, 4.39), (-2, 4.15, 5.18),
    (0, 4.86, 6.11), (2, 5.57, 7.05), (4, 6.37, 8.13), (6, 7.27, 9.35), (8, 8.28, 10.72),
    (10, 9.42, 12.28), (12, 10.68, 14.03), (14, 12.09, 15.99), (16, 13.66, 18.19),
    (18, 15.40, 20.65), (20, 17.33, 23.40), (22, 19.46, 26.45), (24, 21.83, 29.86),
    (26, 24.43, 33.65), (28, 27.29, 37.84), (30, 30.43, 42.48), (32, 33.87, 47.60),
    (34, 37.66, 53.26),
])  # fmt: skip


@pytest.fixture(scope="module", autouse=True)
def metric():
    psychrolib.SetUnitSystem(psychrolib.SI)


def test_saturation_pressure_at_printed_points(checked):
    """psychrolib tests/test_psychrolib_si.py: -5, 5, 25, 50 degC, relative 3e-4."""
    printed = np.array([401.74, 872.6, 3169.7, 12351.3])
    ours = saturation_pressure_pa([-5, 5, 25, 50])
    checked("saturation pressure [Pa]", PSYCHROLIB, ours, printed)
    assert ours == pytest.approx(printed, rel=3e-4)


def test_saturation_pressure_agrees_with_psychrolib_over_ice_and_water(checked):
    temp = np.arange(-100, 200, 0.37)
    theirs = np.array([psychrolib.GetSatVapPres(t) for t in temp])
    ours = saturation_pressure_pa(temp)
    checked("ln saturation pressure, -100 to 200 degC", "psychrolib", np.log(ours), np.log(theirs))
    assert ours == pytest.approx(theirs, rel=3e-4)


def test_steam_table_points(checked):
    """IAPWS saturation: 10 degC 1.2282, 20 degC 2.3393, 30 degC 4.2470, 40 degC 7.3849 kPa.

    Steam tables (NIST/IAPWS-95), from memory.
    """
    printed = np.array([1228.2, 2339.3, 4247.0, 7384.9])
    ours = saturation_pressure_pa([10, 20, 30, 40])
    checked("saturation pressure [Pa], 4 points", "IAPWS steam tables (from memory)", ours, printed)
    assert ours == pytest.approx(printed, rel=5e-4)


def test_dew_points(checked):
    temp, rh, printed = DEW_POINTS.T
    ours = dew_point_c(temp, rh)
    checked("dew point, 24 airs [degC]", "psychrolib (ASHRAE)", ours, printed)
    assert np.abs(ours - printed).max() <= 0.001


def test_dew_point_of_the_pencil_formula(checked):
    temp, rh, printed = DEW_POINTS.T
    ours = dew_point_magnus_c(temp, rh)
    checked("dew point by Magnus, 24 airs [degC]", "psychrolib (ASHRAE)", ours, printed)
    assert np.abs(ours - printed).max() <= 0.035  # 0.032 at 20 degC, 30 %; 0.024 elsewhere


def test_dew_point_is_the_inverse_of_psychrolib_too(checked):
    temp, rh = (part.ravel() for part in np.meshgrid(np.arange(-30, 50, 2.5), [2, 20, 55, 97, 100]))
    theirs = [psychrolib.GetTDewPointFromRelHum(t, h / 100) for t, h in zip(temp, rh, strict=True)]
    ours = dew_point_c(temp, rh)
    checked("dew and frost point, -30 to 47.5 degC", "psychrolib", ours, theirs)
    assert np.abs(ours - theirs).max() <= 0.001


def test_a_printed_hot_and_damp_dew_point(checked):
    """50 degC and 90 % give 47.90 degC (calcunation.com)."""
    ours = float(dew_point_magnus_c(50, 90))
    checked("dew point of 50 degC, 90 % [degC]", "calcunation.com", ours, 47.90)
    assert ours == pytest.approx(47.90, abs=0.03)


def test_vapour_density_against_the_crc_table(checked):
    temp, printed, pressure_hpa = CRC.T
    ours = vapour_density_g_m3(temp, 100)
    checked(
        "saturated vapour, -10 to 34 degC [g/m3]", "CRC Handbook, 62nd ed. (1981)", ours, printed
    )
    assert ours == pytest.approx(printed, rel=0.011)  # three figures are printed
    assert saturation_pressure_pa(temp) / 100 == pytest.approx(pressure_hpa, rel=0.009)


def test_drying_power_is_the_vapour_pressure_deficit(checked):
    """ASHRAE deficit by psychrolib: p_sat(T)(1 - RH) beside 20 degC, 50 %."""
    airs = [(14, 78), (5, 90), (25, 40), (-4, 70)]
    theirs = [
        psychrolib.GetSatVapPres(t) * (1 - h / 100) / (psychrolib.GetSatVapPres(20) * 0.5)
        for t, h in airs
    ]
    ours = drying_power(*np.array(airs).T)
    checked("drying power of 4 airs", "psychrolib", ours, theirs)
    assert ours == pytest.approx(theirs, rel=3e-4)
