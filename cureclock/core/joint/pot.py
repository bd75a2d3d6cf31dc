"""Pot life: from mixing, not from spreading; a large pot heats itself."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.assembly import heat_factor
from cureclock.core.joint.count import Ints, whole
from cureclock.core.refusal import within
from cureclock.core.units import SECOND_US

Floats = NDArray[np.float64]

LONGEST_S = 30 * 86_400.0
MOST_G = 100_000.0
FARTHEST_US = 8_000_000_000_000_000  # instants up to the year 2223


def mass_share(label_g: ArrayLike, mass_g: ArrayLike) -> Floats:
    """What is left of the label's pot life in a larger pot than it speaks of.

    Args:
        label_g: the mass the label speaks of [g], 1 to 100000; often 100.
        mass_g: mass in this pot [g], 0 to 100000.

    Returns:
        Share of the label's pot life [-], never above 1.

    Raises:
        Refused: naming the argument.

    Valid for:
        Two-part adhesives that heat up as they cure.

    Assumes:
        Above the label's mass life falls as the mass grows. Crude: a tall cup heats more than a
        flat tray. The leftover in the cup is no witness, it runs hotter than the joint.

    Source:
        From memory, crude.

    Example:
        >>> mass_share(100, [50, 100, 180]).round(3).tolist()
        [1.0, 1.0, 0.556]
    """
    small = within("label mass", label_g, 1, MOST_G, "g")
    return small / np.maximum(within("mixed mass", mass_g, 0, MOST_G, "g"), small)


def pot_life_s(
    label_s: ArrayLike,
    label_g: ArrayLike,
    mass_g: ArrayLike,
    temp_c: ArrayLike,
    *,
    label_temp_c: ArrayLike = 20.0,
    q: ArrayLike = 2.0,
) -> Floats:
    """How long mixed glue stays usable in the pot.

    Args:
        label_s: the label's pot life [s], 1 to 2592000.
        label_g: the mass the label speaks of [g], 1 to 100000; often 100.
        mass_g: mass in this pot [g], 0 to 100000.
        temp_c: temperature of the mix or the air, the warmer [degC], -40 to 60.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        q: factor for 10 K [-], 1.5 to 3.

    Returns:
        Pot life [s], never longer than the label.

    Raises:
        Refused: naming the argument.

    Valid for:
        Two-part adhesives that heat up as they cure.

    Assumes:
        As mass_share.

    Source:
        The mass rule: as mass_share. Heat: the doubling rule, common practice, no source.

    Example:
        >>> (pot_life_s(30 * 60, 100, 180, 24) / 60).round(1).tolist()
        12.6
    """
    label = within("label pot life", label_s, 1, LONGEST_S, "s")
    return label * mass_share(label_g, mass_g) * heat_factor(temp_c, label_temp_c, q)


def use_by_us(mixed_us: ArrayLike, life_s: ArrayLike) -> Ints:
    """Until when mixed glue may be used.

    Args:
        mixed_us: when mixing began [us]: the clock starts there, not at spreading.
        life_s: pot life [s], 0 to 2592000.

    Returns:
        Instant [us], rounded down.

    Raises:
        Refused: naming the argument.

    Valid for:
        Instants from 1717 to 2223.

    Assumes:
        The pot stays as warm as it was counted for.

    Source:
        The label.

    Example:
        >>> use_by_us(0, 758.6).tolist()
        758600000
    """
    mixed = whole("mixed at", mixed_us, -FARTHEST_US, FARTHEST_US)
    life = within("pot life", life_s, 0, LONGEST_S, "s")
    return mixed + np.floor(life * SECOND_US).astype(np.int64)


def largest_pot_g(
    label_s: ArrayLike,
    label_g: ArrayLike,
    needed_s: ArrayLike,
    temp_c: ArrayLike,
    *,
    label_temp_c: ArrayLike = 20.0,
    q: ArrayLike = 2.0,
) -> Floats:
    """The most to mix in one pot so that it can be used up in time.

    Args:
        label_s: the label's pot life [s], 1 to 2592000.
        label_g: the mass the label speaks of [g], 1 to 100000.
        needed_s: time needed to use the pot up [s], 1 to 2592000.
        temp_c: temperature of the mix or the air, the warmer [degC], -40 to 60.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        q: factor for 10 K [-], 1.5 to 3.

    Returns:
        Mass [g]; 0 where even the label's mass does not last so long.

    Raises:
        Refused: naming the argument.

    Valid for:
        As pot_life_s.

    Assumes:
        As pot_life_s; a pot below the label's mass is not counted on to last longer.

    Source:
        As pot_life_s.

    Example:
        >>> largest_pot_g(1800, 100, [600, 900, 2400], 20).tolist()
        [300.0, 200.0, 0.0]
    """
    needed = within("time needed", needed_s, 1, LONGEST_S, "s")
    lasts = pot_life_s(label_s, label_g, label_g, temp_c, label_temp_c=label_temp_c, q=q)
    mass = np.minimum(np.asarray(label_g, dtype=np.float64) * (lasts / needed), MOST_G)
    return np.where(lasts >= needed, mass, 0.0)
