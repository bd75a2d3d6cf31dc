"""The sacrificial block at the end of a blank, glued on or held by a paper joint."""

from dataclasses import dataclass

import numpy as np

from cureclock.core.joint.geometry import THIRSTY, Geometry, size


@dataclass(frozen=True)
class EndBlock(Geometry):
    """A waste block glued to the end of a blank, parted off later.

    Args:
        across_m: diameter of a round block, side of a square one [m], 0.0001 to 3.
        square: True for a square block.
        end_grain: True where it is glued to end grain.
        paper: True for a paper joint, which has glue on both sides of the paper.

    Raises:
        Refused: naming the field.

    Valid for:
        Flat faces.

    Assumes:
        End grain takes 1.5 times the spread after a sizing coat (common practice, no source).

    Source:
        Plain geometry.

    Example:
        >>> block = EndBlock(0.075, paper=True)
        >>> block.glue_lines, round(block.line_area_m2, 5), block.spread_factor
        (2, 0.00442, 1.0)
    """

    across_m: float
    square: bool = False
    end_grain: bool = False
    paper: bool = False

    def __post_init__(self) -> None:
        size("width of the block", self.across_m)

    @property
    def glue_lines(self) -> int:
        """Number of glue lines: two where there is paper between [-]."""
        return 2 if self.paper else 1

    @property
    def line_area_m2(self) -> float:
        """Area of the block's face [m2]."""
        return self.across_m**2 if self.square else np.pi * self.across_m**2 / 4

    @property
    def spread_factor(self) -> float:
        """1.5 times the spread on end grain [-]."""
        return THIRSTY if self.end_grain else 1.0
