"""When gates pass the threshold that acts, a clock at a time."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Protocol

import numpy as np

from cureclock.core.clock import NEVER
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import effective, instants
from cureclock.waits.models import Clock


class Placed(Protocol):
    """A gate's threshold on a clock."""

    @property
    def act_us(self) -> int | None: ...
    @property
    def act_clock(self) -> int | None: ...
    @property
    def placed(self) -> int: ...
    @property
    def stay_at(self) -> datetime: ...


def acting_us(gates: Iterable[Placed], clocks: Mapping[int, Clock], at: datetime) -> list[int]:
    """When each gate opens or closes [us], by the figure that acts; out of reach is NEVER."""
    rows = list(gates)
    groups: dict[int, list[int]] = {}
    for number, gate in enumerate(rows):
        if gate.act_clock is not None and gate.act_us is not None:
            groups.setdefault(gate.act_clock, []).append(number)
    found = [NEVER] * len(rows)
    if not groups:
        return found
    ages = Ages(min([at, *(gate.stay_at for gate in rows)]), at)
    for pk, numbers in groups.items():
        clock = clocks[pk]
        thresholds = [
            effective(clock, gate.act_us or 0, gate.placed, gate.stay_at)
            for gate in (rows[number] for number in numbers)
        ]
        told = instants(clock, np.array(thresholds, dtype=np.int64), ages).tolist()
        for number, us in zip(numbers, told, strict=True):
            found[number] = us
    return found
