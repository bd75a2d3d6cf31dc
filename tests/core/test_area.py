"""Areas: worked figures, and frusta against Pappus."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from cureclock.core.coat.area import (
    LONGEST_M,
    box_area_m2,
    pappus_area_m2,
    ring_area_m2,
    turned_area_m2,
)
from cureclock.core.refusal import Refused


def test_drum_worked_by_hand():
    """Diameter 165 x 82 mm: 0.0425 side + 0.0428 ends = 0.0853 m2."""
    side = turned_area_m2([0, 0.082], [0.0825, 0.0825], ends=False)
    assert side == pytest.approx(0.0425, abs=0.00005)
    assert 2 * ring_area_m2(0.165) == pytest.approx(0.0428, abs=0.00005)
    assert turned_area_m2([0, 0.082], [0.0825, 0.0825]) == pytest.approx(0.0853, abs=0.00005)


def test_ring_face_worked_by_hand():
    """172/110 mm: 0.01373 m2; two a drum, 24 drums at 200 g/m2 and a fifth lost: 158 g."""
    face = ring_area_m2(0.172, 0.110)
    assert face == pytest.approx(0.01373, abs=0.000005)
    assert face * 2 * 24 == pytest.approx(0.659, abs=0.0005)
    assert round(float(face * 2 * 24 * 200 * 1.2)) == 158


OUTLINES = st.integers(2, 9).flatmap(
    lambda n: st.tuples(
        arrays(float, n, elements=st.floats(-1, 1)), arrays(float, n, elements=st.floats(0, 1))
    )
)


@given(OUTLINES)
def test_cones_and_pappus_agree_on_any_outline(outline):
    along, radius = outline
    by_cones = turned_area_m2(along, radius, ends=False)
    assert pappus_area_m2(along, radius) == pytest.approx(float(by_cones), abs=1e-12)


def test_a_step_counts_its_flat_shoulder():
    stepped = turned_area_m2([0, 0.1, 0.1, 0.2], [0.05, 0.05, 0.03, 0.03])
    whole = 2 * np.pi * 0.05 * 0.1 + 2 * np.pi * 0.03 * 0.1 + 2 * np.pi * 0.05**2
    assert stepped == pytest.approx(whole)


def test_a_box_has_six_faces():
    assert box_area_m2(1, 1, 1) == 6


def test_a_hole_wider_than_the_ring_is_refused():
    with pytest.raises(Refused, match="inside diameter"):
        ring_area_m2(0.1, 0.2)


def test_points_and_radii_have_to_pair():
    with pytest.raises(Refused, match="outline"):
        turned_area_m2([0, 1, 2], [0.1, 0.1])
    with pytest.raises(Refused, match="outline"):
        turned_area_m2([0], [0.1])


def test_many_turned_pieces_at_once():
    both = turned_area_m2([0, 0.1], [[0.05, 0.05], [0.04, 0.02]])
    assert both.shape == (2,)


def test_a_radius_beyond_any_lathe_is_refused_for_its_own_limit():
    assert pappus_area_m2([0, 1], [LONGEST_M / 2, LONGEST_M / 2]) > 0
    with pytest.raises(Refused, match="radius"):
        pappus_area_m2([0, 1], [1, np.nextafter(LONGEST_M / 2, 99)])
