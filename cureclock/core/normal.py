"""The normal curve for whole arrays: density, and the share below a value, right far out too."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import within

Floats = NDArray[np.float64]

FURTHEST = 30.0  # standard deviations; beyond them a share counts as at them
LEAST = 1e-290
_ROOT_2PI = float(np.sqrt(2 * np.pi))
# Chebyshev fit of ln(erfc(x) exp(x^2)/t), t = 1/(1 + x/2), coefficients of t^0, t^1 ...:
# W. H. Press et al., Numerical Recipes (2nd ed., 1992) sec. 6.2, from memory; within 1.2e-7 of the
# share itself, held against scipy.
_FIT = (-1.26551223, 1.00002368, 0.37409196, 0.09678418, -0.18628806,
        0.27886807, -1.13520398, 1.48851587, -0.82215223, 0.17087277)  # fmt: skip


def share_below(z: ArrayLike) -> Floats:
    """The share of a normal population below a value.

    Args:
        z: value in standard deviations from the middle [-], -1e9 to 1e9; beyond 30 counts as 30.

    Returns:
        Share [-], 0 to 1, right to 2e-7 of itself, however small.

    Raises:
        Refused: not a number.

    Valid for:
        Any shape.
    Source:
        Press et al., Numerical Recipes (2nd ed., 1992) sec. 6.2.

    Example:
        >>> print(f"{share_below(1.2815515655446004):.6f}")
        0.900000
    """
    return below(np.atleast_1d(within("standard deviations", z, -1e9, 1e9))).reshape(np.shape(z))


def below(z: Floats) -> Floats:
    """`share_below` for values that are numbers already.

    Args:
        z: value in standard deviations from the middle [-]; beyond 30 counts as 30.

    Returns:
        Share [-].

    Valid for:
        Numbers that were checked before; the caller sees to it.
    Source:
        As `share_below`.

    Example:
        >>> below(np.zeros(1)).round(6).tolist()
        [0.5]
    """
    tail = _tail(z)
    return np.where(z < 0, tail, 1 - tail)


def _tail(z: Floats) -> Floats:
    """The share further out than a value on its own side; worked in place, it is asked often."""
    x = np.minimum(np.abs(z), FURTHEST)
    x *= np.sqrt(0.5)
    t = 1 / (1 + 0.5 * x)
    fit = _FIT[9] * t
    for number in (8, 7, 6, 5, 4, 3, 2, 1):
        fit += _FIT[number]
        fit *= t
    fit += _FIT[0]
    x *= x
    fit -= x
    np.exp(fit, out=fit)
    fit *= t
    fit *= 0.5
    return fit


def share_between(low_z: Floats, high_z: Floats) -> Floats:
    """The share of a normal population between two values, right in both tails.

    Args:
        low_z: lower value in standard deviations [-].
        high_z: higher value, above it, of the same shape [-].

    Returns:
        Share [-], at least 1e-290.

    Valid for:
        Numbers that were checked before; the caller sees to it.
    Source:
        As `share_below`; a difference of tails where both lie on one side of the middle.

    Example:
        >>> print(f"{share_between(np.array([8.0]), np.array([9.0]))[0]:.2e}")
        6.22e-16
    """
    low, high = _tail(low_z), _tail(high_z)
    one_side = low_z * high_z > 0
    share = np.where(one_side, np.abs(low - high), 1 - low - high)
    return np.maximum(share, LEAST)


def density(z: Floats) -> Floats:
    """The normal curve's height.

    Args:
        z: value in standard deviations from the middle [-]; beyond 30 counts as 30.

    Returns:
        Height [-].

    Valid for:
        Numbers that were checked before; the caller sees to it.
    Source:
        Definition.

    Example:
        >>> print(f"{density(np.zeros(1))[0]:.4f}")
        0.3989
    """
    near = np.minimum(np.abs(z), FURTHEST)
    height: Floats = np.exp(-near * near / 2) / _ROOT_2PI
    return height
