"""Equilibrium moisture: how wet wood becomes in an air, and the air that gives a wanted figure."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.wood.entry import humidity_pct, shop_temp_c

Floats = NDArray[np.float64]

COLDEST_ROW_C = -10 / 9  # 30 degF, the coldest row of the printed table
DRIEST_WANTED_PCT = 1.0  # below this the air would be drier than 3 %
HALVINGS = 50  # of the humidity scale: 1e-15 of it


def emc_pct(temp_c: ArrayLike, rh_pct: ArrayLike, *, kiln: bool = False) -> Floats:
    """The moisture that wood comes to when it lies long enough in this air.

    Args:
        temp_c: air temperature [degC], -40 to 50, or to 95 with `kiln`.
        rh_pct: relative humidity [%], 0 or 1 to 100.
        kiln: the air is that of a kiln or hot box.

    Returns:
        Equilibrium moisture content [% of oven-dry mass].

    Raises:
        Refused: a figure outside its range, degrees Fahrenheit above 50, a fraction for RH.

    Valid for:
        The printed table's -1.1 to 93.3 degC and 5 to 95 % RH, within 0.06 points. Colder air
        counts as the coldest row (the table hardly moves there); below 5 and above 95 % RH the
        equation is carried on, unprinted.
    Assumes:
        Any species, no history. Real boards differ by 1 to 2 points (from memory); the data
        are fit for practice, not for science (Glass, Zelinka, Johnson 2014, FPL-GTR-229).
    Source:
        Wood Handbook FPL-GTR-190 (2010) ch. 4 eq. 4-5, degC set, as in Simpson (1998)
        FPL-RN-0268.

    Example:
        >>> print(f"{emc_pct(20, 65):.1f}")
        12.0
    """
    temp = shop_temp_c(temp_c, kiln=kiln)
    return _emc(np.maximum(temp, COLDEST_ROW_C), humidity_pct(rh_pct) / 100)


def _emc(temp_c: Floats, h: Floats) -> Floats:
    weight = 349 + temp_c * (1.29 + temp_c * 0.0135)
    k = 0.805 + temp_c * (0.000736 - temp_c * 0.00000273)
    k1 = 6.27 - temp_c * (0.00938 + temp_c * 0.000303)
    k2 = 1.91 + temp_c * (0.0407 - temp_c * 0.000293)
    kh = k * h
    one = k1 * kh
    two = one * k2 * kh
    return 1800 / weight * (kh / (1 - kh) + (one + 2 * two) / (1 + one + two))


def rh_for_emc_pct(temp_c: ArrayLike, wanted_pct: ArrayLike, *, kiln: bool = False) -> Floats:
    """The humidity to keep for wood to come to a wanted moisture.

    Args:
        temp_c: air temperature [degC], -40 to 50, or to 95 with `kiln`.
        wanted_pct: wanted moisture content [%], 1 up to what saturated air gives (about 29).
        kiln: the air is that of a kiln or hot box.

    Returns:
        Relative humidity [%], the inverse of `emc_pct`.

    Raises:
        Refused: a figure outside its range; no air of that temperature gives so much.

    Valid for:
        As `emc_pct`.
    Assumes:
        As `emc_pct`.
    Source:
        As `emc_pct`, solved by halving the humidity scale 50 times.

    Example:
        >>> print(f"{rh_for_emc_pct(20, 8):.2f}")
        41.83
    """
    temp = np.maximum(shop_temp_c(temp_c, kiln=kiln), COLDEST_ROW_C)
    wanted = within("wanted moisture content", wanted_pct, DRIEST_WANTED_PCT, 30, "%")
    temp, wanted = np.broadcast_arrays(temp, wanted)
    _refuse_beyond_saturated(temp, wanted)
    low, high = np.zeros(temp.shape), np.ones(temp.shape)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        drier = _emc(temp, middle) < wanted
        low, high = np.where(drier, middle, low), np.where(drier, high, middle)
    return 100 * (low + high) / 2


def _refuse_beyond_saturated(temp_c: Floats, wanted_pct: Floats) -> None:
    most = _emc(temp_c, np.ones(temp_c.shape))
    beyond = wanted_pct > most
    if beyond.any():
        worst = np.flatnonzero(beyond)[0]
        raise Refused(
            "wanted moisture content",
            f"{wanted_pct.flat[worst]:g} %",
            f"{DRIEST_WANTED_PCT:g} to {most.flat[worst]:.1f} %, the most that air of "
            f"{temp_c.flat[worst]:g} degC gives",
        )
