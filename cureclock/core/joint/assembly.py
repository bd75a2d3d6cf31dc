"""How long the spread glue may wait for pressure today: heat, dry air, and one shared budget."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import within

Floats = NDArray[np.float64]

DRY_BELOW_PCT = 40.0  # air so dry, or a draught, takes a quarter off; common practice, no source
DRY_FACTOR = 0.75
DAY_S = 86_400.0


def heat_factor(temp_c: ArrayLike, label_temp_c: ArrayLike = 20.0, q: ArrayLike = 2.0) -> Floats:
    """What heat leaves of a time that must not be passed; cold never adds to it.

    Args:
        temp_c: temperature of air or wood, the warmer [degC], -40 to 60.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        q: factor for 10 K [-], 1.5 to 3.

    Returns:
        Factor [-], q^(-(T - label)/10) above the label temperature, 1 at and below it.

    Raises:
        Refused: naming the argument.

    Valid for:
        Upper limits: open time, assembly time, pot life.

    Assumes:
        The doubling rule.

    Source:
        Common practice, no source.

    Example:
        >>> heat_factor([10, 20, 30]).tolist()
        [1.0, 1.0, 0.5]
    """
    temp = within("temperature", temp_c, -40, 60, "degC")
    label = within("label temperature", label_temp_c, -10, 60, "degC")
    above = np.maximum(temp - label, 0.0)
    return within("factor for 10 K", q, 1.5, 3) ** (-above / 10)


def assembly_today_s(
    label_s: ArrayLike,
    temp_c: ArrayLike,
    rh_pct: ArrayLike,
    *,
    draught: ArrayLike = False,
    label_temp_c: ArrayLike = 20.0,
    q: ArrayLike = 2.0,
) -> Floats:
    """How long the glue may stand today between the first spread and pressure.

    Args:
        label_s: the label's open or total assembly time [s], 0 to 86400.
        temp_c: temperature of air or wood, the warmer [degC], -40 to 60.
        rh_pct: relative humidity [%], 0 to 100. Where it was not measured give 0: dry is safe.
        draught: True where a fan or a draught goes over the glue.
        label_temp_c: temperature the label speaks of [degC], -10 to 60.
        q: factor for 10 K [-], 1.5 to 3.

    Returns:
        Limit [s], shorter in heat, three quarters in dry air (under 40 % RH) or a draught,
        never longer than the label.

    Raises:
        Refused: naming the argument.

    Valid for:
        Glues that skin or set by themselves once spread.

    Assumes:
        The doubling rule above the label temperature; dry air and draught count once.

    Source:
        Common practice, no source.

    Example:
        >>> assembly_today_s(720, 28, 55).round(1).tolist()
        413.5
        >>> assembly_today_s(720, 20, 30).tolist()
        540.0
    """
    label = within("label time", label_s, 0, DAY_S, "s")
    dry = within("humidity", rh_pct, 0, 100, "%") < DRY_BELOW_PCT
    thirst = np.where(dry | np.asarray(draught, dtype=bool), DRY_FACTOR, 1.0)
    return label * heat_factor(temp_c, label_temp_c, q) * thirst


def closed_left_s(open_used_s: ArrayLike, open_s: ArrayLike, closed_s: ArrayLike) -> Floats:
    """How long the closed joint may wait for pressure after standing open for a while.

    Args:
        open_used_s: how long the spread faces stood open [s], 0 to 86400.
        open_s: open assembly time allowed today [s], 0 to 86400.
        closed_s: closed assembly time allowed today [s], 0 to 86400.

    Returns:
        Closed time left [s]: the part of the open allowance not used is the part of the closed
        one left. 0 where the open allowance is used up.

    Raises:
        Refused: naming the argument.

    Valid for:
        Labels that give both times for one or the other, not for both together.

    Assumes:
        Glue ages evenly while it stands, open or closed.

    Source:
        A resorcinol maker's sheet reprinted in a homebuilt-aircraft construction manual,
        appendix D: a third of the open allowance used leaves two thirds of the closed one.

    Example:
        >>> closed_left_s([100, 300, 400], 300, 2700).tolist()
        [1800.0, 0.0, 0.0]
    """
    used = within("open time used", open_used_s, 0, DAY_S, "s")
    allowed = within("open assembly time", open_s, 0, DAY_S, "s")
    closed = within("closed assembly time", closed_s, 0, DAY_S, "s")
    left = np.maximum(allowed - used, 0.0)
    part = np.where(used <= 0, 1.0, left / np.maximum(allowed, 1e-9))
    return part * closed


def press_within_s(
    open_used_s: ArrayLike, open_s: ArrayLike, closed_s: ArrayLike, total_s: ArrayLike
) -> Floats:
    """How long after the first spread the joint must be under pressure.

    Args:
        open_used_s: how long the spread faces stood open [s], 0 to 86400.
        open_s: open assembly time allowed today [s], 0 to 86400.
        closed_s: closed assembly time allowed today [s], 0 to 86400.
        total_s: the label's total assembly time today [s], 0 to 172800; where the label gives
            none, the sum of the two above.

    Returns:
        Time from the first spread [s]: the earlier of the shared budget and the total.

    Raises:
        Refused: naming the argument.

    Valid for:
        As closed_left_s.

    Assumes:
        As closed_left_s.

    Source:
        As closed_left_s; the label for the total.

    Example:
        >>> press_within_s(100, 300, 2700, 3600).tolist()
        1900.0
    """
    left = closed_left_s(open_used_s, open_s, closed_s)
    stood = np.minimum(open_used_s, open_s)
    return np.minimum(stood + left, within("total assembly time", total_s, 0, 2 * DAY_S, "s"))
