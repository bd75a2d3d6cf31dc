"""Rings stacked on each other, each turned by part of a segment against the one below."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import whole
from cureclock.core.joint.geometry import ACROSS_M, Geometry
from cureclock.core.joint.ring import SegmentRing
from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]


def annulus_area_m2(outside_radius_m: ArrayLike, inside_radius_m: ArrayLike) -> Floats:
    """Area of one face of a ring that was turned round.

    Args:
        outside_radius_m: outside radius [m], 0 to 3.
        inside_radius_m: inside radius [m], 0 to the outside radius; 0 is a disc.

    Returns:
        Area [m2].

    Raises:
        Refused: naming the radius.

    Valid for:
        Round faces: what is glued when a ring has been trued on the lathe.

    Assumes:
        Flat faces.

    Source:
        Plain geometry.

    Example:
        >>> annulus_area_m2(0.086, 0.055).round(5).tolist()
        0.01373
    """
    outside = within("outside radius", outside_radius_m, 0, ACROSS_M, "m")
    inside = within("inside radius", inside_radius_m, 0, ACROSS_M, "m")
    if (inside > outside).any():
        raise Refused("inside radius", np.max(inside), "no more than the outside radius")
    return np.pi * (outside - inside) * (outside + inside)


@dataclass(frozen=True)
class StackedRings(Geometry):
    """Rings of segments glued on each other like courses of brick, with or without end discs.

    Args:
        ring: one ring, a SegmentRing; all alike.
        rings: number of rings [-], whole, 1 to 100.
        turned_by: part of a segment by which each ring is turned against the one below [-],
            0 to 1. A half puts every joint over the middle of a segment.
        discs: full discs that close the ends [-], whole, 0 to 2.

    Raises:
        Refused: naming the field; also where nothing is glued, or where no wall is left after
            turning.

    Valid for:
        Equal rings, flattened, glued before they are turned round.

    Assumes:
        Only faces that lie on each other are counted as joint; a disc covers the whole face.

    Source:
        Plain geometry: where two equal polygons about one circle overlap, the overlap is again
        a polygon about that circle.

    Example:
        >>> drum = StackedRings(SegmentRing(12, 0.1, 0.08, 0.02), rings=3, discs=1)
        >>> drum.glue_lines, drum.turn_deg, round(drum.joint_step_m, 4)
        (3, 15.0, 0.0262)
        >>> round(drum.contact_area_m2, 5), round(drum.ring.face_area_m2, 5)
        (0.01066, 0.01158)
    """

    ring: SegmentRing
    rings: int
    turned_by: float = 0.5
    discs: int = 0

    def __post_init__(self) -> None:
        whole("rings", self.rings, 1, 100)
        within("part of a segment", self.turned_by, 0, 1)
        whole("discs", self.discs, 0, 2)
        if self.rings + self.discs < 2:
            raise Refused("rings", self.rings, "2 or more, or 1 with a disc")
        if self.ring.turned_wall_m <= 0:
            bore = f"less than {self.ring.outside_radius_m:g} m, the outside radius"
            raise Refused("clean bore", f"{self.ring.smallest_clean_bore_m:g} m", bore)

    @property
    def turn_deg(self) -> float:
        """Angle by which each ring is turned against the one below [deg]."""
        return 2 * self.ring.mitre_deg * self.turned_by

    @property
    def joint_step_m(self) -> float:
        """From a joint to the nearest joint of the next ring, along the outside [m]; 0 in line."""
        part = min(self.turned_by, 1 - self.turned_by)
        return float(part * 2 * np.radians(self.ring.mitre_deg) * self.ring.outside_radius_m)

    @property
    def contact_area_m2(self) -> float:
        """Area of one ring lying on the next [m2]."""
        half = np.radians(self.ring.mitre_deg)
        turn = half * self.turned_by
        whole_polygon = 2 * np.tan(half)
        overlap = 2 * (np.tan(turn) + np.tan(half - turn))
        outside, inside = self.ring.outside_radius_m**2, self.ring.inside_radius_m**2
        holes = inside * (2 * whole_polygon - overlap)
        return float(self.ring.segments * (outside * overlap - holes) / 2)

    @property
    def glue_lines(self) -> int:
        """Number of faces glued [-]."""
        return int(self.rings) - 1 + int(self.discs)

    @property
    def line_area_m2(self) -> float:
        """Area of the largest glued face [m2]."""
        return self.ring.face_area_m2 if self.discs else self.contact_area_m2

    @property
    def glue_area_m2(self) -> float:
        """Area of all glued faces [m2]; the joints of the rings themselves are not in it."""
        between = (int(self.rings) - 1) * self.contact_area_m2
        return between + int(self.discs) * self.ring.face_area_m2
