"""Staircases between two variables of a constraint program: y not below f(x), y not above g(x)."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from cureclock.core.planning.curve import PARTS, Line, lines
from cureclock.core.planning.layout import Ints


@dataclass(frozen=True)
class Window:
    """A variable, and the places it can take.

    Attributes:
        x: the variable.
        first, last: its lowest and its highest place.
    """

    x: Any
    first: int
    last: int


class Stairs:
    """Adds staircases to a program. Lines are cut once for each staircase, whatever its window;
    "x is at least here" is made once for each place.

    Args:
        program: the constraint program they are added to.
        domain: how the solver makes its domains.
    """

    def __init__(self, program: Any, domain: Any) -> None:
        self.program, self._domain = program, domain
        self._least: dict[tuple[int, int], Any] = {}
        self._cut: dict[object, tuple[list[Line], Ints]] = {}

    def at_least(self, x: Any, place: int) -> Any:
        """Whether a variable is at a place or beyond."""
        key = (x.index, place)
        if key not in self._least:
            one = self._least[key] = self.program.new_bool_var("")
            self.program.add(x >= place).only_enforce_if(one)
            self.program.add(x < place).only_enforce_if(~one)
        return self._least[key]

    def not_below(
        self,
        y: Any,
        window: Window,
        where: Ints,
        heights: Ints,
        *,
        floor: int,
        only_if: Sequence[Any],
    ) -> None:
        """y is not below the height at x.

        Args:
            y: a variable, or one plus a number.
            window: x, and the places it can take.
            where: places at which the staircase is known, those of the window among them.
            heights: by place, from 0 on; never falling over `where`. The array must outlive this.
            floor: a height that y is not below anyhow.
            only_if: holds only where all of these are true.
        """
        inside = where[(where >= window.first) & (where <= window.last)]
        if not len(inside) or heights[inside[-1]] <= floor:
            return
        rise = heights[inside] - inside
        self._add(y >= window.x + int(rise.min()), only_if)
        if rise.min() == rise.max():
            return
        cut = [line for line in self._lines(where, heights) if _touches(line, window)]
        for line, following in zip(cut, [*cut[1:], None], strict=True):
            if line.to_height <= floor:
                continue
            here = [*only_if]
            if line.first > window.first:
                here.append(self.at_least(window.x, line.first))
            self._add(y >= line.from_height, here)
            if line.from_height < line.to_height:
                if following is not None:
                    here.append(~self.at_least(window.x, following.first))
                self._add(PARTS * y >= line.rise * window.x + line.base, here)

    def _lines(self, where: Ints, heights: Ints) -> list[Line]:
        key = (id(heights), int(where[0]), int(where[-1]), len(where))
        if key not in self._cut:
            self._cut[key] = (lines(where, heights[where]), heights)
        return self._cut[key][0]

    def not_above(
        self, y: Any, window: Window, where: Ints, heights: Ints, *, only_if: Sequence[Any]
    ) -> None:
        """y is not above the height at x.

        Args:
            y: a variable.
            window: x, and the places it can take.
            where: places at which the staircase is known, those of the window among them.
            heights: by place, from 0 on; never falling over `where`.
            only_if: holds only where all of these are true.
        """
        inside = where[(where >= window.first) & (where <= window.last)]
        if not len(inside):
            return
        # Turned upside down and back to front it is a staircase that y stays above.
        cut = lines(-inside[::-1], -heights[inside][::-1])
        for line, before in zip(cut, [None, *cut[:-1]], strict=True):
            here = [*only_if]
            if line.last < -inside[0]:
                here.append(self.at_least(window.x, -line.last))
            if before is not None:
                here.append(~self.at_least(window.x, -before.last))
            self._add(-PARTS * y >= line.base - line.rise * window.x, here)

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


def _touches(line: Line, window: Window) -> bool:
    return line.last >= window.first and line.first <= window.last
