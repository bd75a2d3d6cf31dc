"""Stacked rings, held against the same rings overlaid ray by ray."""

import numpy as np
import pytest

from cureclock.core.joint.ring import SegmentRing
from cureclock.core.joint.stack import StackedRings, annulus_area_m2
from cureclock.core.refusal import Refused


def _edge(radius, segments, turned, rays):
    """Distance from the centre to a polygon's edge along each ray."""
    step = 2 * np.pi / segments
    return radius / np.cos((rays - turned + step / 2) % step - step / 2)


def _overlaid(ring, turned_by, rays=200_000):
    """Area of a ring that lies on the same ring turned, by adding up thin sectors."""
    step = 2 * np.pi / rays
    angles = (np.arange(rays) + 0.5) * step
    turned = turned_by * 2 * np.pi / ring.segments
    outside = np.minimum(
        _edge(ring.outside_radius_m, ring.segments, 0, angles),
        _edge(ring.outside_radius_m, ring.segments, turned, angles),
    )
    inside = np.maximum(
        _edge(ring.inside_radius_m, ring.segments, 0, angles),
        _edge(ring.inside_radius_m, ring.segments, turned, angles),
    )
    return ((outside**2 - inside**2) / 2 * step).sum()


@pytest.mark.parametrize("turned_by", [0, 0.2, 0.5, 0.75, 1])
@pytest.mark.parametrize("segments", [6, 10, 12])
def test_contact_area_is_that_of_the_overlaid_rings(segments, turned_by):
    ring = SegmentRing(segments, 0.1, 0.06, 0.02)
    stack = StackedRings(ring, 2, turned_by)
    assert stack.contact_area_m2 == pytest.approx(_overlaid(ring, turned_by), rel=1e-6)


def test_half_a_segment_puts_each_joint_over_the_middle():
    ring = SegmentRing(12, 0.1, 0.08, 0.02)
    steps = [StackedRings(ring, 2, part).joint_step_m for part in (0, 0.25, 0.5, 0.75, 1)]
    assert max(steps) == steps[2] == pytest.approx(np.pi * 0.1 / 12)
    assert steps[0] == steps[4] == 0
    assert steps[1] == pytest.approx(steps[3])
    assert StackedRings(ring, 2, 0.5).turn_deg == 15


def test_disc_ring_and_disc_make_two_lines():
    drum = StackedRings(SegmentRing(10, 0.086, 0.055, 0.026), rings=1, discs=2)
    assert drum.glue_lines == 2
    assert drum.glue_area_m2 == pytest.approx(2 * drum.ring.face_area_m2)


def test_a_trued_drum_face_is_a_round_ring():
    assert annulus_area_m2(0.086, 0.055) == pytest.approx(0.01373, abs=5e-6)
    assert annulus_area_m2(0.05, 0) == pytest.approx(np.pi * 0.0025)


def test_polygon_face_is_larger_than_what_is_turned_from_it():
    ring = SegmentRing(10, 0.086, 0.055, 0.026)
    assert ring.face_area_m2 > annulus_area_m2(0.086, ring.smallest_clean_bore_m)


def test_nothing_to_glue_is_refused():
    ring = SegmentRing(12, 0.1, 0.08, 0.02)
    with pytest.raises(Refused, match=r"rings 1 .* 2 or more, or 1 with a disc"):
        StackedRings(ring, 1)


def test_a_ring_too_thin_to_turn_is_refused():
    with pytest.raises(Refused, match="clean bore"):
        StackedRings(SegmentRing(4, 0.1, 0.08, 0.02), 2)


def test_an_inside_larger_than_the_outside_is_refused():
    with pytest.raises(Refused, match="inside radius"):
        annulus_area_m2([0.1, 0.1], [0.05, 0.2])


def test_a_ring_without_a_wall_has_no_area_and_one_inside_out_is_refused():
    assert annulus_area_m2(0.05, 0.05) == 0
    with pytest.raises(Refused, match="inside radius"):
        annulus_area_m2(0.05, np.nextafter(0.05, 1))
