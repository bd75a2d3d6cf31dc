"""How wood carries heat: density, conductivity, heat capacity and diffusivity across the grain."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import within
from cureclock.core.units import KELVIN_OFFSET
from cureclock.core.wood.entry import shop_temp_c

Floats = NDArray[np.float64]

WATER_KG_M3 = 1000.0
WETTEST_PCT = 25.0  # the conductivity formula ends here
LIGHTEST, HEAVIEST = 0.10, 1.30  # specific gravity of balsa to lignum vitae
USUAL_MC_PCT = 12.0


def density_kg_m3(gravity: ArrayLike, mc_pct: ArrayLike = USUAL_MC_PCT) -> Floats:
    """The weight of a cubic metre of wood with the water in it.

    Args:
        gravity: specific gravity at that moisture, oven-dry weight over volume as it is [-],
            0.1 to 1.3.
        mc_pct: moisture content [%], 0 to 25. Default 12, the usual tables' moisture.

    Returns:
        Density [kg/m3].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        0 to 25 % moisture, gravity taken at the same moisture.
    Assumes:
        Nothing.
    Source:
        Wood Handbook FPL-GTR-190 (2010) ch. 4 eq. 4-12.

    Example:
        >>> print(f"{density_kg_m3(0.605):.0f}")
        678
    """
    g = within("specific gravity", gravity, LIGHTEST, HEAVIEST)
    return WATER_KG_M3 * g * (1 + _moisture(mc_pct) / 100)


def gravity_of_density(density: ArrayLike, mc_pct: ArrayLike = USUAL_MC_PCT) -> Floats:
    """Specific gravity of wood from its weighed density, the inverse of `density_kg_m3`.

    Args:
        density: density with the water in it [kg/m3], 130 to 1300.
        mc_pct: moisture content [%], 0 to 25.

    Returns:
        Specific gravity at that moisture [-].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        As `density_kg_m3`.
    Assumes:
        Nothing.
    Source:
        Wood Handbook FPL-GTR-190 (2010) ch. 4 eq. 4-12.

    Example:
        >>> print(f"{gravity_of_density(650):.3f}")
        0.580
    """
    kg_m3 = within("density", density, 130, 1300, "kg/m3")
    return kg_m3 / WATER_KG_M3 / (1 + _moisture(mc_pct) / 100)


def _moisture(mc_pct: ArrayLike) -> Floats:
    return within("moisture content", mc_pct, 0, WETTEST_PCT, "%")


def conductivity_w_mk(gravity: ArrayLike, mc_pct: ArrayLike = USUAL_MC_PCT) -> Floats:
    """How well wood conducts heat across the grain.

    Args:
        gravity: specific gravity at that moisture [-], 0.1 to 1.3.
        mc_pct: moisture content [%], 0 to 25.

    Returns:
        Thermal conductivity [W/(m K)].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Gravity above 0.3 and moisture below 25 %, near 24 degC; lighter woods by carrying the
        line on. A true board may differ by 20 %.
    Assumes:
        No change with temperature (it is 2 to 3 % for 10 K).
    Source:
        Wood Handbook FPL-GTR-190 (2010) ch. 4 eq. 4-15: k = G (0.1941 + 0.004064 M) + 0.01864.

    Example:
        >>> print(f"{conductivity_w_mk(0.58):.3f}")
        0.160
    """
    g = within("specific gravity", gravity, LIGHTEST, HEAVIEST)
    return g * (0.1941 + 0.004064 * _moisture(mc_pct)) + 0.01864


def heat_capacity_j_kgk(temp_c: ArrayLike = 15.0, mc_pct: ArrayLike = USUAL_MC_PCT) -> Floats:
    """The heat a kilogram of wood takes to become one degree warmer.

    Args:
        temp_c: temperature of the wood [degC], -40 to 95. Default 15, a shop.
        mc_pct: moisture content [%], 0 to 25.

    Returns:
        Heat capacity [J/(kg K)].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        7 to 147 degC below fibre saturation; colder wood by carrying the line on.
    Assumes:
        Any species.
    Source:
        Wood Handbook FPL-GTR-190 (2010) ch. 4 eq. 4-16 to 4-18; b1 is minus 0.06191
        (copies that drop its sign are wrong).

    Example:
        >>> print(f"{heat_capacity_j_kgk(66.85, 12):.0f}")
        1915
    """
    kelvin = shop_temp_c(temp_c, "wood temperature", kiln=True) + KELVIN_OFFSET
    moisture = _moisture(mc_pct)
    dry = 0.1031 + 0.003867 * kelvin
    mixed = (dry + 4.18 * moisture / 100) / (1 + moisture / 100)
    bound = moisture * (-0.06191 + 2.36e-4 * kelvin - 1.33e-4 * moisture)
    return 1000 * (mixed + bound)


def diffusivity_m2_s(
    gravity: ArrayLike, mc_pct: ArrayLike = USUAL_MC_PCT, temp_c: ArrayLike = 15.0
) -> Floats:
    """How fast warmth travels through wood across the grain.

    Args:
        gravity: specific gravity at that moisture [-], 0.1 to 1.3.
        mc_pct: moisture content [%], 0 to 25.
        temp_c: temperature of the wood [degC], -40 to 95.

    Returns:
        Thermal diffusivity k/(rho c) [m2/s].

    Raises:
        Refused: a figure outside its range.

    Valid for:
        As `conductivity_w_mk` and `heat_capacity_j_kgk`.
    Assumes:
        As they do.
    Source:
        Definition; Wood Handbook FPL-GTR-190 (2010) ch. 4 gives 1.6e-7 m2/s as typical (from
        memory).

    Example:
        >>> print(f"{diffusivity_m2_s(0.5):.2e}")
        1.57e-07
    """
    heat_j_m3k = density_kg_m3(gravity, mc_pct) * heat_capacity_j_kgk(temp_c, mc_pct)
    return conductivity_w_mk(gravity, mc_pct) / heat_j_m3k
