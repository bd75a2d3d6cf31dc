"""Figures worked out from the facts alone, for any wait, running or long over.

A running wait is a threshold on a clock; one that is over has left its clocks, and its story
is counted again from its legs.
"""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID, uuid5

import numpy as np

from cureclock.core.clock import NEVER
from cureclock.core.gates import Figure, Name
from cureclock.core.response import Response
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.figures import Instants
from cureclock.waits.planned import PlannedGate, PlannedWait

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
    asked: dict[tuple[UUID, Response, Stance], tuple[Place, list[Asked]]] = {}
    for wait in waits:
        for planned in wait.gates:
            for figure in planned.gate.figures():
                place, one = _last_stay(wait, planned, figure, ages)
                key = (place.id, planned.gate.response, figure.stance)
                asked.setdefault(key, (place, []))[1].append(one)
    found: dict[UUID, dict[str, datetime | None]] = {}
    for (_, response, stance), (place, rows) in asked.items():
        for (ident, name, _, _), us in zip(
            rows, _instants(place, response, stance, rows, ages), strict=True
        ):
            found.setdefault(ident, {})[name] = None if us == NEVER else moment_of(us)
    fields = ("bare", "check_from", "act", "warn", "sure")
    return {ident: Instants(*(told.get(name) for name in fields)) for ident, told in found.items()}


def _last_stay(
    wait: PlannedWait, planned: PlannedGate, figure: Figure, ages: Ages
) -> tuple[Place, Asked]:
    """The stay in which a figure is reached, or the last, and what it still needs there."""
    need_us = figure.need_us
    response = planned.gate.response
    begun = planned.began
    for stay in wait.stays:
        if stay.ended is not None and stay.ended <= planned.began:
            continue
        begun = max(planned.began, stay.began)
        if stay.ended is None or stay is wait.stays[-1]:
            break
        gained = ages.between(
            stay.place, response, figure.stance, instant_us(begun), instant_us(stay.ended)
        )
        if gained >= need_us:
            break
        need_us -= gained
    ident = uuid5(wait.id, planned.gate.kind.key)
    return stay.place, (ident, FIELDS[figure.name], instant_us(begun), need_us)


def _instants(
    place: Place, response: Response, stance: Stance, rows: Sequence[Asked], ages: Ages
) -> list[int]:
    """When a place's clock has given each what it still needs."""
    start = np.array([row[2] for row in rows], dtype=np.int64)
    need = np.array([row[3] for row in rows], dtype=np.int64)
    clock = ages.clock(place, response, stance)
    found: list[int] = clock.earliest(clock.age_at(start) + need).tolist()
    return found
