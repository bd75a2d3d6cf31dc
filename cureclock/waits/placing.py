"""Placing: turning what a gate needs into thresholds on its present place's clocks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from uuid import UUID

import numpy as np

from cureclock.core.response import Response
from cureclock.core.stance import Stance
from cureclock.core.units import SECOND_US, instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages, response_hash, response_json, response_of
from cureclock.waits.clocks import locked
from cureclock.waits.models import Clock, Gate
from cureclock.waits.wood import Trail, Wood, way_id, wood_of


@dataclass
class Bench:
    """The clocks of the places a placing touches, locked, by place, response, stance and wood.

    Clocks that are missing are made, with age 0 at the place's last reading.
    """

    ages: Ages
    rows: dict[tuple[UUID, str, str, Wood], Clock] = field(default_factory=dict)
    loaded: set[UUID] = field(default_factory=set)

    def clock(self, place: Place, response: Response, stance: Stance, wood: Wood) -> Clock:
        """The row of a clock, made if it is not there."""
        self._load(place)
        felt = wood.felt_by(stance)
        key = (place.id, response_hash(response), str(stance), felt)
        if key not in self.rows:
            self.rows[key] = Clock.objects.create(
                workshop_id=place.workshop_id,
                place=place,
                response=response_json(response),
                response_hash=key[1],
                stance=key[2],
                lag_s=felt.lag_us // SECOND_US,
                way=felt.way,
                way_id=way_id(felt.way),
                read_at=moment_of(self.ages.last_us(place)),
                corrected=self.corrected(place),
            )
        return self.rows[key]

    def corrected(self, place: Place) -> int:
        """How many corrections the place's clocks have known."""
        self._load(place)
        numbers = [row.corrected for (at, *_), row in self.rows.items() if at == place.id]
        return max(numbers, default=0)

    def _load(self, place: Place) -> None:
        if place.id in self.loaded:
            return
        self.loaded.add(place.id)
        for row in locked(place):
            self.rows[place.id, row.response_hash, row.stance, wood_of(row)] = row


def place_gates(gates: Sequence[Gate], trails: Mapping[UUID, Trail], ages: Ages) -> None:
    """Set the thresholds of gates whose clocks are chosen; the rows are not yet written.

    Args:
        gates: gates with clocks, needs, `began_at` and `stay_at` set.
        trails: where the wood of each gate's wait was.
        ages: facts that span every leg and every clock's last reading.
    """
    for figure in FIGURES:
        chosen = [gate for gate in gates if getattr(gate, figure.clock) is not None]
        by_clock: dict[int, list[Gate]] = {}
        for gate in chosen:
            by_clock.setdefault(getattr(gate, figure.clock).pk, []).append(gate)
        for group in by_clock.values():
            _place_on_one(group, getattr(group[0], figure.clock), figure, trails, ages)


@dataclass(frozen=True)
class Column:
    """Where a figure lives on the row: its clock, its threshold and what it needs."""

    clock: str
    threshold: str
    need: str


FIGURES = (
    Column("bare_clock", "bare_us", "need_us"),
    Column("act_clock", "act_us", "need_us"),
    Column("sure_clock", "sure_us", "sure_need_us"),
)


def _place_on_one(
    gates: Sequence[Gate],
    row: Clock,
    column: Column,
    trails: Mapping[UUID, Trail],
    ages: Ages,
) -> None:
    """Thresholds of gates on one clock: age at the start of the stay, and what is still needed."""
    response, stance = response_of(row.response), Stance(row.stance)
    clock = ages.of_row(row)
    stay_us = np.array([instant_us(gate.stay_at) for gate in gates], dtype=np.int64)
    anchor = int(clock.age_at(instant_us(row.read_at)))
    start = row.age_us + clock.age_at(stay_us) - anchor
    for gate, age_us in zip(gates, start.tolist(), strict=True):
        spent = _spent(gate, trails[gate.wait_id], ages, response, stance)
        threshold_us = age_us + getattr(gate, column.need) - spent
        setattr(gate, column.threshold, threshold_us)
        if column.clock == "act_clock" and not gate.opens:
            gate.warn_us = threshold_us - round(gate.need_us * gate.margin)


def _spent(gate: Gate, trail: Trail, ages: Ages, response: Response, stance: Stance) -> int:
    """Label time banked on the clocks before the present one."""
    if gate.stay_at == gate.began_at:
        return 0
    span = (instant_us(gate.began_at), instant_us(gate.stay_at))
    spent = 0
    for one in trail.stretches(ages.last_us):
        if part := one.within(*span):
            spent += ages.between(one.place, response, stance, *part, wood=one.wood)
    return spent
