"""Finger joints, straight and tapered."""

import math

import pytest

from cureclock.core.joint.finger import FingerJoint
from cureclock.core.refusal import Refused


def test_straight_fingers_of_a_box_corner():
    """Ten fingers of 10 mm across 100 mm, boards of 12 mm: nine faces of 12 x 12 mm."""
    box = FingerJoint(0.1, 0.012, finger_m=0.012, pitch_m=0.02, tip_m=0.01)
    assert box.glue_lines == 9
    assert box.flank_area_m2 == pytest.approx(9 * 0.012 * 0.012)
    assert box.glue_area_m2 == pytest.approx(9 * 0.012 * 0.012 + 0.1 * 0.012)


def test_tapered_flanks_run_from_tip_to_root():
    joint = FingerJoint(0.0988, 0.04, finger_m=0.015, pitch_m=0.0038, tip_m=0.00042)
    assert joint.slant_m == pytest.approx(math.hypot(0.015, 0.00148))
    assert joint.glue_lines == 51


def test_longer_fingers_never_hold_with_less():
    areas = [FingerJoint(0.1, 0.02, f / 1000, 0.004).flank_area_m2 for f in range(1, 30)]
    assert areas == sorted(areas)


@pytest.mark.parametrize(("pitch", "tip", "named"), [(0.2, 0, "pitch"), (0.02, 0.011, "tip width")])
def test_fingers_that_do_not_mesh_are_refused(pitch, tip, named):
    with pytest.raises(Refused, match=named):
        FingerJoint(0.1, 0.012, 0.012, pitch, tip)
