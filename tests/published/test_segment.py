"""Saw angles and edges against printed tables, and against the oldest proof about polygons."""

import math

import numpy as np
import pytest

from cureclock.core.joint.ring import SegmentRing
from cureclock.core.joint.segment import edge_length_m, mitre_deg

CLUB = "woodturners' club notes on segments, worldwidewoodturners.org/?p=6554"
ARCHIMEDES = "Archimedes, Measurement of a Circle, proposition 3"


def test_saw_angles_of_a_turners_table(checked):
    segments = [6, 8, 10, 12, 14, 15, 16, 18, 20, 24, 26, 28]
    printed = [30, 22.5, 18, 15, 12.86, 12, 11.25, 10, 9, 7.5, 6.92, 6.43]
    ours = mitre_deg(segments)
    checked("saw angle for 12 numbers of segments [deg]", CLUB, ours, printed)
    assert np.abs(ours - printed).max() <= 0.005


def test_edge_of_a_four_inch_ring_of_eighteen(checked):
    """Printed 1.429 in with an allowance of 2.4 % on the arc; the flat edge itself is shorter."""
    ours = float(edge_length_m(4 * 0.0254, 18)) / 0.0254
    checked("edge, 4 in radius, 18 segments [in] (theirs has an allowance)", CLUB, ours, 1.429)
    assert ours == pytest.approx(1.429, rel=0.014)
    assert 8 * math.pi / 18 < ours < 1.429


def test_ninety_six_sides_about_a_circle_are_less_than_three_and_a_seventh(checked):
    """Tighter than 3 1/7 by the fraction the proof ends with: 14688 / 4673 1/2."""
    ours = 96 * float(edge_length_m(0.5, 96))
    checked("96 edges about a circle of diameter 1", ARCHIMEDES, ours, 14688 / 4673.5)
    assert ours < 14688 / 4673.5 < 22 / 7
    assert ours == pytest.approx(14688 / 4673.5, rel=1e-4)


def test_hexagon_octagon_and_dodecagon_of_the_handbook(checked):
    """Side and area of polygons about a circle of radius 1: Machinery's Handbook, from memory."""
    source = "Machinery's Handbook, regular polygons (from memory)"
    segments = np.array([6, 8, 12])
    sides, areas = edge_length_m(1.0, segments), segments * edge_length_m(1.0, segments) / 2
    checked("sides of hexagon, octagon, dodecagon", source, sides, [1.1547, 0.8284, 0.5359])
    checked("areas of the same", source, areas, [3.4641, 3.3137, 3.2154])
    assert sides == pytest.approx([1.1547, 0.8284, 0.5359], abs=5e-5)
    assert areas == pytest.approx([3.4641, 3.3137, 3.2154], abs=5e-5)


def test_dodecagon_tangent_is_two_less_root_three(checked):
    ring = SegmentRing(12, 1.0, 0.5, 0.02)
    checked("outside edge, 12 segments, R = 1", "tan 15 deg = 2 - sqrt 3, exact",
            ring.outside_edge_m, 2 * (2 - math.sqrt(3)))  # fmt: skip
    assert ring.outside_edge_m == pytest.approx(2 * (2 - math.sqrt(3)), rel=1e-12)
