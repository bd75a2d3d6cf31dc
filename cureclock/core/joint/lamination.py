"""Straight laminations: face to face, edge to edge, and strips glued, sawn across, glued again."""

from dataclasses import dataclass

import numpy as np

from cureclock.core.joint.count import whole
from cureclock.core.joint.geometry import ALONG_M, Geometry, size
from cureclock.core.refusal import Refused, within

MOST_BOARDS = 500


@dataclass(frozen=True)
class FaceLamination(Geometry):
    """Boards glued face to face into one thick blank.

    Args:
        boards: number of boards [-], whole, 2 to 500.
        length_m: length of a glued face [m], 0.0001 to 20.
        width_m: width of a glued face [m], 0.0001 to 3.

    Raises:
        Refused: naming the field.

    Valid for:
        Boards of equal length and width.

    Assumes:
        One clamp's force goes through every line of the stack.

    Source:
        Plain geometry.

    Example:
        >>> billet = FaceLamination(boards=2, length_m=0.7, width_m=0.048)
        >>> billet.glue_lines, round(billet.glue_area_m2, 4)
        (1, 0.0336)
    """

    boards: int
    length_m: float
    width_m: float

    def __post_init__(self) -> None:
        whole("boards", self.boards, 2, MOST_BOARDS)
        size("length", self.length_m, ALONG_M)
        size("width", self.width_m)

    @property
    def glue_lines(self) -> int:
        """Number of glue lines: one fewer than boards [-]."""
        return int(self.boards) - 1

    @property
    def line_area_m2(self) -> float:
        """Area of one glued face [m2]."""
        return self.length_m * self.width_m


@dataclass(frozen=True)
class StripeLamination(Geometry):
    """Strips glued edge to edge into a panel or a striped board.

    Args:
        strips: number of strips [-], whole, 2 to 500.
        length_m: length of the strips [m], 0.0001 to 20.
        thickness_m: height of the glued edges [m], 0.0001 to 3.
        strip_width_m: width of one strip [m], 0.0001 to 3.

    Raises:
        Refused: naming the field.

    Valid for:
        Strips of equal size.

    Assumes:
        One clamp across the panel presses every line.

    Source:
        Plain geometry.

    Example:
        >>> panel = StripeLamination(strips=5, length_m=0.44, thickness_m=0.022, strip_width_m=0.065)
        >>> panel.glue_lines, round(panel.line_area_m2, 5), round(panel.width_m, 3)
        (4, 0.00968, 0.325)
    """

    strips: int
    length_m: float
    thickness_m: float
    strip_width_m: float

    def __post_init__(self) -> None:
        whole("strips", self.strips, 2, MOST_BOARDS)
        size("length", self.length_m, ALONG_M)
        size("thickness", self.thickness_m)
        size("strip width", self.strip_width_m)

    @property
    def glue_lines(self) -> int:
        """Number of glue lines: one fewer than strips [-]."""
        return int(self.strips) - 1

    @property
    def line_area_m2(self) -> float:
        """Area of one glued edge [m2]."""
        return self.length_m * self.thickness_m

    @property
    def width_m(self) -> float:
        """Width of the glued panel [m]."""
        return self.strips * self.strip_width_m


@dataclass(frozen=True)
class CrossLamination(Geometry):
    """Strips glued into a panel, the panel sawn across, the slices turned and glued again.

    Args:
        panel: the first stage, a StripeLamination.
        slices: slices sawn from the panel for the second stage [-], whole, 2 to 500.
        slice_width_m: width of one slice, square to the cut [m], 0.0001 to 3.
        kerf_m: width of the saw cut [m], 0 to 0.02.
        cut_deg: angle between the cut and the strips [deg], 20 to 90; 90 saws square across.

    Raises:
        Refused: naming the field; also where the panel is too short for the slices.

    Valid for:
        Slices of equal width, glued by their sawn faces.

    Assumes:
        Two glue-ups: the second begins from fresh faces, and does not restart the first.

    Source:
        Plain geometry.

    Example:
        >>> panel = StripeLamination(8, 0.5, 0.03, 0.04)
        >>> board = CrossLamination(panel, slices=10, slice_width_m=0.04, kerf_m=0.003)
        >>> board.first_area_m2, round(board.second_area_m2, 4), board.glue_lines
        (0.105, 0.0864, 16)
    """

    panel: StripeLamination
    slices: int
    slice_width_m: float
    kerf_m: float = 0.003
    cut_deg: float = 90.0

    def __post_init__(self) -> None:
        whole("slices", self.slices, 2, MOST_BOARDS)
        size("slice width", self.slice_width_m)
        within("kerf", self.kerf_m, 0, 0.02, "m")
        within("angle of the cut", self.cut_deg, 20, 90, "deg")
        if self.needed_length_m > self.panel.length_m * (1 + 1e-9):
            enough = f"at least {self.needed_length_m:g} m for {self.slices} slices"
            raise Refused("panel length", f"{self.panel.length_m:g} m", enough)

    @property
    def needed_length_m(self) -> float:
        """Length of panel that the slices, the cuts and the slant use up [m]."""
        angle = np.radians(self.cut_deg)
        across = self.slices * self.slice_width_m + (self.slices + 1) * self.kerf_m
        slant = self.panel.width_m * np.cos(angle) / np.sin(angle)
        return float(across / np.sin(angle) + slant) if self.cut_deg < 90 else across

    @property
    def sawn_face_m2(self) -> float:
        """Area of one sawn face [m2]."""
        return float(self.panel.width_m * self.panel.thickness_m / np.sin(np.radians(self.cut_deg)))

    @property
    def first_area_m2(self) -> float:
        """Area of all glue lines of the first stage [m2]."""
        return self.panel.glue_area_m2

    @property
    def second_area_m2(self) -> float:
        """Area of all glue lines of the second stage [m2]."""
        return (int(self.slices) - 1) * self.sawn_face_m2

    @property
    def glue_lines(self) -> int:
        """Number of glue lines of both stages [-]."""
        return self.panel.glue_lines + int(self.slices) - 1

    @property
    def line_area_m2(self) -> float:
        """Area of the larger glue line of the two stages [m2]."""
        return max(self.panel.line_area_m2, self.sawn_face_m2)

    @property
    def glue_area_m2(self) -> float:
        """Area of all glue lines of both stages [m2]."""
        return self.first_area_m2 + self.second_area_m2
