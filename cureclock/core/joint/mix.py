"""How much glue to pour or mix, in which parts, in how many pots."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import Ints, round_up
from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]


def glue_needed_g(
    area_m2: ArrayLike, spread_g_m2: ArrayLike, waste: ArrayLike, faces_factor: ArrayLike = 1.0
) -> Floats:
    """How much glue to pour or mix for a glue-up.

    Args:
        area_m2: area of all glue lines together, one face of each [m2], 0 to 1000.
        spread_g_m2: the label's spread for a glue line [g/m2], 10 to 2000.
        waste: part lost in pot, brush and squeeze-out [-], 0 to 2; 0.2 is a fifth more.
        faces_factor: 1 for one face, more for both faces, end grain or mitred ends [-], 0.5 to 4.

    Returns:
        Glue [g], area x spread x faces factor x (1 + waste).

    Raises:
        Refused: naming the argument.

    Valid for:
        Adhesives spread by weight.

    Assumes:
        Weigh the bottle before and after: that is your own waste.

    Source:
        Plain geometry. 200 g/m2 (150 to 250) and 1.5 for end grain are common practice, no
        source.

    Example:
        >>> glue_needed_g(0.659, 200, 0.2).round().tolist()
        158.0
    """
    area = within("area", area_m2, 0, 1000, "m2")
    spread = within("spread", spread_g_m2, 10, 2000, "g/m2")
    factor = within("faces factor", faces_factor, 0.5, 4)
    return area * spread * factor * (1 + within("waste", waste, 0, 2))


def _parts(quantity: str, value: ArrayLike, low: float, high: float, unit: str = "") -> Floats:
    parts = within(quantity, value, low, high, unit)
    if parts.ndim == 0 or parts.shape[-1] < 2:
        raise Refused(quantity, parts.tolist(), "two or more, one for each component")
    return parts


def weight_parts(volume_parts: ArrayLike, density_g_ml: ArrayLike) -> Floats:
    """Turn a mixing ratio by volume into one by weight.

    Args:
        volume_parts: parts by volume, components along the last axis [-], 0.001 to 10000.
        density_g_ml: density of each component [g/mL], 0.2 to 5.

    Returns:
        Parts by weight [-]: each part by volume times its density.

    Raises:
        Refused: naming the argument.

    Valid for:
        Liquids, two or more.

    Assumes:
        Densities at the temperature of mixing.

    Source:
        Mass is volume times density.

    Example:
        >>> weight_parts([2, 1], [1.16, 1.0]).tolist()
        [2.32, 1.0]
    """
    parts = _parts("parts by volume", volume_parts, 1e-3, 1e4)
    return parts * _parts("density", density_g_ml, 0.2, 5, "g/mL")


def shares_g(total_g: ArrayLike, parts_by_weight: ArrayLike) -> Floats:
    """How many grams of each component to weigh out.

    Args:
        total_g: mixed glue wanted [g], 0 to 1000000.
        parts_by_weight: the label's ratio, components along the last axis [-], 0.0001 to 50000.

    Returns:
        Grams of each component, components along the last axis.

    Raises:
        Refused: naming the argument.

    Valid for:
        Ratios by weight, two or more components.

    Assumes:
        The label's ratio is kept: more hardener does not cure faster, it cures badly.

    Source:
        Plain proportion.

    Example:
        >>> shares_g(180, [5, 1]).tolist()
        [150.0, 30.0]
    """
    total = within("mixed glue", total_g, 0, 1e6, "g")[..., np.newaxis]
    parts = _parts("parts by weight", parts_by_weight, 1e-4, 5e4)
    return np.asarray(total * parts / parts.sum(axis=-1, keepdims=True))


def shares_ml(total_g: ArrayLike, volume_parts: ArrayLike, density_g_ml: ArrayLike) -> Floats:
    """How many millilitres of each component to measure out for a weight of mixed glue.

    Args:
        total_g: mixed glue wanted [g], 0 to 1000000.
        volume_parts: the label's ratio by volume, components along the last axis [-],
            0.001 to 10000.
        density_g_ml: density of each component [g/mL], 0.2 to 5.

    Returns:
        Millilitres of each component, components along the last axis.

    Raises:
        Refused: naming the argument.

    Valid for:
        As weight_parts.

    Assumes:
        As weight_parts and shares_g.

    Source:
        Plain proportion.

    Example:
        >>> shares_ml(166, [2, 1], [1.16, 1.0]).round(6).tolist()
        [100.0, 50.0]
    """
    weights = shares_g(total_g, weight_parts(volume_parts, density_g_ml))
    return weights / np.asarray(density_g_ml, dtype=np.float64)


def pots_needed(total_g: ArrayLike, largest_pot_g: ArrayLike) -> Ints:
    """In how many pots to mix so that none is too large.

    Args:
        total_g: mixed glue wanted [g], 0 to 1000000.
        largest_pot_g: most in one pot [g], 1 to 1000000.

    Returns:
        Number of pots [-], at least 1.

    Raises:
        Refused: naming the argument.

    Valid for:
        Pots mixed one after the other, each when the last is used up.

    Assumes:
        Pots of equal size.

    Source:
        Plain counting.

    Example:
        >>> pots_needed(180, 100).tolist()
        2
    """
    total = within("mixed glue", total_g, 0, 1e6, "g")
    return round_up(total / within("largest pot", largest_pot_g, 1, 1e6, "g"))
