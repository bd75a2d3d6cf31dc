"""The water a glue brings into the wood, and how long it takes to even out."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.units import KELVIN_OFFSET
from cureclock.core.wood.entry import shop_temp_c

Floats = NDArray[np.float64]

ROOM_C = 20.0
DIFFUSION_20C = 1.0e-10  # m2/s across the grain near 10 % moisture; from memory, within 3 times
DIFFUSION_K = 5280.0  # E/R of moisture diffusion in red oak, Simpson (1993); from memory
DAY_S = 86_400.0
EXPERT_DAYS = 7.0  # Wengert, The Wood Doctor's Rx: generally enough
EXPERT_DEPTH_M = float(np.sqrt(DIFFUSION_20C * EXPERT_DAYS * DAY_S))  # 7.8 mm, so that they agree
# Wood Handbook (2010) ch. 10, conditioning after bonding: 16 d at room temperature, 4 d at
# 50 degC, 24 h at 70 degC. From memory, about 80 % sure.
HANDBOOK_C = (ROOM_C, 50.0, 70.0)
HANDBOOK_DAYS = (16.0, 4.0, 1.0)


def glue_water_points(
    spread_g_m2: ArrayLike,
    water_fraction: ArrayLike,
    thickness_m: ArrayLike,
    density_kg_m3: ArrayLike,
    *,
    lines: ArrayLike = 1,
    mc_pct: ArrayLike = 0.0,
) -> Floats:
    """How many points of moisture the glue's own water adds to the wood, on average.

    Args:
        spread_g_m2: glue on one glue line [g/m2], 10 to 1000.
        water_fraction: water in the glue [-], 0 to 0.95: PVA 0.5, urea 0.4, hide 0.6
            (common practice, no source).
        thickness_m: wood that shares the water, all layers together [m], 0.0002 to 1.
        density_kg_m3: density of the wood [kg/m3], 80 to 1400.
        lines: number of glue lines in that thickness, 1 to 200.
        mc_pct: moisture at which the density was taken [%], 0 to 60. 0: oven-dry, or a pencil
            sum that does not ask.

    Returns:
        Rise in moisture content [points of oven-dry mass].

    Raises:
        Refused: a figure outside its range; a water fraction above 1 is a percentage.

    Valid for:
        Cold pressing. A hot press drives the water out again (FPL Report 475).
    Assumes:
        All of the water goes into the wood and evens out; beside the line it is far more, for
        days.
    Source:
        Mass balance over one square metre, 100 n s w/(thickness x oven-dry density).

    Example:
        >>> print(f"{glue_water_points(200, 0.5, 0.020, 560):.3f}")
        0.893
        >>> print(f"{glue_water_points(250, 0.40, 6 * 0.003, 700, lines=5):.1f}")
        4.0
    """
    spread = within("spread", spread_g_m2, 10, 1000, "g/m2")
    water = _as_fraction(water_fraction)
    thickness = within("thickness", thickness_m, 0.0002, 1, "m")
    density = within("density", density_kg_m3, 80, 1400, "kg/m3")
    count = within("glue lines", lines, 1, 200)
    moisture = within("moisture content", mc_pct, 0, 60, "%")
    dry_kg_m2 = thickness * density / (1 + moisture / 100)
    return 100 * count * spread / 1000 * water / dry_kg_m2


def _as_fraction(water_fraction: ArrayLike) -> Floats:
    water = within("water in the glue", water_fraction, 0, 100)
    if np.any(water > 0.95):
        raise Refused(
            "water in the glue",
            f"{float(water.max()):g}",
            "0 to 0.95 as a fraction; 50 % is written 0.50 here",
        )
    return water


@dataclass(frozen=True)
class EveningOut:
    """Days until the glue's water has evened out, three ways; show all, they disagree.

    Attributes:
        diffusion_days: L^2/D(T) for the depth asked.
        expert_days: 7 days at 20 degC, moved to this temperature by D(T).
        handbook_days: between 16 d at 20 degC, 4 d at 50 and 1 d at 70.
    """

    diffusion_days: Floats
    expert_days: Floats
    handbook_days: Floats


def moisture_diffusion_m2_s(temp_c: ArrayLike) -> Floats:
    """How fast moisture moves across the grain.

    Args:
        temp_c: temperature of the wood [degC], -40 to 95.

    Returns:
        Diffusion coefficient [m2/s], 1.0e-10 at 20 degC.

    Raises:
        Refused: temperature outside the range.

    Valid for:
        Wood near 10 % moisture, a factor of three either way by species and moisture.
    Assumes:
        Arrhenius with E/R = 5280 K.
    Source:
        Level: from memory. Temperature: Simpson (1993), red oak, from memory.

    Example:
        >>> print(f"{moisture_diffusion_m2_s(50) / moisture_diffusion_m2_s(20):.2f}")
        5.32
    """
    kelvin = shop_temp_c(temp_c, "wood temperature", kiln=True) + KELVIN_OFFSET
    warmer: Floats = np.exp(DIFFUSION_K * (1 / (ROOM_C + KELVIN_OFFSET) - 1 / kelvin))
    return DIFFUSION_20C * warmer


def evening_out(temp_c: ArrayLike, depth_m: ArrayLike = EXPERT_DEPTH_M) -> EveningOut:
    """How long after pressing a joint may be surfaced without a sunken line.

    Args:
        temp_c: temperature while it rests [degC], -40 to 70.
        depth_m: how far the water has to spread [m], 0.001 to 0.1. Default 7.8 mm, the depth
            that makes L^2/D equal Wengert's 7 days at 20 degC.

    Returns:
        An EveningOut with three answers. They differ by more than two times; the one used by
        default is 7 days at 20 degC, the longer figure is the safe one.

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Water-based glue between boards. Epoxy and polyurethane bring no water.
    Assumes:
        Moisture spreads by diffusion only; free air on the faces.
    Source:
        7 days: Wengert, The Wood Doctor's Rx (Aching Glue Joints). 16 d, 4 d, 24 h: Wood
        Handbook ch. 10, from memory. D(T): see `moisture_diffusion_m2_s`.

    Example:
        >>> rest = evening_out(20)
        >>> [round(float(days), 1) for days in (rest.expert_days, rest.handbook_days)]
        [7.0, 16.0]
    """
    temp = within("resting temperature", temp_c, -40, HANDBOOK_C[-1], "degC")
    depth = within("depth", depth_m, 0.001, 0.1, "m")
    diffusion = moisture_diffusion_m2_s(temp)
    slowed = DIFFUSION_20C / diffusion
    return EveningOut(
        diffusion_days=depth**2 / diffusion / DAY_S,
        expert_days=EXPERT_DAYS * slowed,
        handbook_days=np.where(temp < ROOM_C, HANDBOOK_DAYS[0] * slowed, _between_rows(temp)),
    )


def _between_rows(temp_c: Floats) -> Floats:
    """The handbook's rows, ln(days) straight in 1/T, held below the first."""
    inverse = 1 / (np.array(HANDBOOK_C[::-1]) + KELVIN_OFFSET)
    logs = np.interp(1 / (temp_c + KELVIN_OFFSET), inverse, np.log(np.array(HANDBOOK_DAYS[::-1])))
    days: Floats = np.exp(logs)
    return days
