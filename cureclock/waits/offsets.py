"""How long until each gate, by when and where a wait starts: what a phone without a signal shows."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from cureclock.core.clock import NEVER
from cureclock.core.gates import Figure, Gate, Name
from cureclock.core.ladder import ladder
from cureclock.core.materials.label import Label
from cureclock.core.timeline import GRID_US
from cureclock.core.units import DAY_US, HOUR_US, instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.foretold import Foresight, spoiled, starts_foretold
from cureclock.waits.learned import Lesson, margins, needs
from cureclock.waits.shown import ForetoldShown
from cureclock.waits.wood import AIR, Wood
from cureclock.waits.wood_recorded import Recorded

Ints = NDArray[np.int64]

STARTS = timedelta(hours=36)
AHEAD_DAYS = 2  # as far as air is looked at for what the label's rows do not cover
STEP_H = 0.01  # figures are told to so much, on the safe side


@dataclass(frozen=True)
class OffsetTable:
    """Hours until the acting figure of each gate, by start, for one label in one place.

    Attributes:
        wood_mm: for joints of wood up to so thick, as it was recorded with this material; none:
            where no thickness is recorded, and the wood counts as warm as the air. That one
            comes first.
        starts: each half hour of the next day and a half, from the last one on.
        gates: hours by gate kind; for gates that can hurt until sure. Empty: out of reach, or
            the label says nothing of the air at that start.
        spoils: for each start, whether it would be too cold before the film has formed.
        foretold: what the air will do, and the latest start that is still good.
    """

    label: UUID
    place: UUID
    wood_mm: float | None
    starts: tuple[datetime, ...]
    gates: dict[str, tuple[float | None, ...]]
    spoils: tuple[bool, ...]
    foretold: tuple[ForetoldShown, ...]


def offset_tables(
    labels: Sequence[tuple[UUID, Label]],
    places: Sequence[Place],
    ages: Ages,
    foresight: Foresight,
    at: datetime,
    *,
    learned: Mapping[tuple[UUID, UUID], Sequence[Lesson]] = MappingProxyType({}),
    recorded: Mapping[UUID, Sequence[Recorded]] = MappingProxyType({}),
) -> tuple[OffsetTable, ...]:
    """A table for each label in each place, with what is learned of it there; one more for each
    lag of the wood that was recorded with it."""
    now_us = instant_us(at)
    first = now_us // GRID_US
    count = STARTS // timedelta(minutes=30) + 1
    starts_us = (first + np.arange(count, dtype=np.int64)) * GRID_US
    starts = tuple(moment_of(us) for us in starts_us.tolist())
    most_us = max((one.lag_us for rows in recorded.values() for one in rows), default=0)
    for place in places:
        ages.reach_back(place, most_us)
    tables = []
    for ident, label in labels:
        for place in places:
            gates = every_gate(label, learned.get((ident, place.id), ()))
            for wood, wood_mm in _woods(recorded.get(ident, ())):
                told = starts_foretold(foresight, place, label, gates, now_us, wood=wood)
                tables.append(
                    OffsetTable(
                        label=ident,
                        place=place.id,
                        wood_mm=wood_mm,
                        starts=starts,
                        gates=dict(_offsets(gates, place, wood, ages, starts_us)),
                        spoils=_spoils(foresight, place, label, gates, starts_us, wood=wood),
                        foretold=tuple(one.shown for one in told),
                    )
                )
    return tuple(tables)


def _woods(recorded: Sequence[Recorded]) -> Iterable[tuple[Wood, float | None]]:
    yield AIR, None
    for one in recorded:
        yield one.wood, one.thickness_mm


def every_gate(label: Label, lessons: Sequence[Lesson]) -> list[Gate]:
    """Every gate of a label, those of a stressed joint too."""
    both = (
        ladder(label, stressed=stressed, margins=margins(lessons), learned_h=needs(lessons))
        for stressed in (True, False)
    )
    return list({gate.kind.key: gate for gates in both for gate in gates}.values())


def _offsets(
    gates: Sequence[Gate], place: Place, wood: Wood, ages: Ages, starts_us: Ints
) -> Iterable[tuple[str, tuple[float | None, ...]]]:
    for gate in gates:
        if gate.kind.silent:
            continue
        figure = _acting(gate)
        clock = ages.clock(place, gate.response, figure.stance, wood)
        ends_us = clock.earliest(clock.age_at(starts_us) + figure.need_us)
        until_us = ages.until_us + AHEAD_DAYS * DAY_US
        line = ages.line(place, gate.response.label_temp_c, until_us, figure.stance)
        dumb = gate.response.outside_rows(line.temp_at(starts_us))
        yield gate.kind.key, _hours(ends_us, starts_us, dumb | (ends_us == NEVER), gate.kind.opens)


def _acting(gate: Gate) -> Figure:
    """The figure by which a gate opens or closes; sure where it can hurt."""
    wanted = (Name.SURE,) if gate.kind.hurts else (Name.NOT_BEFORE, Name.NOT_AFTER)
    return next(figure for figure in gate.figures() if figure.name in wanted)


def _hours(
    ends_us: Ints, starts_us: Ints, empty: NDArray[np.bool_], opens: bool
) -> tuple[float | None, ...]:
    """Hours from start to end, what opens rounded up and what closes down."""
    steps = (np.where(empty, starts_us, ends_us) - starts_us) / HOUR_US / STEP_H
    safe = np.ceil(steps - 1e-9) if opens else np.floor(steps + 1e-9)
    hours = np.round(safe * STEP_H, 2).tolist()
    return tuple(None if none else hour for hour, none in zip(hours, empty.tolist(), strict=True))


def _spoils(
    foresight: Foresight,
    place: Place,
    label: Label,
    gates: Sequence[Gate],
    starts_us: Ints,
    *,
    wood: Wood,
) -> tuple[bool, ...]:
    keep_warm = next((gate for gate in gates if gate.kind.key == "keep_warm"), None)
    if keep_warm is None or not label.spoils:
        return (False,) * len(starts_us)
    return tuple(spoiled(foresight, place, label, keep_warm, starts_us, wood=wood))
