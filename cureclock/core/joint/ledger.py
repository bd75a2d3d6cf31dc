"""The clamp ledger: how many are free, what could come off now, when more come free.

A clamp is free when someone says that it is off, not when its gate opens.
"""

import numpy as np
from numpy.typing import ArrayLike

from cureclock.core.joint.count import Ints, whole
from cureclock.core.refusal import Refused

MOST_CLAMPS = 100_000
FARTHEST_US = 9_000_000_000_000_000  # instants within whole numbers a float can hold: to 2255


def free_clamps(owned: ArrayLike, held: ArrayLike) -> Ints:
    """How many clamps of a kind are free.

    Args:
        owned: clamps owned [-], whole, 0 to 100000.
        held: clamps held by each open glue-up [-], whole, 0 to 100000; glue-ups along the last
            axis.

    Returns:
        Free clamps [-], never below 0. More held than owned is a conflict for someone to settle.

    Raises:
        Refused: naming the argument.

    Valid for:
        Clamps of one kind.

    Assumes:
        Every clamp put on was said to be on, and every one taken off, off.

    Source:
        Plain counting.

    Example:
        >>> free_clamps(36, [33, 1]).tolist()
        2
    """
    out = whole("clamps held", held, 0, MOST_CLAMPS)
    all_held = out.sum(axis=-1) if out.ndim else out
    return np.maximum(whole("clamps owned", owned, 0, MOST_CLAMPS) - all_held, 0)


def could_come_off(held: ArrayLike, opens_us: ArrayLike, at_us: ArrayLike) -> Ints:
    """How many clamps could be taken off now, because their gate has opened.

    Args:
        held: clamps held by each open glue-up [-], whole, 0 to 100000, along the last axis.
        opens_us: when the clamps-off gate of each opens [us], of the shape of held.
        at_us: now [us].

    Returns:
        Clamps that could come off [-].

    Raises:
        Refused: naming the argument.

    Valid for:
        Clamps of one kind.

    Assumes:
        As free_clamps.

    Source:
        Plain counting.

    Example:
        >>> could_come_off([33, 8], opens_us=[1_000, 9_000], at_us=5_000).tolist()
        33
    """
    out = np.atleast_1d(whole("clamps held", held, 0, MOST_CLAMPS))
    opens = np.atleast_1d(whole("clamps-off gate", opens_us, -FARTHEST_US, FARTHEST_US))
    now = np.expand_dims(whole("now", at_us, -FARTHEST_US, FARTHEST_US), -1)
    return np.asarray(np.where(opens <= now, out, 0).sum(axis=-1))


def free_from_us(
    needed: ArrayLike, free: int, held: ArrayLike, opens_us: ArrayLike, at_us: int
) -> Ints:
    """When so many clamps can be free, if each is taken off as its gate opens.

    Args:
        needed: clamps wanted [-], whole, 0 to as many as are free and held together.
        free: clamps free now [-], whole, 0 to 100000.
        held: clamps held by each open glue-up [-], whole, 0 to 100000; one dimension.
        opens_us: when the clamps-off gate of each opens [us], of the shape of held.
        at_us: now [us].

    Returns:
        Instant [us], never before now.

    Raises:
        Refused: naming the argument; also where there are not so many clamps.

    Valid for:
        Clamps of one kind.

    Assumes:
        Somebody is there to take them off.

    Source:
        Plain counting.

    Example:
        >>> free_from_us([4, 9], free=4, held=[8, 33], opens_us=[9_000, 7_000], at_us=5_000).tolist()
        [5000, 7000]
    """
    spare = whole("clamps free", free, 0, MOST_CLAMPS)
    out = np.atleast_1d(whole("clamps held", held, 0, MOST_CLAMPS))
    opens = np.atleast_1d(whole("clamps-off gate", opens_us, -FARTHEST_US, FARTHEST_US))
    if out.shape != opens.shape or out.ndim != 1:
        raise Refused("clamps held", out.shape, "one number for each clamps-off gate")
    now = whole("now", at_us, -FARTHEST_US, FARTHEST_US)
    order = np.argsort(opens, kind="stable")
    total = spare + np.concatenate([np.zeros(1, np.int64), np.cumsum(out[order])])
    wanted = whole("clamps wanted", needed, 0, int(total[-1]))
    times = np.concatenate([np.atleast_1d(now), opens[order]])
    return np.asarray(np.maximum(times[np.searchsorted(total, wanted)], now))
