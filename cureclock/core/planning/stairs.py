"""Staircases between two variables of a constraint program: y not below f(x), y not above g(x)."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from cureclock.core.planning.curve import PARTS, lines
from cureclock.core.planning.layout import Ints


class Stairs:
    """Adds staircases to a program; "x is at least here" is made once for each place.

    Args:
        program: the constraint program they are added to.
        domain: how the solver makes its domains.
    """

    def __init__(self, program: Any, domain: Any) -> None:
        self.program, self._domain = program, domain
        self._least: dict[tuple[int, int], Any] = {}

    def at_least(self, x: Any, place: int) -> Any:
        """Whether a variable is at a place or beyond."""
        key = (x.index, place)
        if key not in self._least:
            one = self._least[key] = self.program.new_bool_var("")
            self.program.add(x >= place).only_enforce_if(one)
            self.program.add(x < place).only_enforce_if(~one)
        return self._least[key]

    def not_below(self, y: Any, x: Any, where: Ints, heights: Ints, only_if: Sequence[Any]) -> None:
        """y is not below the height at x.

        Args:
            y, x: variables.
            where: the places x can take, rising.
            heights: the height at each, never falling.
            only_if: holds only where all of these are true.
        """
        rise = heights - where
        self._add(y >= x + int(rise.min()), only_if)
        if rise.min() == rise.max():
            return
        cut = lines(where, heights)
        for line, following in zip(cut, [*cut[1:], None], strict=True):
            here = [*only_if]
            if line.first > where[0]:
                here.append(self.at_least(x, line.first))
            self._add(y >= line.from_height, here)
            if line.from_height < line.to_height:
                if following is not None:
                    here.append(~self.at_least(x, following.first))
                self._add(PARTS * y >= line.rise * x + line.base, here)

    def not_above(self, y: Any, x: Any, where: Ints, heights: Ints, only_if: Sequence[Any]) -> None:
        """y is not above the height at x.

        Args:
            y, x: variables.
            where: the places x can take, rising.
            heights: the height at each, never falling.
            only_if: holds only where all of these are true.
        """
        # Turned upside down and back to front it is a staircase that y stays above.
        cut = lines(-where[::-1], -heights[::-1])
        for line, before in zip(cut, [None, *cut[:-1]], strict=True):
            here = [*only_if]
            if line.last < -where[0]:
                here.append(self.at_least(x, -line.last))
            if before is not None:
                here.append(~self.at_least(x, -before.last))
            self._add(-PARTS * y >= line.base - line.rise * x, here)

    def _add(self, said: Any, only_if: Sequence[Any]) -> None:
        added = self.program.add(said)
        if only_if:
            added.only_enforce_if(*only_if)

    def among(self, places: Ints) -> Any:
        """Places as a domain of the solver; they rise, and there may be none."""
        gaps = np.flatnonzero(np.diff(places) > 1)
        firsts = np.concatenate([places[:1], places[gaps + 1]])
        lasts = np.concatenate([places[gaps], places[-1:]])
        return self._domain.from_intervals(np.stack([firsts, lasts], axis=1).tolist())
