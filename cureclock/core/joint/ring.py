"""A ring of segments before it is turned: its faces, its glue, its stock, the gap an error leaves."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import whole
from cureclock.core.joint.geometry import THIRSTY, Geometry, size
from cureclock.core.joint.segment import MOST_SEGMENTS, edge_length_m, mitre_deg
from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SegmentRing(Geometry):
    """A ring glued up from N equal segments, to be turned round.

    Args:
        segments: number of segments N [-], whole, 3 to 360.
        outside_radius_m: centre to the middle of an outside edge [m], 0.0001 to 3: the largest
            circle that can be turned from the ring.
        inside_radius_m: centre to the middle of an inside edge [m], 0.0001 to 3, less than
            the outside.
        thickness_m: thickness of the ring [m], 0.0001 to 3.

    Raises:
        Refused: naming the field.

    Valid for:
        Closed rings of equal segments with plain mitred ends.

    Assumes:
        Ends are end grain or near it, so they take 1.5 times the spread after a sizing coat
        (common practice, no source).

    Source:
        Plain geometry.

    Example:
        >>> ring = SegmentRing(10, 0.086, 0.055, 0.026)
        >>> ring.mitre_deg, round(ring.outside_edge_m, 4), round(ring.inside_edge_m, 4)
        (18.0, 0.0559, 0.0357)
        >>> ring.glue_lines, round(ring.glue_area_m2, 5)
        (10, 0.00847)
    """

    segments: int
    outside_radius_m: float
    inside_radius_m: float
    thickness_m: float

    def __post_init__(self) -> None:
        whole("segments", self.segments, 3, MOST_SEGMENTS)
        size("outside radius", self.outside_radius_m)
        size("inside radius", self.inside_radius_m)
        size("thickness", self.thickness_m)
        if self.inside_radius_m >= self.outside_radius_m:
            less = f"less than the outside radius, {self.outside_radius_m:g} m"
            raise Refused("inside radius", f"{self.inside_radius_m:g} m", less)

    @property
    def mitre_deg(self) -> float:
        """Saw angle at each end [deg]."""
        return float(mitre_deg(self.segments))

    @property
    def outside_edge_m(self) -> float:
        """Length of a segment's outside edge [m]."""
        return float(edge_length_m(self.outside_radius_m, self.segments))

    @property
    def inside_edge_m(self) -> float:
        """Length of a segment's inside edge [m]."""
        return float(edge_length_m(self.inside_radius_m, self.segments))

    @property
    def board_width_m(self) -> float:
        """Width of the board the segments are sawn from [m]."""
        return self.outside_radius_m - self.inside_radius_m

    @property
    def mitred_end_m(self) -> float:
        """Length of one mitred end, from the inside corner to the outside corner [m]."""
        return float(self.board_width_m / np.cos(np.radians(self.mitre_deg)))

    @property
    def smallest_clean_bore_m(self) -> float:
        """Smallest inside radius that turns away every inside corner [m]."""
        return float(self.inside_radius_m / np.cos(np.radians(self.mitre_deg)))

    @property
    def turned_wall_m(self) -> float:
        """Wall left when inside and outside are turned clean [m]; 0 where none is left."""
        return max(self.outside_radius_m - self.smallest_clean_bore_m, 0.0)

    @property
    def glue_lines(self) -> int:
        """Number of joints: as many as segments [-]."""
        return int(self.segments)

    @property
    def line_area_m2(self) -> float:
        """Area of one mitred end [m2]."""
        return self.mitred_end_m * self.thickness_m

    @property
    def spread_factor(self) -> float:
        """Mitred ends drink: 1.5 times the spread [-]."""
        return THIRSTY

    @property
    def face_area_m2(self) -> float:
        """Area of the flat face of the ring before turning [m2]."""
        edges = self.outside_edge_m + self.inside_edge_m
        return int(self.segments) * self.board_width_m * edges / 2

    def stock_length_m(self, kerf_m: float) -> float:
        """Length of board one ring needs, the board turned over between cuts.

        Args:
            kerf_m: width of the saw cut [m], 0 to 0.02.

        Returns:
            Length of board [m]: N segments nested head to tail, N + 1 cuts, and the triangle
            that the first cut takes off a square end.

        Raises:
            Refused: naming the kerf.

        Valid for:
            A board exactly as wide as the ring is deep, both faces fit to show.

        Assumes:
            Nothing is cut out for knots, and nothing is kept for a trial cut.

        Source:
            Plain geometry.

        Example:
            >>> round(SegmentRing(12, 0.1, 0.08, 0.02).stock_length_m(0.003), 4)
            0.6245
        """
        within("kerf", kerf_m, 0, 0.02, "m")
        angle = np.radians(self.mitre_deg)
        pieces = int(self.segments) * (self.outside_edge_m + self.inside_edge_m) / 2
        cuts = (int(self.segments) + 1) * kerf_m / np.cos(angle)
        return float(pieces + cuts + self.board_width_m * np.tan(angle))

    def wedge_deg(self, error_deg: ArrayLike) -> Floats:
        """Angle of the wedge left at the last joint when every cut is off by the same error.

        Args:
            error_deg: error of the saw angle [deg], 0 to half of the mitre.

        Returns:
            Angle of the wedge [deg], 2 N times the error: each ring has 2 N cuts.

        Raises:
            Refused: naming the error.

        Valid for:
            One saw setting for all cuts.

        Assumes:
            All joints but the last are tight.

        Source:
            Plain geometry.

        Example:
            >>> SegmentRing(12, 0.1, 0.08, 0.02).wedge_deg([0.0, 0.1]).round(3).tolist()
            [0.0, 2.4]
        """
        error = within("saw angle error", error_deg, 0, self.mitre_deg / 2, "deg")
        return 2 * int(self.segments) * error

    def closing_gap_m(self, error_deg: ArrayLike) -> Floats:
        """How far the last joint stands open outside when every cut is off by the same error.

        Args:
            error_deg: error of the saw angle [deg], 0 to half of the mitre.

        Returns:
            Gap between the outside corners of the last joint [m]. Sawn too shallow, the ring
            stays open by this; sawn too steep, it closes before the last segment fits.

        Raises:
            Refused: naming the error.

        Valid for:
            Segments cut to one outside length against a stop.

        Assumes:
            All joints but the last are tight.

        Source:
            Plain geometry: the mitred ends meet R tan(180/N) / sin(180/N - e) from the corner,
            and the wedge there is 2 N e wide.

        Example:
            >>> SegmentRing(12, 0.1, 0.08, 0.02).closing_gap_m([0.0, 0.1]).round(4).tolist()
            [0.0, 0.0044]
        """
        half_wedge = np.radians(self.wedge_deg(error_deg) / 2)
        half_turn = np.radians(self.mitre_deg) - half_wedge / int(self.segments)
        corner = self.outside_edge_m / 2 / np.sin(half_turn)
        return np.asarray(2 * corner * np.sin(half_wedge))
