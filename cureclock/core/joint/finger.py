"""Finger joints: tapered fingers end to end, or straight ones at a corner."""

from dataclasses import dataclass

import numpy as np

from cureclock.core.joint.geometry import Geometry, size
from cureclock.core.refusal import within


@dataclass(frozen=True)
class FingerJoint(Geometry):
    """Fingers that mesh: long flanks hold, blunt tips only fill.

    Args:
        width_m: width across the fingers [m], 0.0001 to 3.
        thickness_m: length of each flank along the cutter's axis [m], 0.0001 to 3: the
            thickness of the board.
        finger_m: length of a finger, from tip to root [m], 0.0001 to 3.
        pitch_m: from one finger to the next of the same piece [m], 0.0001 to 3, at most the width.
        tip_m: width of a finger's tip [m], 0 to half of the pitch; half is a straight finger.

    Raises:
        Refused: naming the field.

    Valid for:
        Equal fingers, whole pitches across the width.

    Assumes:
        One flank fewer than half pitches: the outermost sides touch nothing.

    Source:
        Plain geometry.

    Example:
        >>> box = FingerJoint(0.1, 0.012, finger_m=0.012, pitch_m=0.02, tip_m=0.01)
        >>> box.glue_lines, round(box.flank_area_m2, 6), round(box.glue_area_m2, 6)
        (9, 0.001296, 0.002496)
    """

    width_m: float
    thickness_m: float
    finger_m: float
    pitch_m: float
    tip_m: float = 0.0

    def __post_init__(self) -> None:
        size("width", self.width_m)
        size("thickness", self.thickness_m)
        size("finger length", self.finger_m)
        within("pitch", self.pitch_m, 1e-4, self.width_m, "m")
        within("tip width", self.tip_m, 0, self.pitch_m / 2, "m")

    @property
    def slant_m(self) -> float:
        """Length of a flank from tip to root [m]."""
        return float(np.hypot(self.finger_m, self.pitch_m / 2 - self.tip_m))

    @property
    def glue_lines(self) -> int:
        """Number of glued flanks [-]."""
        return max(round(2 * self.width_m / self.pitch_m) - 1, 1)

    @property
    def line_area_m2(self) -> float:
        """Area of one flank [m2]."""
        return self.slant_m * self.thickness_m

    @property
    def flank_area_m2(self) -> float:
        """Area of all flanks [m2]: what holds."""
        return self.glue_lines * self.line_area_m2

    @property
    def glue_area_m2(self) -> float:
        """Area of flanks, tips and roots [m2]: what has to be spread."""
        ends = 2 * self.tip_m / self.pitch_m * self.width_m * self.thickness_m
        return self.flank_area_m2 + ends
