"""Bent laminations: the form is tighter than the bend, because the bend opens when it comes off."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import whole
from cureclock.core.joint.geometry import ALONG_M, Geometry, size
from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

MOST_PLIES = 200


def form_radius_m(radius_m: ArrayLike, plies: ArrayLike) -> Floats:
    """Radius of the form that gives the wanted radius after the bend has sprung back.

    Args:
        radius_m: radius wanted [m], 0.0001 to 20.
        plies: number of equal plies n [-], whole, 2 to 200.

    Returns:
        Radius of the form [m], R (1 - 1/n^2).

    Raises:
        Refused: naming the radius or the number.

    Valid for:
        Equal plies bent cold and dry, a glue line that does not creep.

    Assumes:
        Plies stay elastic: loose, they are n thin beams; glued, one beam n times as thick, which
        keeps 1 - 1/n^2 of the bend. Wet, steamed or very tight bends behave otherwise: glue a
        trial bend.

    Source:
        Common practice (springback = rise / n^2, boatbuilders' rule); it also follows from the
        bending of elastic beams.

    Example:
        >>> form_radius_m(0.120, 6).round(4).tolist()
        0.1167
    """
    radius = within("radius", radius_m, 1e-4, ALONG_M, "m")
    return radius * (1 - 1 / whole("plies", plies, 2, MOST_PLIES) ** 2)


def springback_m(rise_m: ArrayLike, plies: ArrayLike) -> Floats:
    """How much of its rise a bend loses when it comes off the form.

    Args:
        rise_m: rise of the arc above its chord on the form [m], 0 to 20.
        plies: number of equal plies n [-], whole, 2 to 200.

    Returns:
        Loss of rise [m], x / n^2.

    Raises:
        Refused: naming the rise or the number.

    Valid for:
        As form_radius_m; shallow arcs.

    Assumes:
        As form_radius_m.

    Source:
        Common practice, no source: boatbuilders' rule y = x / n^2.

    Example:
        >>> float(springback_m(3.0, 4))
        0.1875
    """
    rise = within("rise", rise_m, 0, ALONG_M, "m")
    return rise / whole("plies", plies, 2, MOST_PLIES) ** 2


@dataclass(frozen=True)
class BentLamination(Geometry):
    """Thin plies glued to each other over a form. Stressed as it comes off: use a glue that
    does not creep, and its gate for stressed joints.

    Args:
        plies: number of equal plies [-], whole, 2 to 200.
        ply_m: thickness of a ply [m], 0.0001 to 3, less than the radius of the form.
        length_m: length of the plies [m], 0.0001 to 20.
        width_m: width of the plies [m], 0.0001 to 3.
        radius_m: radius wanted [m], 0.0001 to 20.

    Raises:
        Refused: naming the field.

    Valid for:
        As form_radius_m.

    Assumes:
        As form_radius_m. Says nothing of whether a ply of this thickness breaks: bend one dry.

    Source:
        As form_radius_m.

    Example:
        >>> rim = BentLamination(6, 0.003, 1.45, 0.062, 0.120)
        >>> rim.glue_lines, round(rim.glue_area_m2, 4), round(rim.form_radius_m, 4)
        (5, 0.4495, 0.1167)
    """

    plies: int
    ply_m: float
    length_m: float
    width_m: float
    radius_m: float

    def __post_init__(self) -> None:
        whole("plies", self.plies, 2, MOST_PLIES)
        size("ply thickness", self.ply_m)
        size("length", self.length_m, ALONG_M)
        size("width", self.width_m)
        size("radius", self.radius_m, ALONG_M)
        if self.ply_m >= self.form_radius_m:
            less = f"less than the radius of the form, {self.form_radius_m:g} m"
            raise Refused("ply thickness", f"{self.ply_m:g} m", less)

    @property
    def glue_lines(self) -> int:
        """Number of glue lines: one fewer than plies [-]."""
        return int(self.plies) - 1

    @property
    def line_area_m2(self) -> float:
        """Area of one glue line [m2]."""
        return self.length_m * self.width_m

    @property
    def form_radius_m(self) -> float:
        """Radius of the form [m]."""
        return float(form_radius_m(self.radius_m, self.plies))

    @property
    def thickness_m(self) -> float:
        """Thickness of the glued bend [m]."""
        return self.plies * self.ply_m
