"""The cold floor: when a film that is still forming was first too cold, and what it had banked."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.clock import NEVER
from cureclock.core.timeline import Air

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class ColdSpans:
    """When air is strictly below a floor: from each `enter_us` to the `leave_us` beside it."""

    enter_us: Ints
    leave_us: Ints

    @classmethod
    def of(cls, air: Air, floor_c: float) -> "ColdSpans":
        """The spans of a line of air strictly below a floor [degC].

        >>> air = Air(np.array([0, 100]), np.array([12.0, 8.0]), np.full(2, np.nan), np.zeros(1))
        >>> ColdSpans.of(air, 10.0).enter_us
        array([50])
        """
        above = air.temp_c - floor_c
        cold = above < 0
        changes = np.flatnonzero(cold[:-1] != cold[1:])
        part = above[changes] / (above[changes] - above[changes + 1])
        legs = air.at_us[changes + 1] - air.at_us[changes]
        at = air.at_us[changes] + np.floor(part * legs).astype(np.int64)
        falling = ~cold[changes]
        first = air.at_us[:1] if cold[0] else air.at_us[:0]
        enter = np.concatenate([first, at[falling]])
        leave = np.concatenate([at[~falling], np.full(1, NEVER)])[: len(enter)]
        return cls(enter, leave)

    def first_from(self, start_us: int | Ints) -> Ints:
        """First instant at or after each start [us] that is too cold; NEVER if there is none.

        A start inside a cold span is itself the crossing.
        """
        start = np.asarray(start_us, dtype=np.int64)
        if not len(self.enter_us):
            return np.full(start.shape, NEVER)
        span = np.searchsorted(self.leave_us, start, side="right")
        inside = np.minimum(span, len(self.enter_us) - 1)
        return np.where(span < len(self.enter_us), np.maximum(self.enter_us[inside], start), NEVER)
