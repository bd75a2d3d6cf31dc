"""What the water in the air does to a rate: it holds drying back, and feeds what sets with it."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.coat.air import saturation_pressure_pa
from cureclock.core.rates import COLDEST_C, LABEL_C, WARMEST_C
from cureclock.core.refusal import Refused, within
from cureclock.core.units import KELVIN_OFFSET

Floats = NDArray[np.float64]

DRIEST_PCT = 1.0  # shop air is never drier; below it counts as this, so that no root is upright
DAMPEST_PENALTY = 0.5  # of the rate is left at 100 % for what takes up oxygen; common practice


def known_damp(rh_pct: ArrayLike) -> Floats:
    """Return humidity, or refuse it; nan stands for not measured and stays.

    Args:
        rh_pct: relative humidity [%], 0 to 100, or nan.

    Returns:
        The same figures as a float array [%].

    Raises:
        Refused: outside 0 to 100 %.

    Valid for:
        Air.
    Source:
        Our own guard.

    Example:
        >>> known_damp([50, float("nan")])
        array([50., nan])
    """
    try:
        rh = np.asarray(rh_pct, dtype=np.float64)
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused("humidity", repr(rh_pct), "a number from 0 to 100 %") from error
    within("humidity", np.where(np.isnan(rh), 0.0, rh), 0, 100, "%")
    return rh


def drying_share(
    temp_c: ArrayLike, rh_pct: ArrayLike, label_temp_c: float, label_rh_pct: float, weight: float
) -> Floats:
    """How fast this air takes up water, beside the label's air.

    Args:
        temp_c: temperature [degC], -40 to 120.
        rh_pct: relative humidity [%], 0 to 100, nan where it was not measured.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        label_rh_pct: humidity the label speaks of [%], 1 to 95.
        weight: part of the drying power that counts [-], 0 (closed joint) to 1 (open film).

    Returns:
        Rate p_sat(T)(1 - RH)/(p_sat(T_label)(1 - RH_label)) [-], weighted; infinite where the
        humidity is not known, so that it never rules there.

    Raises:
        Refused: naming the argument.

    Valid for:
        Films and joints that set by losing water.
    Assumes:
        Vapour-pressure deficit drives drying; still air as the label's.
    Source:
        Common practice, no source.

    Example:
        >>> print(f"{drying_share(14, 78, 20, 50, 1):.2f}")
        0.30
    """
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    rh = known_damp(rh_pct)
    here = saturation_pressure_pa(temp) * (1 - np.nan_to_num(rh, nan=0.0) / 100)
    label = within("label temperature", label_temp_c, *LABEL_C, "degC")
    label_rh = within("label humidity", label_rh_pct, 1, 95, "%")
    dry = saturation_pressure_pa(label) * (1 - label_rh / 100)
    power = 1 - within("weight of the air", weight, 0, 1) * (1 - here / dry)
    return np.where(np.isnan(rh), np.inf, power)


def vapour_share(
    temp_c: ArrayLike, rh_pct: ArrayLike, label_temp_c: float, label_rh_pct: float, power: float
) -> Floats:
    """How fast this air feeds water to a glue that sets with it, beside the label's air.

    Args:
        temp_c: temperature [degC], -40 to 120.
        rh_pct: relative humidity [%], 0 to 100 (under 1 counts as 1), nan where not measured.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        label_rh_pct: humidity the label speaks of [%], 1 to 95.
        power: how far water rules [-], 0.5 to 1.

    Returns:
        Rate (vapour density/the label's)^m [-]; 1 where the humidity is not known.

    Raises:
        Refused: naming the argument.

    Valid for:
        Polyurethane glue between dry wood faces.
    Assumes:
        Water from the air has to reach the line; wet faces make this slower than it is.
    Source:
        m between 0.5 (diffusion) and 1 (supply): common practice, no source.

    Example:
        >>> print(f"{vapour_share(20, 25, 20, 50, 1):.2f}")
        0.50
    """
    temp = within("temperature", temp_c, COLDEST_C, WARMEST_C, "degC")
    rh = np.maximum(known_damp(rh_pct), DRIEST_PCT)
    label = within("label temperature", label_temp_c, *LABEL_C, "degC")
    label_rh = within("label humidity", label_rh_pct, 1, 95, "%")
    here = saturation_pressure_pa(temp) * np.nan_to_num(rh, nan=1.0) / (temp + KELVIN_OFFSET)
    there = saturation_pressure_pa(label) * label_rh / (label + KELVIN_OFFSET)
    share: Floats = (here / there) ** within("power of the vapour", power, 0.5, 1)
    return np.where(np.isnan(rh), 1.0, share)


def damp_penalty(rh_pct: ArrayLike, damp_above_pct: float) -> Floats:
    """What damp air leaves of the rate of an oil that hardens by taking up oxygen.

    Args:
        rh_pct: relative humidity [%], 0 to 100, nan where it was not measured.
        damp_above_pct: humidity up to which it does not matter [%], 1 to 99.

    Returns:
        Factor [-]: 1 up to that humidity and where it is not known, then straight down to 0.5
        at 100 %.

    Raises:
        Refused: naming the argument.

    Valid for:
        Drying oils and oil varnishes.
    Assumes:
        Damp slows by no more than half.
    Source:
        Common practice, no source.

    Example:
        >>> damp_penalty([60, 75, 100], 75).tolist()
        [1.0, 1.0, 0.5]
    """
    above = within("damp above", damp_above_pct, 1, 99, "%")
    rh = np.nan_to_num(known_damp(rh_pct), nan=0.0)
    return 1 - (1 - DAMPEST_PENALTY) * np.maximum(rh - above, 0.0) / (100 - above)
