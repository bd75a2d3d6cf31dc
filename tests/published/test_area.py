"""Turned areas against the closed formulae of geometry books."""

import numpy as np
import pytest

from cureclock.core.coat.area import pappus_area_m2, swept_area_m2, turned_area_m2


def test_a_sphere_of_many_cones(checked):
    """4 pi r^2: Archimedes, On the Sphere and Cylinder."""
    angle = np.linspace(0, np.pi, 4001)
    ours = float(turned_area_m2(-0.08 * np.cos(angle), 0.08 * np.sin(angle)))
    checked("sphere of 160 mm [m2]", "Archimedes, 4 pi r^2", ours, 4 * np.pi * 0.08**2)
    assert ours == pytest.approx(4 * np.pi * 0.08**2, rel=1e-6)


def test_a_torus_by_pappus_and_by_cones(checked):
    """4 pi^2 R r: Pappus of Alexandria."""
    angle = np.linspace(0, 2 * np.pi, 4001)
    along, radius = 0.015 * np.sin(angle), 0.1 + 0.015 * np.cos(angle)
    printed = 4 * np.pi**2 * 0.1 * 0.015
    ours = float(turned_area_m2(along, radius, ends=False))
    checked("torus 200 x 30 mm [m2]", "Pappus, 4 pi^2 R r", ours, printed)
    assert ours == pytest.approx(printed, rel=1e-5)
    assert pappus_area_m2(along, radius) == pytest.approx(printed, rel=1e-5)
    assert swept_area_m2(2 * np.pi * 0.015, 0.1) == pytest.approx(printed, rel=1e-12)


def test_a_cone(checked):
    """pi r slant + pi r^2."""
    printed = np.pi * 0.05 * np.hypot(0.05, 0.12) + np.pi * 0.05**2
    ours = float(turned_area_m2([0, 0.12], [0, 0.05]))
    checked("cone 100 x 120 mm [m2]", "Euclid, pi r (r + slant)", ours, printed)
    assert ours == pytest.approx(printed, rel=1e-12)


def test_a_paraboloid_needs_close_points(checked):
    """pi r/(6 h^2) ((r^2 + 4 h^2)^1.5 - r^3), CRC Standard Mathematical Tables (from memory)."""
    r, h = 0.09, 0.07
    printed = np.pi * r / (6 * h**2) * ((r**2 + 4 * h**2) ** 1.5 - r**3)
    radius = np.linspace(0, r, 2001)
    fine = float(turned_area_m2(h * (radius / r) ** 2, radius, ends=False))
    coarse = float(turned_area_m2(h * (radius[::500] / r) ** 2, radius[::500], ends=False))
    checked("bowl 180 x 70 mm, inside [m2]", "CRC tables (from memory)", fine, printed)
    assert fine == pytest.approx(printed, rel=1e-6)
    assert coarse < printed  # straight pieces cut a bulge short
    assert coarse == pytest.approx(printed, rel=0.02)
