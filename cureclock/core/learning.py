"""What checks teach of the bare need: the rule a maker can redo with a pencil.

The spread is learned apart from it, in `trust`; neither reads the other's figure.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.checks import LONGEST_H, SHORTEST_H, Bools, Checks, Floats
from cureclock.core.refusal import Refused, within

ENOUGH = 5  # checks that agree before anything is shortened or trusted more; common practice
LEAST_SHARE = 0.90  # of the label a learned need never goes below; common practice


@dataclass(frozen=True)
class Learned:
    """What a workshop's own checks make of a label's hours.

    Attributes:
        need_h: the bare need here [label h].
        agreeing: how many checks agree with it.
    """

    need_h: Floats
    agreeing: NDArray[np.int64]


def learn_need(checks: Checks, label_h: ArrayLike, hurts: ArrayLike = False) -> Learned:
    """The bare need that checks have taught, by the rule a maker can follow.

    Args:
        checks: brackets; the last axis goes over checks, those before it over materials.
        label_h: the label's own figure [label h], one second to 9600.
        hurts: whether a wrong yes can hurt somebody (spin, service load).

    Returns:
        Learned. The label's figure stands while the brackets' intersection contains it. Else
        the intersection's far end counts; where none is left in common the median of their far
        ends; where nothing was ever seen ready, the latest "not yet". It lengthens the label's
        figure after one check that contradicts it. It shortens it only where five checks
        agree, to 90 % of the label at the least, and never for a gate that can hurt.

    Raises:
        Refused: naming the argument.

    Valid for:
        Any number of checks, none included.
    Assumes:
        Checks of one product, place and coat number.
    Source:
        Common practice, no source.

    Example:
        >>> three = Checks([13.5, 12.5, 13], [15, 16, 14.5])
        >>> float(learn_need(three, 12).need_h)
        14.5
    """
    label = within("label hours", label_h, SHORTEST_H, LONGEST_H, "h")
    label, may_hurt = _one_each(checks, label, hurts)
    found = _told(checks, label)
    agreeing = checks.agree_with(found).sum(axis=-1)
    may_shorten = (agreeing >= ENOUGH) & ~may_hurt
    shorter = np.where(may_shorten, np.maximum(found, LEAST_SHARE * label), label)
    need = np.where(found > label, found, shorter)
    return Learned(need, checks.agree_with(need).sum(axis=-1))


def _one_each(checks: Checks, label: Floats, hurts: ArrayLike) -> tuple[Floats, Bools]:
    """Label hours and flags, one for each material."""
    materials = checks.after_h.shape[:-1]
    try:
        flags = np.broadcast_to(np.asarray(hurts, dtype=bool), materials)
        return np.broadcast_to(label, materials), flags
    except ValueError as error:
        given = f"{label.shape} and {np.shape(hurts)}"
        raise Refused("label hours", given, f"one for each material, {materials}") from error


def _told(checks: Checks, label: Floats) -> Floats:
    """What the brackets say of the need; the label's figure where they say nothing."""
    low = checks.after_h.max(axis=-1, initial=0.0)
    high = checks.until_h.min(axis=-1, initial=LONGEST_H)
    ready = checks.seen_ready.sum(axis=-1)
    far_end = np.where(ready > 0, high, np.where(low > 0, low, label))
    # Somebody who only looked in the morning has not contradicted the label.
    in_common = np.where((low < label) & (label <= high), label, far_end)
    return np.where(low < high, in_common, _median_ready(checks, ready))


def _median_ready(checks: Checks, ready: NDArray[np.int64]) -> Floats:
    """The median of first "ready", over those that were seen ready."""
    if checks.until_h.shape[-1] == 0:
        return np.full(checks.until_h.shape[:-1], LONGEST_H)
    ordered = np.sort(checks.until_h, axis=-1)  # what was never ready stands last
    lower, upper = np.maximum(ready - 1, 0) // 2, np.maximum(ready // 2, 0)
    upper = np.minimum(upper, np.maximum(ready - 1, 0))
    pick = np.stack([lower, upper], axis=-1)
    middle: Floats = np.take_along_axis(ordered, pick, axis=-1).mean(axis=-1)
    return middle
