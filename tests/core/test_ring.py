"""A ring of segments, held against the same ring drawn point by point."""

import numpy as np
import pytest

from cureclock.core.joint.ring import SegmentRing
from cureclock.core.refusal import Refused

RING = SegmentRing(12, 0.1, 0.08, 0.02)


def _polygon_area(corners):
    """The surveyor's formula over corners given as complex numbers."""
    ahead = np.roll(corners, -1)
    return abs((corners.conj() * ahead).imag.sum()) / 2


def _chain_gap(ring, error_deg):
    """Lay the segments of one outside length end to end, each sawn off by the error; the gap."""
    half = np.pi / ring.segments - np.radians(error_deg)
    turns = np.exp(2j * half * np.arange(ring.segments))
    outside = np.concatenate([[0], np.cumsum(turns * ring.outside_edge_m)])
    return abs(outside[-1] - outside[0])


@pytest.mark.parametrize("segments", [4, 6, 10, 12, 24])
def test_face_area_is_that_of_the_drawn_polygons(segments):
    ring = SegmentRing(segments, 0.1, 0.05, 0.02)
    unit = np.exp(2j * np.pi * np.arange(segments) / segments) / np.cos(np.pi / segments)
    assert ring.face_area_m2 == pytest.approx(
        _polygon_area(unit * 0.1) - _polygon_area(unit * 0.05)
    )


def test_mitred_end_reaches_from_inside_corner_to_outside_corner():
    corner = np.exp(1j * np.pi / 12) / np.cos(np.pi / 12)
    assert RING.mitred_end_m == pytest.approx(abs(corner * 0.1 - corner * 0.08))
    assert RING.glue_area_m2 == pytest.approx(12 * RING.mitred_end_m * 0.02)


@pytest.mark.parametrize("segments", [6, 8, 12, 24])
@pytest.mark.parametrize("error_deg", [0.02, 0.05, 0.1, 0.3])
def test_closing_gap_is_that_of_segments_laid_end_to_end(segments, error_deg):
    ring = SegmentRing(segments, 0.1, 0.08, 0.02)
    assert float(ring.closing_gap_m(error_deg)) == pytest.approx(_chain_gap(ring, error_deg))


def test_two_cuts_for_each_segment_add_their_error():
    assert RING.wedge_deg(0.1) == pytest.approx(24 * 0.1)


def test_a_larger_error_never_leaves_a_smaller_gap():
    gaps = RING.closing_gap_m(np.linspace(0, 7.5, 301))
    assert gaps[0] == 0
    assert (np.diff(gaps) > 0).all()


def test_stock_is_enough_for_nested_segments():
    bare = RING.stock_length_m(0)
    assert bare == pytest.approx(
        12 * (RING.outside_edge_m + RING.inside_edge_m) / 2 + 0.02 * np.tan(np.pi / 12)
    )
    assert RING.stock_length_m(0.003) - bare == pytest.approx(13 * 0.003 / np.cos(np.pi / 12))


def test_a_bore_turned_clean_loses_the_inside_corners():
    assert RING.smallest_clean_bore_m == pytest.approx(0.08 / np.cos(np.pi / 12))
    assert RING.turned_wall_m == pytest.approx(0.1 - RING.smallest_clean_bore_m)
    assert SegmentRing(3, 0.1, 0.06, 0.02).turned_wall_m == 0


def test_the_demo_ring_of_ten_segments():
    ring = SegmentRing(10, 0.086, 0.055, 0.026)
    assert ring.mitre_deg == 18
    assert ring.board_width_m == pytest.approx(0.031)
    assert ring.outside_edge_m == pytest.approx(0.05589, abs=5e-6)


@pytest.mark.parametrize("inside", [0.1, 0.11])
def test_a_ring_without_a_wall_is_refused(inside):
    with pytest.raises(Refused, match=r"inside radius .* less than the outside radius, 0\.1 m"):
        SegmentRing(12, 0.1, inside, 0.02)


def test_an_error_of_half_the_mitre_or_more_is_refused():
    with pytest.raises(Refused, match=r"saw angle error 8 deg .* 0 to 7\.5 deg"):
        RING.closing_gap_m([0.1, 8])
    with pytest.raises(Refused, match="saw angle error"):
        RING.wedge_deg(-0.1)
