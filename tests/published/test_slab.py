"""Slab roots and coefficients against the printed table; one term against the series."""

import numpy as np
import pytest

from cureclock.core.wood.slab import (
    slab_coefficients,
    slab_left,
    slab_left_one_term,
    slab_roots,
)

CENGEL = "Cengel, Heat and Mass Transfer, Table 4-2 (plane wall)"

# Bi, lambda1 [rad], A1; read at scribd.com/document/599988189
TABLE = np.array([
    (0.01, 0.0998, 1.0017), (0.02, 0.1410, 1.0033), (0.04, 0.1987, 1.0066),
    (0.06, 0.2425, 1.0098), (0.08, 0.2791, 1.0130), (0.1, 0.3111, 1.0161),
    (0.2, 0.4328, 1.0311), (0.3, 0.5218, 1.0450), (0.4, 0.5932, 1.0580),
    (0.5, 0.6533, 1.0701), (0.6, 0.7051, 1.0814), (0.7, 0.7506, 1.0918),
    (0.8, 0.7910, 1.1016), (0.9, 0.8274, 1.1107), (1.0, 0.8603, 1.1191),
    (2.0, 1.0769, 1.1785), (3.0, 1.1925, 1.2102), (4.0, 1.2646, 1.2287),
    (5.0, 1.3138, 1.2403), (6.0, 1.3496, 1.2479), (7.0, 1.3766, 1.2532),
    (8.0, 1.3978, 1.2570), (9.0, 1.4149, 1.2598), (10.0, 1.4289, 1.2620),
])  # fmt: skip


def test_first_roots(checked):
    biot, printed, _ = TABLE.T
    ours = slab_roots(biot)[:, 0]
    checked("slab lambda1, Bi 0.01 to 10 [rad]", CENGEL, ours, printed)
    assert np.abs(ours - printed).max() <= 0.0001


def test_first_coefficients(checked):
    biot, _, printed = TABLE.T
    ours = slab_coefficients(slab_roots(biot)[:, 0])
    checked("slab C1, Bi 0.01 to 10", CENGEL, ours, printed)
    assert np.abs(ours - printed).max() <= 0.0001


def test_further_roots_at_biot_one(checked):
    """Carslaw and Jaeger (1959) appendix IV, table I, C = 1: .8603 3.4256 6.4373 9.5293.

    From memory.
    """
    printed = [0.8603, 3.4256, 6.4373, 9.5293]
    ours = slab_roots(1.0, 4)
    checked("slab roots at Bi 1 [rad]", "Carslaw and Jaeger (from memory)", ours, printed)
    assert np.abs(ours - printed).max() <= 0.0001


def test_one_term_agrees_with_the_series_from_fourier_a_fifth_on(checked):
    """Textbook rule: within 2 % for Fo > 0.2."""
    biot, fourier = np.logspace(-2, 1, 61)[:, None], np.linspace(0.2, 5, 97)
    series, one = slab_left(biot, fourier), slab_left_one_term(biot, fourier)
    checked("one term beside the series, Bi 0.01 to 10, Fo 0.2 to 5", CENGEL, one, series)
    assert np.abs(one / series - 1).max() < 0.02
    earlier = slab_coefficients(slab_roots(biot)) * np.exp(-(slab_roots(biot) ** 2) * 0.02)
    assert np.abs(earlier[:, 0] / slab_left(biot[:, 0], 0.02) - 1).max() > 0.1


def test_series_against_finite_differences(checked):
    """An independent solution: 200 layers, explicit steps."""
    layers, biot = 200, 1.25
    step = 1 / layers
    left = np.ones(layers + 1)
    dt, fourier = 0.4 * step**2, 0.0
    for _ in range(40_000):
        inner = left[2:] - 2 * left[1:-1] + left[:-2]
        middle, face = 2 * (left[1] - left[0]), 2 * (left[-2] - left[-1] * (1 + biot * step))
        left = left + dt / step**2 * np.concatenate([[middle], inner, [face]])
        fourier += dt
    ours = slab_left(biot, fourier, [0, 1])
    checked("slab at Bi 1.25, Fo 0.4, middle and face", "finite differences", ours, left[[0, -1]])
    assert ours == pytest.approx(left[[0, -1]], rel=1e-4)


def test_large_biot_is_the_face_held_at_the_air():
    """Bi to infinity: lambda1 pi/2 and C1 4/pi."""
    root = slab_roots(1000.0)[0]
    assert root == pytest.approx(np.pi / 2, rel=0.0011)
    assert slab_coefficients(root) == pytest.approx(4 / np.pi, rel=1e-4)


def test_small_biot_is_one_lump():
    """Bi to 0: lambda1 is the root of Bi (1 - Bi/3), C1 is 1."""
    root = slab_roots(1e-4)[0]
    assert root == pytest.approx(np.sqrt(1e-4 * (1 - 1e-4 / 3)), rel=1e-8)
