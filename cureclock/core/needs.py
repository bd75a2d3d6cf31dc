"""What makes one wait longer than the label's: multipliers of the need, fixed at its start.

None of them shortens a wait below the label. Sun, fan and heater are not here: they act on the
rate of the place from then to then.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import whole
from cureclock.core.refusal import within

Floats = NDArray[np.float64]

STRESSED = 2.0  # a urea maker's sheet: double the clamp time for bent laminations
SOLVENT_POWER = 2.0  # solvent leaves a film in proportion to its thickness squared; common practice
LATER_COAT = 1.2  # each later coat of oil; common practice, no source


def wet_wood(moisture_pct: ArrayLike, dry_enough_pct: ArrayLike, per_point: ArrayLike) -> Floats:
    """How much longer a glue waits that has to give its water to damp wood.

    Args:
        moisture_pct: moisture of the wetter part [%], 0 to 60.
        dry_enough_pct: upper end of the label's window [%], 0 to 30.
        per_point: the maker's own share of the need for each point above it [-], 0 to 1.

    Returns:
        Multiplier of the need [-], 1 + share x points above the window, never below 1.

    Raises:
        Refused: naming the argument.

    Valid for:
        Glues that set by losing water, in wood that may still be glued at all.

    Assumes:
        Each point costs the same. No figure was found in print: the share is yours, from your
        own witnesses, 0 until you have one.

    Source:
        Common practice (a wet joint takes water slowly), no source.

    Example:
        >>> wet_wood([9, 12, 14], 12, 0.1).round(2).tolist()
        [1.0, 1.0, 1.2]
    """
    moisture = within("wood moisture", moisture_pct, 0, 60, "%")
    over = np.maximum(moisture - within("dry enough", dry_enough_pct, 0, 30, "%"), 0.0)
    return 1 + over * within("share for each point", per_point, 0, 1)


def thick_film(
    thickness: ArrayLike, label_thickness: ArrayLike, power: ArrayLike = SOLVENT_POWER
) -> Floats:
    """How much longer a film or a glue line waits that is thicker than the label's.

    Args:
        thickness: film or glue line as laid [any unit of length], 0.000001 to 100000, at most 20
            times the label's.
        label_thickness: the one the label speaks of [the same unit], 0.000001 to 100000.
        power: p [-], 0 to 3; 2 where solvent or water has to find its way out, 0 where
            thickness does not matter.

    Returns:
        Multiplier of the need [-], (d / d_label)^p, never below 1.

    Raises:
        Refused: naming the argument.

    Valid for:
        Films laid in one go. Thick reacting films warm themselves: not for those.

    Assumes:
        A thinner film than the label's saves nothing.

    Source:
        p = 2 for solvent release: common practice, as diffusion through a film has it.

    Example:
        >>> thick_film([50, 100, 200], 100).tolist()
        [1.0, 1.0, 4.0]
    """
    film = within("thickness", thickness, 1e-6, 1e5)
    ratio = film / within("label thickness", label_thickness, 1e-6, 1e5)
    ratio = within("thickness beside the label's", np.maximum(ratio, 1.0), 1, 20)
    return ratio ** within("power", power, 0, 3)


def non_porous(is_non_porous: ArrayLike, factor: ArrayLike) -> Floats:
    """How much longer a glue waits whose water or solvent cannot leave through one face.

    Args:
        is_non_porous: True where metal, plastic, film or a sealed face is glued to wood.
        factor: the label's or the maker's own factor [-], 1 to 20.

    Returns:
        Multiplier of the need [-], the factor, or 1 where both faces are bare wood.

    Raises:
        Refused: naming the factor.

    Valid for:
        One tight face. Between two, a glue that sets by losing water does not set.

    Assumes:
        No figure was found in print: the factor is the label's or yours.

    Source:
        Common practice, no source.

    Example:
        >>> non_porous([False, True], 2.0).tolist()
        [1.0, 2.0]
    """
    return _where(is_non_porous, "factor for tight faces", factor, 20)


def stressed(is_stressed: ArrayLike, factor: ArrayLike = STRESSED) -> Floats:
    """How much longer a joint stays pressed that pulls at its glue line when released.

    Args:
        is_stressed: True for bends, sprung edges, pieces pulled together.
        factor: the label's own factor [-], 1 to 20.

    Returns:
        Multiplier of the need [-], the factor, or 1 for a joint at rest.

    Raises:
        Refused: naming the factor.

    Valid for:
        The clamps-off gate; a label that prints a time for stressed joints outranks it.

    Assumes:
        The glue does not creep: under lasting load ordinary PVA does.

    Source:
        2: a two-part urea-formaldehyde maker's sheet reprinted in a homebuilt-aircraft
        construction manual, page D-2, for bent laminations. For other glues common practice.

    Example:
        >>> stressed([False, True]).tolist()
        [1.0, 2.0]
    """
    return _where(is_stressed, "factor for stressed joints", factor, 20)


def oily_wood(is_first_coat_on_oily: ArrayLike, factor: ArrayLike) -> Floats:
    """How much longer the first coat waits on oily or resinous wood.

    Args:
        is_first_coat_on_oily: True for a first coat on bare oily or resinous wood.
        factor: the maker's own factor [-], 1 to 3; 1.5 to 3 is usual.

    Returns:
        Multiplier of the need [-], the factor, or 1.

    Raises:
        Refused: naming the factor.

    Valid for:
        Drying oils and varnishes. Sealing or wiping with solvent first is surer than waiting.

    Assumes:
        The coat dries at all; on some woods oil never does.

    Source:
        Common practice, no source.

    Example:
        >>> oily_wood([False, True], 2.5).tolist()
        [1.0, 2.5]
    """
    return _where(is_first_coat_on_oily, "factor for oily wood", factor, 3)


def later_coat(coat: ArrayLike, each: ArrayLike = LATER_COAT) -> Floats:
    """How much longer each later coat of oil waits, because the wood drinks no more of it.

    Args:
        coat: number of the coat, 1 for the first [-], whole, 1 to 12.
        each: factor for each coat after the first [-], 1 to 2.

    Returns:
        Multiplier of the need [-], factor^(coat - 1).

    Raises:
        Refused: naming the argument.

    Valid for:
        Drying oils.

    Assumes:
        Thin coats, wiped off.

    Source:
        Common practice, no source.

    Example:
        >>> later_coat([1, 2, 3]).round(2).tolist()
        [1.0, 1.2, 1.44]
    """
    after_first = whole("coat", coat, 1, 12) - 1
    return within("factor for each coat", each, 1, 2) ** after_first


def _where(condition: ArrayLike, quantity: str, factor: ArrayLike, most: float) -> Floats:
    return np.where(np.asarray(condition, dtype=bool), within(quantity, factor, 1, most), 1.0)
