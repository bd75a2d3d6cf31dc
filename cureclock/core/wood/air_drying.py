"""What to expect of a wood before it was ever metered: the printed air-drying times."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.units import KELVIN_OFFSET
from cureclock.core.wood.entry import shop_temp_c
from cureclock.core.wood.glue_water import DIFFUSION_K

Floats = NDArray[np.float64]

# Days for 25 mm (1 in) boards, green to 20 %, shortest and longest. Origin: US Forest Products
# Laboratory, Technical Note 233 (1960). Its introduction was read; the numbers are from memory.
AIR_DRYING_DAYS: dict[str, tuple[float, float]] = {
    "alder, red": (20, 180),
    "ash, white": (60, 200),
    "aspen": (50, 150),
    "basswood": (40, 150),
    "beech": (70, 200),
    "birch, yellow": (70, 200),
    "butternut": (60, 200),
    "cherry, black": (70, 200),
    "cottonwood": (50, 150),
    "Douglas-fir, coast": (20, 200),
    "elm": (50, 150),
    "hemlock, western": (60, 200),
    "hickory": (60, 200),
    "larch, western": (60, 120),
    "maple, red or silver": (30, 120),
    "maple, sugar": (50, 200),
    "oak, northern red": (70, 200),
    "oak, northern white": (80, 250),
    "oak, southern red": (100, 300),
    "oak, southern white": (120, 320),
    "pine, eastern white": (60, 200),
    "pine, ponderosa": (15, 150),
    "redwood, light": (60, 185),
    "spruce, Sitka": (40, 150),
    "sweetgum, heart": (70, 300),
    "sycamore": (30, 150),
    "walnut, black": (70, 200),
    "yellow-poplar": (40, 150),
}
TABLE_THICKNESS_M = 0.0254
TABLE_TO_PCT = 20.0
GREEN_PCT = 75.0  # usual green moisture of hardwoods; from memory, 40 to 120
OUTDOOR_EMC_PCT = 12.0  # mean of outdoor air under cover; US air-dried stock comes to 12-15 %
THICKNESS_POWER = 1.5  # from memory, range 1 to 2; "more than in proportion" is published
NINE_IN_TEN = 1.645  # standard errors either side; the table's ends are taken as that


@dataclass(frozen=True)
class KappaPrior:
    """A rate to expect, and how far off it may be.

    Attributes:
        kappa_per_day: middle of what to expect [1/d], 0.00001 to 10.
        log_spread: standard error of its natural logarithm [-], 0.01 to 5.

    Raises:
        Refused: naming the figure that is outside its range.
    """

    kappa_per_day: ArrayLike
    log_spread: ArrayLike

    def __post_init__(self) -> None:
        within("drying rate to expect", self.kappa_per_day, 1e-5, 10, "per day")
        within("spread of the rate", self.log_spread, 0.01, 5)

    @property
    def log_kappa(self) -> Floats:
        """Natural logarithm of the rate, with an axis to hold other rates against."""
        middle: Floats = np.log(np.asarray(self.kappa_per_day, dtype=np.float64))[..., None]
        return middle


def expected_kappa(
    wood: str, thickness_m: ArrayLike, *, thickness_power: ArrayLike = THICKNESS_POWER
) -> KappaPrior:
    """The drying rate to expect of a wood out of doors, before the first reading.

    Args:
        wood: a name in AIR_DRYING_DAYS.
        thickness_m: thickness of the board [m], 0.01 to 0.15.
        thickness_power: how drying time grows with thickness [-], 1 to 2. Default 1.5, from
            memory.

    Returns:
        A KappaPrior: kappa = ln((75 - 12)/(20 - 12)) / days x (25.4 mm/thickness)^1.5, for the
        geometric middle of the shortest and the longest printed time.

    Raises:
        Refused: a figure outside its range, or a wood the table does not have.

    Valid for:
        Stickered stacks under cover, out of doors, temperate climate.
    Assumes:
        Green at 75 %, air that leads to 12 %; one exponential all the way down.
    Source:
        US Forest Products Laboratory Technical Note 233 (1960), numbers from memory.

    Example:
        >>> expect = expected_kappa("ash, white", 0.0254)
        >>> print(f"{expect.kappa_per_day:.4f}")
        0.0188
    """
    if wood not in AIR_DRYING_DAYS:
        raise Refused("wood", wood, f"one of {', '.join(AIR_DRYING_DAYS)}")
    thickness = within("thickness", thickness_m, 0.01, 0.15, "m")
    power = within("thickness power", thickness_power, 1, 2)
    shortest, longest = AIR_DRYING_DAYS[wood]
    gaps = np.log((GREEN_PCT - OUTDOOR_EMC_PCT) / (TABLE_TO_PCT - OUTDOOR_EMC_PCT))
    middle = gaps / np.sqrt(shortest * longest) * (TABLE_THICKNESS_M / thickness) ** power
    spread = np.log(longest / shortest) / (2 * NINE_IN_TEN)
    return KappaPrior(middle, np.full(np.shape(middle), spread))


def kappa_moved(kappa_per_day: ArrayLike, temp_from_c: ArrayLike, temp_to_c: ArrayLike) -> Floats:
    """A drying rate carried to a warmer or colder place.

    Args:
        kappa_per_day: rate in the first place [1/d], 0.00001 to 10.
        temp_from_c: mean temperature there [degC], -40 to 50.
        temp_to_c: mean temperature of the new place [degC], -40 to 50.

    Returns:
        Rate in the new place [1/d]. Its EMC changes too: see `moisture.emc_pct`.

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Wood below 30 % that dries as fast as moisture comes out of its middle.
    Assumes:
        The rate follows diffusion, E/R = 5280 K. Fast drying checks the wood.
    Source:
        Simpson (1993), red oak, from memory.

    Example:
        >>> print(f"{kappa_moved(0.01, 10, 20):.4f}")
        0.0189
    """
    kappa = within("drying rate", kappa_per_day, 1e-5, 10, "per day")
    cold = shop_temp_c(temp_from_c, "mean temperature") + KELVIN_OFFSET
    warm = shop_temp_c(temp_to_c, "mean temperature") + KELVIN_OFFSET
    faster: Floats = np.exp(DIFFUSION_K * (1 / cold - 1 / warm))
    return kappa * faster
