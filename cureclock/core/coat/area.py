"""Areas to be coated or glued: boxes, rings and turned profiles."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

LONGEST_M = 20.0


def box_area_m2(length_m: ArrayLike, width_m: ArrayLike, thickness_m: ArrayLike) -> Floats:
    """All six faces of a box or board.

    Args:
        length_m: [m], 0 to 20.
        width_m: [m], 0 to 20.
        thickness_m: [m], 0 to 20.

    Returns:
        Area [m2].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Square-edged work.
    Assumes:
        Nothing left bare.
    Source:
        Geometry.

    Example:
        >>> print(f"{box_area_m2(0.4, 0.3, 0.02):.3f}")
        0.268
    """
    a = within("length", length_m, 0, LONGEST_M, "m")
    b = within("width", width_m, 0, LONGEST_M, "m")
    c = within("thickness", thickness_m, 0, LONGEST_M, "m")
    return 2 * (a * b + b * c + a * c)


def ring_area_m2(outer_m: ArrayLike, inner_m: ArrayLike = 0.0) -> Floats:
    """One flat face of a disc or ring.

    Args:
        outer_m: outside diameter [m], 0 to 20.
        inner_m: inside diameter [m], 0 to the outside; 0 for a disc.

    Returns:
        Area [m2].

    Raises:
        Refused: a figure outside its range, or a hole wider than the ring.

    Valid for:
        Round work. A ring of segments has the same area but for its corners.
    Assumes:
        Nothing.
    Source:
        Geometry.

    Example:
        >>> print(f"{ring_area_m2(0.172, 0.110):.5f}")
        0.01373
    """
    outer = within("outside diameter", outer_m, 0, LONGEST_M, "m")
    inner = within("inside diameter", inner_m, 0, LONGEST_M, "m")
    if np.any(inner > outer):
        raise Refused("inside diameter", "given", "not more than the outside diameter")
    return np.pi / 4 * (outer**2 - inner**2)


def turned_area_m2(along_m: ArrayLike, radius_m: ArrayLike, *, ends: bool = True) -> Floats:
    """A turned piece, its outline measured in points and taken as a row of cone pieces.

    Args:
        along_m: position of the points along the axis [m], -20 to 20, in the order of the
            outline, on the last axis. It may turn back, as a hollow does.
        radius_m: radius at the points [m], 0 to 10.
        ends: count the flat discs at the first and last point too.

    Returns:
        Area [m2]: sum of pi (r1 + r2) slant, and the ends.

    Raises:
        Refused: a figure outside its range; fewer than two points, or points that do not pair.

    Valid for:
        Any outline; curves need points close enough.
    Assumes:
        Straight between points, which makes bulges a little too small.
    Source:
        Lateral area of cone frusta, geometry.

    Example:
        >>> print(f"{turned_area_m2([0, 0.082], [0.0825, 0.0825]):.4f}")
        0.0853
    """
    radius, slant = _outline(along_m, radius_m)
    side = (np.pi * (radius[..., :-1] + radius[..., 1:]) * slant).sum(axis=-1)
    discs = np.pi * (radius[..., 0] ** 2 + radius[..., -1] ** 2)
    area: Floats = side + discs if ends else side
    return area


def pappus_area_m2(along_m: ArrayLike, radius_m: ArrayLike) -> Floats:
    """The side of a turned piece by the way its outline's centre of gravity travels.

    Args:
        along_m: as for `turned_area_m2` [m].
        radius_m: as for `turned_area_m2` [m].

    Returns:
        Area of the side, without ends [m2]: length of the outline x 2 pi x mean radius of it.

    Raises:
        Refused: as `turned_area_m2`.

    Valid for:
        Any outline that does not cross the axis; a bent wire of known length and balance
        point can be measured instead of points.
    Assumes:
        Straight between points.
    Source:
        Pappus' first theorem.

    Example:
        >>> print(f"{pappus_area_m2([0, 0.082], [0.0825, 0.0825]):.4f}")
        0.0425
    """
    radius, slant = _outline(along_m, radius_m)
    length = slant.sum(axis=-1)
    moment = (slant * (radius[..., :-1] + radius[..., 1:]) / 2).sum(axis=-1)
    balance = moment / np.where(length > 0, length, 1.0)
    return swept_area_m2(length, np.minimum(balance, LONGEST_M / 2))


def swept_area_m2(outline_m: ArrayLike, balance_radius_m: ArrayLike) -> Floats:
    """The side of a turned piece from a wire bent to its outline.

    Args:
        outline_m: length of the wire [m], 0 to 1e6.
        balance_radius_m: distance of its balance point from the axis [m], 0 to 10.

    Returns:
        Area [m2].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Any outline that does not cross the axis.
    Assumes:
        An even wire.
    Source:
        Pappus' first theorem.

    Example:
        A torus of 30 mm round bar bent to 200 mm across its middle:

        >>> print(f"{swept_area_m2(0.030 * np.pi, 0.100):.4f}")
        0.0592
    """
    outline = within("outline", outline_m, 0, 1e6, "m")
    return 2 * np.pi * within("balance radius", balance_radius_m, 0, 10, "m") * outline


def _outline(along_m: ArrayLike, radius_m: ArrayLike) -> tuple[Floats, Floats]:
    along = np.atleast_1d(within("position along the axis", along_m, -LONGEST_M, LONGEST_M, "m"))
    radius = np.atleast_1d(within("radius", radius_m, 0, LONGEST_M / 2, "m"))
    if along.shape[-1] != radius.shape[-1] or along.shape[-1] < 2:
        raise Refused("outline", f"{along.shape[-1]} points", "two or more, each with its radius")
    along, radius = np.broadcast_arrays(along, radius)
    return radius, np.hypot(np.diff(along, axis=-1), np.diff(radius, axis=-1))
