"""One segment: the saw's angle and the edges."""

import numpy as np
import pytest

from cureclock.core.joint.segment import edge_length_m, mitre_deg
from cureclock.core.refusal import Refused

MANY = np.arange(3, 361)


def test_all_the_mitres_of_a_ring_make_one_turn():
    np.testing.assert_allclose(2 * MANY * mitre_deg(MANY), 360.0)


def test_edges_close_to_a_polygon_about_the_circle():
    corners = np.exp(2j * np.pi * np.arange(7) / 7) * 0.1 / np.cos(np.pi / 7)
    sides = np.abs(np.diff(np.append(corners, corners[0])))
    np.testing.assert_allclose(sides, edge_length_m(0.1, 7))


def test_more_segments_make_shorter_edges():
    assert (np.diff(edge_length_m(0.1, MANY)) < 0).all()


@pytest.mark.parametrize("segments", [2, 0, -8, 361, 7.5, float("nan")])
def test_no_ring_of_two_or_of_parts_of_a_segment(segments):
    with pytest.raises(Refused, match=r"segments .* 3 to 360"):
        mitre_deg(segments)
