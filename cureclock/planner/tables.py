"""When a wait is over, by when it begins: from the clocks of its place, ahead into expected air."""

from collections.abc import Mapping
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from cureclock.core.clock import NEVER
from cureclock.core.coat.shop_hours import ReadyTable
from cureclock.core.gates import Figure, Gate, Name
from cureclock.core.planning.route import UNTRIED
from cureclock.core.timeline import GRID_US
from cureclock.core.units import DAY_US, HOUR_US
from cureclock.planner.labels import Labels, Wait
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.wood import Wood

FOR_EVER_US = 400 * DAY_US  # what never opens in the expected air opens so much later
MOST_STARTS = 6000


class CureTables:
    """Tables over one span of starts, each made once.

    Args:
        ages: facts up to now.
        labels: of the materials in use.
        places: by id.
        from_us, until_us: first and last start asked about [us].
    """

    def __init__(
        self,
        ages: Ages,
        labels: Labels,
        places: Mapping[UUID, Place],
        from_us: int,
        until_us: int,
    ) -> None:
        self.ages, self.labels, self.places = ages, labels, places
        step = GRID_US * (1 + (until_us - from_us) // (GRID_US * MOST_STARTS))
        first = from_us // step
        self.starts = np.arange(first, until_us // step + 2, dtype=np.int64) * step
        self._made: dict[object, ReadyTable | None] = {}

    def opens(self, wait: Wait) -> ReadyTable | None:
        """When a gate opens, by the end of the step before it; None: the label offers it not."""
        return self._table(wait, (Name.NOT_BEFORE,))

    def closes(self, wait: Wait) -> ReadyTable | None:
        """When a gate closes, by the beginning of the step before it."""
        return self._table(wait, (Name.NOT_AFTER,))

    def spread(self, wait: Wait) -> float:
        """By how much more than its figure nine waits in ten are over: less where it was checked."""
        gate = self.labels.gate(wait)
        return UNTRIED if gate is None else gate.margin

    def plain(self, hours: float) -> ReadyTable:
        """A wait of so many hours by the clock on the wall."""
        ends = np.array([self.starts[0], self.starts[-1]])
        return ReadyTable(ends, ends + round(hours * HOUR_US))

    def _table(self, wait: Wait, names: tuple[Name, ...]) -> ReadyTable | None:
        key = (wait, names)
        if key not in self._made:
            gate = self.labels.gate(wait)
            self._made[key] = None if gate is None else self._worked_out(gate, wait, names)
        return self._made[key]

    def _worked_out(self, gate: Gate, wait: Wait, names: tuple[Name, ...]) -> ReadyTable | None:
        wanted = (Name.SURE,) if gate.kind.hurts else names
        figure = next((one for one in gate.figures() if one.name in wanted), None)
        if figure is None:
            return None
        return ReadyTable(self.starts, self._ready(gate, figure, wait))

    def _ready(self, gate: Gate, figure: Figure, wait: Wait) -> NDArray[np.int64]:
        place, wood = self.places[wait.place], Wood(wait.lag_us)
        clock = self.ages.clock(place, gate.response, figure.stance, wood)
        ends = clock.earliest(clock.age_at(self.starts) + figure.need_us)
        latest = self.starts + FOR_EVER_US
        ends = np.where(ends == NEVER, latest, np.minimum(ends, latest))
        return np.maximum.accumulate(np.maximum(ends, self.starts))
