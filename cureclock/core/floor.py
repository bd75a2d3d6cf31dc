"""The cold floor: when a film that is still forming was first too cold, and what it had banked."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.clock import NEVER
from cureclock.core.felt import OwnStart, felt_line
from cureclock.core.line import Line
from cureclock.core.rates import COLDEST_C, WARMEST_C
from cureclock.core.refusal import within
from cureclock.core.timeline import Air
from cureclock.core.units import whole_us

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class ColdSpans:
    """When a glue line is strictly below a floor, span by span.

    Attributes:
        enter_us: where each span begins [us], rising.
        leave_us: where the same span ends [us]; NEVER where the air is known no further.
    """

    enter_us: Ints
    leave_us: Ints

    @classmethod
    def of(
        cls, air: Air, floor_c: float, lag_us: int = 0, own: OwnStart | None = None
    ) -> "ColdSpans":
        """The spans of a line of air strictly below a floor.

        Args:
            air: the line of air. With a lag it has to reach eight time constants back.
            floor_c: the floor [degC], -40 to 120.
            lag_us: time constant of the wood behind the air [us], 0 or 1 minute to 2 days:
                falling air counts as air, rising air as wood.
            own: the wood's own temperature, where it was carried in.

        Returns:
            ColdSpans; a touch of the floor is none.

        Raises:
            Refused: naming the argument.

        Valid for:
            Films below their minimum film-formation temperature.
        Source:
            The label's minimum; what follows from it is common practice.

        Example:
            >>> air = Air(np.array([0, 100]), np.array([12.0, 8.0]), [50, 50], [0])
            >>> ColdSpans.of(air, 10.0).enter_us
            array([50])
        """
        floor = float(within("floor", floor_c, COLDEST_C, WARMEST_C, "degC"))
        line = felt_line(air, air.rh_pct, lag_us=lag_us, own=own).split_at_c(floor)
        return cls._runs(line, line.middle_c < floor)

    @classmethod
    def _runs(cls, line: Line, cold: NDArray[np.bool_]) -> "ColdSpans":
        """Runs of neighbouring cold pieces."""
        edges = np.diff(np.concatenate([[False], cold, [False]]).astype(np.int8))
        first, after = np.flatnonzero(edges > 0), np.flatnonzero(edges < 0)
        leave = np.where(after == len(cold), NEVER, line.at_us[after])
        return cls(line.at_us[first], leave)

    def first_from(self, start_us: ArrayLike) -> Ints:
        """The first instant too cold, for waits by their starts.

        Args:
            start_us: instants [us], any shape. A start inside a cold span is itself the crossing.

        Returns:
            Instants [us], not before the starts; NEVER where there is none.

        Raises:
            Refused: not a number.
        """
        start = whole_us("start", start_us)
        if not len(self.enter_us):
            return np.full(start.shape, NEVER)
        span = np.searchsorted(self.leave_us, start, side="right")
        inside = np.minimum(span, len(self.enter_us) - 1)
        return np.where(span < len(self.enter_us), np.maximum(self.enter_us[inside], start), NEVER)
