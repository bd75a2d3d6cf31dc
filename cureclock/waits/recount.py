"""Figures worked out from the facts alone, for any wait, running or long over.

A running wait is a threshold on a clock; one that is over has left its clocks, and its story
is counted again from its legs.
"""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID, uuid5

import numpy as np

from cureclock.core.clock import NEVER, Clock
from cureclock.core.gates import Figure, Name
from cureclock.core.response import Response
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.figures import Instants
from cureclock.waits.planned import PlannedGate, PlannedWait
from cureclock.waits.wood import Stretch, Wood

FIELDS = {
    Name.BARE: "bare",
    Name.CHECK_FROM: "check_from",
    Name.NOT_BEFORE: "act",
    Name.NOT_AFTER: "act",
    Name.WARN: "warn",
    Name.SURE: "sure",
}
Asked = tuple[UUID, str, int, int]  # gate, field, start of the stay [us], what is still needed


def recount(waits: Sequence[PlannedWait], ages: Ages) -> dict[UUID, Instants]:
    """The instants of every figure of every gate of planned waits, by gate id.

    Args:
        waits: as their facts plan them.
        ages: facts that span every stay of every wait.
    """
    asked: dict[tuple[UUID, Response, Stance, Wood], tuple[Place, list[Asked]]] = {}
    for wait in waits:
        stretches = wait.trail.stretches(ages.last_us)
        for planned in wait.gates:
            for figure in planned.gate.figures():
                on, one = _last_stretch(wait, stretches, planned, figure, ages)
                key = (on.place.id, planned.gate.response, figure.stance, on.wood)
                asked.setdefault(key, (on.place, []))[1].append(one)
    found: dict[UUID, dict[str, datetime | None]] = {}
    for (_, response, stance, wood), (place, rows) in asked.items():
        clock = ages.clock(place, response, stance, wood)
        for (ident, name, _, _), us in zip(rows, _instants(clock, rows), strict=True):
            found.setdefault(ident, {})[name] = None if us == NEVER else moment_of(us)
    fields = ("bare", "check_from", "act", "warn", "sure")
    return {ident: Instants(*(told.get(name) for name in fields)) for ident, told in found.items()}


def _last_stretch(
    wait: PlannedWait,
    stretches: Sequence[Stretch],
    planned: PlannedGate,
    figure: Figure,
    ages: Ages,
) -> tuple[Stretch, Asked]:
    """The stretch in which a figure is reached, or the last, and what it still needs there."""
    need_us, on = figure.need_us, stretches[-1]
    for on in stretches:
        part = on.to_us and on.within(instant_us(planned.began), on.to_us)
        if on is stretches[-1] or not part:
            continue
        gained = ages.between(on.place, planned.gate.response, figure.stance, *part, wood=on.wood)
        if gained >= need_us:
            break
        need_us -= gained
    ident = uuid5(wait.id, planned.gate.kind.key)
    begun_us = max(instant_us(planned.began), on.from_us)
    return on, (ident, FIELDS[figure.name], begun_us, need_us)


def _instants(clock: Clock, rows: Sequence[Asked]) -> list[int]:
    """When a clock has given each what it still needs."""
    start = np.array([row[2] for row in rows], dtype=np.int64)
    need = np.array([row[3] for row in rows], dtype=np.int64)
    found: list[int] = clock.earliest(clock.age_at(start) + need).tolist()
    return found
