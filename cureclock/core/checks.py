"""Checks of what needs its time: still tacky at so many label-hours, ready at so many."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

LONGEST_H = 9600.0  # 400 days: nobody waits longer; also stands for "never seen ready"
SHORTEST_H = 1 / 3600


@dataclass(frozen=True)
class Checks:
    """Brackets of the need, one a joint or coat: after the last "not yet", until the first "ready".

    Args:
        after_h: last seen not ready [label h], 0 to 9600; 0 where it was never seen so. The last
            axis goes over the checks, those before it over materials.
        until_h: first seen ready [label h], above after_h, up to 9600; 9600 where it never was.
            Where both ends are open the check says nothing: rows can be filled up with such.

    Raises:
        Refused: naming the figure.

    Valid for:
        One product, place and coat number; checks that happened before the wait began.
    Source:
        Interval-censored observations; the bracket is common practice, no source.

    Example:
        >>> Checks([13.5, 12.5, 13], [15, 16, 14.5]).agree_with(14.5).tolist()
        [True, True, True]
    """

    after_h: Floats
    until_h: Floats

    def __init__(self, after_h: ArrayLike, until_h: ArrayLike) -> None:
        after = np.atleast_1d(within("last not ready", after_h, 0, LONGEST_H, "h"))
        until = np.atleast_1d(within("first ready", until_h, SHORTEST_H, LONGEST_H, "h"))
        if after.shape != until.shape:
            raise Refused(
                "first ready", f"{until.shape}", f"as many as last not ready, {after.shape}"
            )
        backwards = after >= until
        if backwards.any():
            ready, late = until[backwards].flat[0], after[backwards].flat[0]
            raise Refused("first ready", f"{ready:g} h", f"after the last not ready, {late:g} h")
        object.__setattr__(self, "after_h", after)
        object.__setattr__(self, "until_h", until)

    @property
    def seen_ready(self) -> Bools:
        """Which of them were seen ready at all."""
        return self.until_h < LONGEST_H

    def agree_with(self, need_h: ArrayLike) -> Bools:
        """Which checks agree with a need: seen ready, and their bracket contains it.

        Args:
            need_h: the need [label h], one second to 9600; one for each material.

        Returns:
            True or False for each check.

        Raises:
            Refused: a need outside its range, or not one for each material.
        """
        need = within("need", need_h, SHORTEST_H, LONGEST_H, "h")[..., None]
        try:
            need = np.broadcast_to(need, self.after_h.shape)
        except ValueError as error:
            raise Refused("need", f"{need.shape[:-1]}", "one, or one for each material") from error
        return self.seen_ready & (self.after_h < need) & (need <= self.until_h)
