"""One segment of a ring: the angle of the saw and the lengths of the edges."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import whole
from cureclock.core.joint.geometry import ACROSS_M
from cureclock.core.refusal import within

Floats = NDArray[np.float64]

MOST_SEGMENTS = 360


def mitre_deg(segments: ArrayLike) -> Floats:
    """The angle to saw at each end of each segment, from square.

    Args:
        segments: segments in the ring [-], whole, 3 to 360.

    Returns:
        Saw angle [deg], 180/N.

    Raises:
        Refused: naming the number of segments.

    Valid for:
        Closed rings of equal segments.

    Assumes:
        Both ends are sawn alike.

    Source:
        Plain geometry: 2N ends share one turn.

    Example:
        >>> mitre_deg([8, 10, 12]).tolist()
        [22.5, 18.0, 15.0]
    """
    return 180.0 / whole("segments", segments, 3, MOST_SEGMENTS)


def edge_length_m(flat_radius_m: ArrayLike, segments: ArrayLike) -> Floats:
    """How long one edge of a segment is, outside or inside.

    Args:
        flat_radius_m: from the centre to the middle of that edge [m], 0 to 3: the radius of
            the largest circle that can be turned outside, or of the smallest that fits inside.
        segments: segments in the ring [-], whole, 3 to 360.

    Returns:
        Length of the edge [m], 2 R tan(180/N).

    Raises:
        Refused: naming the radius or the number.

    Valid for:
        Closed rings of equal segments, before turning.

    Assumes:
        Straight edges.

    Source:
        Plain geometry: the side of a regular polygon about a circle.

    Example:
        >>> edge_length_m(0.1, 12).round(5).tolist()
        0.05359
    """
    radius = within("radius", flat_radius_m, 0, ACROSS_M, "m")
    return 2 * radius * np.tan(np.radians(mitre_deg(segments)))
