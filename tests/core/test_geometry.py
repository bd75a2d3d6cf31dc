"""What all shapes have in common."""

import pytest

from cureclock.core.joint.bend import BentLamination
from cureclock.core.joint.block import EndBlock
from cureclock.core.joint.finger import FingerJoint
from cureclock.core.joint.geometry import size
from cureclock.core.joint.lamination import CrossLamination, FaceLamination, StripeLamination
from cureclock.core.joint.ring import SegmentRing
from cureclock.core.joint.stack import StackedRings
from cureclock.core.refusal import Refused

PANEL = StripeLamination(5, 0.44, 0.022, 0.065)
RING = SegmentRing(10, 0.086, 0.055, 0.026)
SHAPES = [
    FaceLamination(2, 0.7, 0.048),
    PANEL,
    CrossLamination(PANEL, 5, 0.06),
    RING,
    StackedRings(RING, 1, discs=2),
    FingerJoint(0.1, 0.012, 0.012, 0.02, 0.01),
    EndBlock(0.075),
    BentLamination(6, 0.003, 1.45, 0.062, 0.12),
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: type(s).__name__)
def test_all_lines_together_are_no_less_than_the_largest(shape):
    assert shape.glue_lines >= 1
    assert 0 < shape.line_area_m2 <= shape.glue_area_m2 * (1 + 1e-12)
    assert shape.spread_factor >= 1


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: type(s).__name__)
def test_a_shape_does_not_change_once_made(shape):
    name = next(iter(vars(shape)))
    with pytest.raises(AttributeError):
        setattr(shape, name, 1)


def test_millimetres_given_for_metres_are_refused():
    with pytest.raises(Refused, match=r"length 440 m .* 0\.0001 to 20 m"):
        StripeLamination(5, 440, 0.022, 0.065)
    with pytest.raises(Refused, match=r"thickness 22 m .* 0\.0001 to 3 m"):
        StripeLamination(5, 0.44, 22, 0.065)
    with pytest.raises(Refused, match=r"outside radius 86 m"):
        SegmentRing(10, 86, 55, 26)
    with pytest.raises(Refused, match="width"):
        size("width", 4)


def test_faces_along_the_grain_take_the_usual_spread():
    assert FaceLamination(3, 0.5, 0.1).spread_factor == 1
