"""A board warming or cooling from its faces: the exact series and its first term."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import within

Floats = NDArray[np.float64]

BIOT = (1e-4, 1e4)
FOURIER_MOST = 1e6
TERMS = 40  # the next is below 1e-6 from Fourier 0.001 on
SOONEST = 1e-3  # Fourier below which the series is not used
HALVINGS = 54  # of an interval of pi/2: to rounding


def biot_number(
    surface_w_m2k: ArrayLike, half_thickness_m: ArrayLike, conductivity_w_mk: ArrayLike
) -> Floats:
    """How strongly the air grips the wood beside how well the wood passes heat on.

    Args:
        surface_w_m2k: heat passed between air and face [W/(m2 K)], 1 to 200.
        half_thickness_m: distance from the face to the middle [m], 0.0001 to 1.
        conductivity_w_mk: conductivity of the wood [W/(m K)], 0.02 to 1.

    Returns:
        Biot number h L/k [-].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Slabs.
    Assumes:
        One coefficient for convection and radiation together.
    Source:
        Definition.

    Example:
        >>> print(f"{biot_number(8, 0.025, 0.16):.2f}")
        1.25
    """
    surface = within("surface coefficient", surface_w_m2k, 1, 200, "W/(m2 K)")
    half = within("half thickness", half_thickness_m, 0.0001, 1, "m")
    return surface * half / within("conductivity", conductivity_w_mk, 0.02, 1, "W/(m K)")


def slab_roots(biot: ArrayLike, terms: int = 1) -> Floats:
    """The first roots of lambda tan(lambda) = Bi, one in each half turn.

    Args:
        biot: Biot number [-], 0.0001 to 10000.
        terms: how many roots, 1 to 200.

    Returns:
        Roots [rad], on a new last axis.

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Slabs with the same air on both faces.
    Assumes:
        Nothing.
    Source:
        Separation of variables; Carslaw and Jaeger, Conduction of Heat in Solids (1959)
        sec. 3.11 (from memory). Halving, all roots at once.

    Example:
        >>> print(f"{slab_roots(1.0)[0]:.4f}")
        0.8603
    """
    bi = within("Biot number", biot, *BIOT)[..., None]
    count = int(within("terms", terms, 1, 200))
    low = np.pi * np.arange(count) + 0.0 * bi
    high = low + np.pi / 2
    sign = (-1.0) ** np.arange(count)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        before = sign * (middle * np.sin(middle) - bi * np.cos(middle)) < 0
        low, high = np.where(before, middle, low), np.where(before, high, middle)
    return (low + high) / 2


def slab_coefficients(roots: ArrayLike) -> Floats:
    """The weight of each term of the series.

    Args:
        roots: from `slab_roots` [rad], above 0 to 1000.

    Returns:
        C = 4 sin(lambda)/(2 lambda + sin(2 lambda)) [-], the shape of the roots.

    Raises:
        Refused: a root outside its range.

    Valid for:
        A slab of one temperature at the start.
    Assumes:
        Nothing.
    Source:
        As `slab_roots`.

    Example:
        >>> print(f"{slab_coefficients(slab_roots(1.0))[0]:.4f}")
        1.1191
    """
    root = within("root", roots, 1e-6, 1000, "rad")
    return 4 * np.sin(root) / (2 * root + np.sin(2 * root))


def slab_left(biot: ArrayLike, fourier: ArrayLike, depth: ArrayLike = 0.0) -> Floats:
    """The share of the first temperature step that is still left in a slab: the full series.

    Args:
        biot: Biot number [-], 0.0001 to 10000.
        fourier: Fourier number, alpha t/L^2 [-], 0 to 1e6.
        depth: where: 0 in the middle (the glue line) to 1 at the face.

    Returns:
        (T - T_air)/(T_start - T_air), 1 at the start to 0 [-].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Fourier 0.001 and more; sooner counts as 0.001 (for 25 mm of wood: the first second),
        0 as the start.
    Assumes:
        One step of the air, both faces alike, edges far away, the wood's properties fixed.
    Source:
        As `slab_roots`; 40 terms.

    Example:
        >>> print(f"{slab_left(1.0, 1.0):.4f}")
        0.5339
    """
    when = within("Fourier number", fourier, 0, FOURIER_MOST)
    where = within("place in the slab", depth, 0, 1)
    return left_of_roots(slab_roots(biot, TERMS), when, where)


def left_of_roots(roots: Floats, fourier: Floats, depth: Floats) -> Floats:
    """The series of `slab_left` for roots that are known already, for many times in a row.

    Args:
        roots: from `slab_roots` [rad], 40 on the last axis.
        fourier: Fourier number [-], not below 0.
        depth: where: 0 in the middle to 1 at the face.

    Returns:
        Share of the step that is left [-].

    Raises:
        Refused: a root outside 0 to 1000; the rest is the caller's to check.

    Valid for:
        As `slab_left`.
    Assumes:
        As `slab_left`.
    Source:
        As `slab_left`.

    Example:
        >>> left = left_of_roots(slab_roots(1.0, TERMS), np.array(1.0), np.array(0.0))
        >>> print(f"{left:.4f}")
        0.5339
    """
    later = np.maximum(fourier, SOONEST)[..., None]
    shape = np.cos(roots * depth[..., None]) * slab_coefficients(roots)
    left = np.clip((shape * np.exp(-(roots**2) * later)).sum(axis=-1), 0.0, 1.0)
    return np.where(fourier == 0, 1.0, left)


def slab_left_one_term(biot: ArrayLike, fourier: ArrayLike, depth: ArrayLike = 0.0) -> Floats:
    """The same share by the first term alone, which a table and a pencil can redo.

    Args:
        biot: Biot number [-], 0.0001 to 10000.
        fourier: Fourier number [-], 0.2 to 1e6.
        depth: where: 0 in the middle to 1 at the face.

    Returns:
        C1 exp(-lambda1^2 Fo) cos(lambda1 depth) [-].

    Raises:
        Refused: a figure outside its range; below Fourier 0.2 one term is not enough.

    Valid for:
        Fourier 0.2 and more: within 2 % of the series.
    Assumes:
        As `slab_left`.
    Source:
        Table of lambda1 and C1: Cengel, Heat and Mass Transfer, table 4-2.

    Example:
        >>> print(f"{slab_left_one_term(1.0, 1.0):.4f}")
        0.5339
    """
    when = within("Fourier number", fourier, 0.2, FOURIER_MOST)
    root = slab_roots(biot)[..., 0]
    where = np.cos(root * within("place in the slab", depth, 0, 1))
    return slab_coefficients(root) * np.exp(-(root**2) * when) * where
