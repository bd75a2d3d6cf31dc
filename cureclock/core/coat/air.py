"""The water in the air: saturation pressure, dew point, vapour density, drying power."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import within
from cureclock.core.units import KELVIN_OFFSET
from cureclock.core.wood.entry import humidity_pct, shop_temp_c

Floats = NDArray[np.float64]

TRIPLE_POINT_C = 0.01  # ice below, water above; ITS-90
VAPOUR_GAS_CONSTANT = 461.5  # J/(kg K), water vapour; molar gas constant / 0.018015 kg/mol
DRIEST_PCT = 1.0  # drier air has no dew point that matters
DEW_ROUNDS = 12  # each round takes off nine tenths of the error or more
MAGNUS_A, MAGNUS_B_C = 17.62, 243.12  # WMO-No. 8, over water (from memory; 2nd in degC)

# Coefficients of Hyland and Wexler (1983) as in ASHRAE Handbook - Fundamentals (2017), ch. 1,
# eq. 5 (over ice) and 6 (over water); natural log of the pressure in Pa, T in kelvin. Typed
# from memory, held against the published values in tests/published/test_air.py.
ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def saturation_pressure_pa(temp_c: ArrayLike) -> Floats:
    """The most water vapour that air of a temperature can hold, as a pressure.

    Args:
        temp_c: air temperature [degC], -100 to 200.

    Returns:
        Saturation pressure [Pa], over ice below 0.01 degC and over water above.

    Raises:
        Refused: temperature outside the range.

    Valid for:
        -100 to 200 degC.
    Assumes:
        Pure water; the enhancement by air (0.4 %) is left out, as psychrometric tables do.
    Source:
        Hyland and Wexler (1983), ASHRAE Trans. 89(2A); ASHRAE Fundamentals (2017) ch. 1
        eq. 5 and 6. Coefficients from memory, checked against published values.

    Example:
        >>> print(f"{saturation_pressure_pa(25):.1f}")
        3169.2
    """
    temp = within("temperature", temp_c, -100, 200, "degC")
    return np.exp(_log_pressure(temp))


def _log_pressure(temp_c: Floats) -> Floats:
    icy = temp_c <= TRIPLE_POINT_C
    ice = _hyland_wexler(np.minimum(temp_c, TRIPLE_POINT_C), ICE)
    water = _hyland_wexler(np.maximum(temp_c, TRIPLE_POINT_C), WATER)
    return np.where(icy, ice, water)


def _hyland_wexler(temp_c: Floats, coefficients: tuple[float, ...]) -> Floats:
    a, b, c, d, e, f, g = coefficients
    kelvin = temp_c + KELVIN_OFFSET
    powers = b + kelvin * (c + kelvin * (d + kelvin * (e + kelvin * f)))
    return a / kelvin + powers + g * np.log(kelvin)


def dew_point_c(temp_c: ArrayLike, rh_pct: ArrayLike) -> Floats:
    """The temperature at which the water of this air begins to settle on things.

    Args:
        temp_c: air temperature [degC], -40 to 50.
        rh_pct: relative humidity [%], 1 to 100.

    Returns:
        Dew point [degC]; below 0.01 degC it is the frost point.

    Raises:
        Refused: either figure outside its range, or a likely slip of unit.

    Valid for:
        Shop air. The exact inverse of `saturation_pressure_pa`, to a microkelvin.
    Assumes:
        Pressure does not matter (it does not for a dew point from relative humidity).
    Source:
        Inverse of ASHRAE Fundamentals (2017) ch. 1 eq. 5 and 6.

    Example:
        >>> print(f"{dew_point_c(25, 80):.3f}")
        21.309
    """
    temp = shop_temp_c(temp_c)
    rh = _damp_enough(rh_pct)
    vapour = _log_pressure(temp) + np.log(rh / 100)
    dew = _magnus_c(temp, rh)
    for _ in range(DEW_ROUNDS):
        slope = MAGNUS_A * MAGNUS_B_C / (MAGNUS_B_C + dew) ** 2
        dew = dew - (_log_pressure(dew) - vapour) / slope
    return np.minimum(dew, temp)


def dew_point_magnus_c(temp_c: ArrayLike, rh_pct: ArrayLike) -> Floats:
    """The dew point by the short formula that can be redone with a pencil.

    Args:
        temp_c: air temperature [degC], -40 to 50.
        rh_pct: relative humidity [%], 1 to 100.

    Returns:
        Dew point over water [degC]: g = ln(RH/100) + 17.62 T/(243.12 + T);
        243.12 g/(17.62 - g).

    Raises:
        Refused: either figure outside its range, or a likely slip of unit.

    Valid for:
        -45 to 60 degC over water; within 0.04 K of the exact inverse above 0 degC. Below
        freezing the frost point lies up to some kelvins higher: use `dew_point_c`.
    Assumes:
        Water, not ice.
    Source:
        Magnus form with the constants of the WMO Guide to Instruments (WMO-No. 8), annex 4.B
        (from memory).

    Example:
        >>> print(f"{dew_point_magnus_c(14, 72):.1f}")
        9.0
    """
    return _magnus_c(shop_temp_c(temp_c), _damp_enough(rh_pct))


def _damp_enough(rh_pct: ArrayLike) -> Floats:
    return within("humidity", humidity_pct(rh_pct), DRIEST_PCT, 100, "%")


def _magnus_c(temp_c: Floats, rh_pct: Floats) -> Floats:
    gamma = np.log(rh_pct / 100) + MAGNUS_A * temp_c / (MAGNUS_B_C + temp_c)
    return MAGNUS_B_C * gamma / (MAGNUS_A - gamma)


def vapour_density_g_m3(temp_c: ArrayLike, rh_pct: ArrayLike) -> Floats:
    """Grams of water in a cubic metre of this air.

    Args:
        temp_c: air temperature [degC], -40 to 50.
        rh_pct: relative humidity [%], 0 or 1 to 100.

    Returns:
        Vapour density [g/m3].

    Raises:
        Refused: either figure outside its range, or a likely slip of unit.

    Valid for:
        Shop air; within 1 % of the printed table.
    Assumes:
        Vapour as an ideal gas.
    Source:
        Ideal gas law; table in CRC Handbook of Chemistry and Physics, 62nd ed. (1981).

    Example:
        >>> print(f"{vapour_density_g_m3(20, 100):.1f}")
        17.3
    """
    temp = shop_temp_c(temp_c)
    pressure_pa = np.exp(_log_pressure(temp)) * humidity_pct(rh_pct) / 100
    return 1000 * pressure_pa / (VAPOUR_GAS_CONSTANT * (temp + KELVIN_OFFSET))


def drying_power(
    temp_c: ArrayLike, rh_pct: ArrayLike, label_temp_c: float = 20.0, label_rh_pct: float = 50.0
) -> Floats:
    """How strongly this air pulls water out, beside the air the label speaks of.

    Args:
        temp_c: air temperature [degC], -40 to 50.
        rh_pct: relative humidity [%], 0 or 1 to 100.
        label_temp_c: temperature of the label [degC], 0 to 50. Default 20, common practice.
        label_rh_pct: humidity of the label [%], 1 to 95. Default 50, common practice.

    Returns:
        1 in the label's air, 0 in saturated air [-].

    Raises:
        Refused: a figure outside its range, or a likely slip of unit.

    Valid for:
        Films that dry by losing water.
    Assumes:
        Drying follows p_sat(T)(1 - RH): the surface is as warm as the air, the air still.
    Source:
        Vapour-pressure deficit as the driving force (Dalton); its use for glue and finish is
        common practice, no source.

    Example:
        >>> print(f"{drying_power(14, 78):.2f}")
        0.30
    """
    label_rh = within("label humidity", humidity_pct(label_rh_pct), 1, 95, "%")
    label_temp = within("label temperature", label_temp_c, 0, 50, "degC")
    here = np.exp(_log_pressure(shop_temp_c(temp_c))) * (1 - humidity_pct(rh_pct) / 100)
    return here / (np.exp(_log_pressure(label_temp)) * (1 - label_rh / 100))


def night_rh_pct(temp_c: ArrayLike, rh_pct: ArrayLike, night_temp_c: ArrayLike) -> Floats:
    """How damp this air will be when it has cooled and no water was added.

    Args:
        temp_c: air temperature now [degC], -40 to 50.
        rh_pct: relative humidity now [%], 0 or 1 to 100.
        night_temp_c: the temperature it comes to [degC], -40 to 50.

    Returns:
        Relative humidity then [%], at most 100 (the rest is dew).

    Raises:
        Refused: a figure outside its range, or a likely slip of unit.

    Valid for:
        A closed shed for one night.
    Assumes:
        The water stays in the air; no draught, no burner, nothing wet drying in it.
    Source:
        Constant vapour pressure: RH p_sat(T)/p_sat(T_night).

    Example:
        >>> print(f"{night_rh_pct(17, 68, 12):.0f}")
        94
    """
    now = _log_pressure(shop_temp_c(temp_c))
    then = _log_pressure(shop_temp_c(night_temp_c, "night temperature"))
    return np.minimum(humidity_pct(rh_pct) * np.exp(now - then), 100.0)
