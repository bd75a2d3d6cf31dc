"""What a glue line feels, as pieces: from, to, and how far the middle stands off their chord."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.timeline import Air, Mark

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Line:
    """Temperature and humidity piece by piece, each a parabola in temperature, straight in damp.

    Attributes:
        at_us: bounds of the pieces [us], rising, whole.
        from_c, to_c: temperature at the two ends of each piece [degC].
        bow_k: how far its middle stands above the middle of its chord [K]; 0 where straight.
        from_rh_pct, to_rh_pct: humidity at the two ends of each piece [%]; both nan where it was
            not measured at either.
        assumed: which pieces are assumed, not measured.
    """

    at_us: Ints
    from_c: Floats
    to_c: Floats
    bow_k: Floats
    from_rh_pct: Floats
    to_rh_pct: Floats
    assumed: Bools

    @classmethod
    def of(cls, air: Air, rh_pct: Floats) -> "Line":
        """The line of air itself, straight between its nodes."""
        bow = np.zeros(len(air.mark))
        return cls.in_legs(air, rh_pct, air.at_us, (air.temp_c[:-1], bow, air.temp_c[1:]))

    @classmethod
    def in_legs(
        cls, air: Air, rh_pct: Floats, at_us: Ints, felt: tuple[Floats, Floats, Floats]
    ) -> "Line":
        """Pieces that each lie in one leg of the air, with its damp and its mark.

        Args:
            air: the line of air.
            rh_pct: humidity at its nodes as it counts [%].
            at_us: bounds of the pieces [us].
            felt: temperature at the start of each piece, its bow, temperature at its end.
        """
        leg = np.searchsorted(air.at_us, at_us[:-1], side="right") - 1
        whole = np.diff(air.at_us)[leg]
        damp, wetter = rh_pct[leg], np.diff(rh_pct)[leg]
        begun = damp + wetter * ((at_us[:-1] - air.at_us[leg]) / whole)
        ended = damp + wetter * ((at_us[1:] - air.at_us[leg]) / whole)
        assumed = air.mark[leg] == Mark.ASSUMED
        return cls(at_us, felt[0], felt[2], felt[1], begun, ended, assumed)

    def __len__(self) -> int:
        return len(self.from_c)

    @property
    def middle_c(self) -> Floats:
        """Temperature in the middle of each piece [degC]."""
        return (self.from_c + self.to_c) / 2 + self.bow_k

    @property
    def middle_rh_pct(self) -> Floats:
        """Humidity in the middle of each piece [%]."""
        return (self.from_rh_pct + self.to_rh_pct) / 2

    def temp_c(self, piece: Ints, part: Floats) -> Floats:
        """Temperature at a part of a piece, 0 to 1 [degC]."""
        chord = self.from_c[piece] + part * (self.to_c[piece] - self.from_c[piece])
        return chord + 4 * self.bow_k[piece] * part * (1 - part)

    def cut(self, parts: Ints) -> "Line":
        """Each piece cut into so many equal parts of time, at most one a microsecond."""
        few = np.clip(parts, 1, np.diff(self.at_us))
        if (few == 1).all():
            return self
        piece = np.repeat(np.arange(len(few)), few)
        step = np.arange(len(piece)) - np.repeat(np.cumsum(few) - few, few)
        return self._taken(piece, step / few[piece], (step + 1) / few[piece])

    def split(self, piece: Ints, part: Floats, touch_c: float | None = None) -> "Line":
        """Some pieces, each named once, split at a part of their time.

        Args:
            piece: their numbers, rising.
            part: where, 0 to 1; a part that rounds to an end splits nothing.
            touch_c: what the temperature is there, where that is known exactly [degC].
        """
        width = np.diff(self.at_us)[piece]
        step = np.rint(part * width)
        inside = (step > 0) & (step < width)
        piece, part = piece[inside], part[inside]
        if not len(piece):
            return self
        order = np.insert(np.arange(len(self)), piece + 1, piece)
        begin, end = np.zeros(len(order)), np.ones(len(order))
        left = piece + np.arange(len(piece))
        end[left], begin[left + 1] = part, part
        line = self._taken(order, begin, end)
        if touch_c is not None:
            line.to_c[left], line.from_c[left + 1] = touch_c, touch_c
        return line

    def split_at_c(self, temp_c: float) -> "Line":
        """A bound wherever a temperature [degC] is passed, so that no piece lies on both sides."""
        once = self.split(*self._first_touch(temp_c), temp_c)
        if not self.bow_k.any():
            return once
        return once.split(*once._first_touch(temp_c), temp_c)  # a bowed piece may pass it twice

    def split_where(self, height_from: Floats, height_to: Floats) -> "Line":
        """A bound wherever a height, straight from end to end, passes through zero."""
        piece = np.flatnonzero(height_from * height_to < 0)
        if not len(piece):
            return self
        part = height_from[piece] / (height_from[piece] - height_to[piece])
        return self.split(piece, part)

    def _first_touch(self, temp_c: float) -> tuple[Ints, Floats]:
        """Pieces that pass a temperature, and at which part of their time they first do.

        The smaller root inside (0, 1) of above + (rise + 4 bow) u - 4 bow u^2 = 0.
        """
        above, bend = self.from_c - temp_c, 4 * self.bow_k
        slope = self.to_c - self.from_c + bend
        square = slope**2 + 4 * bend * above
        half = -(slope + np.copysign(np.sqrt(np.maximum(square, 0.0)), slope)) / 2
        with np.errstate(over="ignore"):  # next to level: it is passed far outside the piece
            far = np.divide(half, -bend, out=np.full(len(self), 2.0), where=bend != 0)
            near = np.divide(above, half, out=np.full(len(self), 2.0), where=half != 0)
        roots = np.where((square >= 0) & (np.array([near, far]) > 0), [near, far], 2.0)
        first: Floats = roots.min(axis=0)
        piece = np.flatnonzero(first < 1)
        return piece, first[piece]

    def _taken(self, piece: Ints, begin: Floats, end: Floats) -> "Line":
        """Parts of pieces, in order, the last of each piece ending where it ends."""
        width = np.diff(self.at_us)[piece]
        at = self.at_us[piece] + np.rint(begin * width).astype(np.int64)
        damp, wetter = self.from_rh_pct[piece], (self.to_rh_pct - self.from_rh_pct)[piece]
        return Line(
            np.append(at, self.at_us[-1]),
            np.where(begin == 0, self.from_c[piece], self.temp_c(piece, begin)),
            np.where(end == 1, self.to_c[piece], self.temp_c(piece, end)),
            self.bow_k[piece] * (end - begin) ** 2,
            damp + begin * wetter,
            damp + end * wetter,
            self.assumed[piece],
        )
