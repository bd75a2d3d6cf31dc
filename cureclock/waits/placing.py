"""Placing: turning what a gate needs into thresholds on its present place's clocks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

import numpy as np

from cureclock.core.response import Response
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages, response_hash, response_json, response_of
from cureclock.waits.clocks import locked
from cureclock.waits.models import Clock, Gate, Leg


@dataclass
class Bench:
    """The clocks of the places a placing touches, locked, by place, response and stance.

    Clocks that are missing are made, with age 0 at the place's last reading.
    """

    ages: Ages
    rows: dict[tuple[UUID, str, str], Clock] = field(default_factory=dict)
    loaded: set[UUID] = field(default_factory=set)

    def clock(self, place: Place, response: Response, stance: Stance) -> Clock:
        """The row of a clock, made if it is not there."""
        self._load(place)
        key = (place.id, response_hash(response), str(stance))
        if key not in self.rows:
            self.rows[key] = Clock.objects.create(
                workshop_id=place.workshop_id,
                place=place,
                response=response_json(response),
                response_hash=key[1],
                stance=key[2],
                read_at=self.anchor(place),
                corrected=self.corrected(place),
            )
        return self.rows[key]

    def corrected(self, place: Place) -> int:
        """How many corrections the place's clocks have known."""
        self._load(place)
        numbers = [row.corrected for (at, _, _), row in self.rows.items() if at == place.id]
        return max(numbers, default=0)

    def anchor(self, place: Place) -> datetime:
        """The instant at which a new clock's age counts: the last reading, or the place's making."""
        air = self.ages.air(place)
        return place.made_at if air.last_us is None else moment_of(air.last_us)

    def _load(self, place: Place) -> None:
        if place.id in self.loaded:
            return
        self.loaded.add(place.id)
        for row in locked(place).filter(own_wait=None):
            self.rows[place.id, row.response_hash, row.stance] = row


def place_gates(gates: Sequence[Gate], legs: Mapping[UUID, Sequence[Leg]], ages: Ages) -> None:
    """Set the thresholds of gates whose clocks are chosen; the rows are not yet written.

    Args:
        gates: gates with clocks, needs, `began_at` and `stay_at` set.
        legs: the legs of each gate's wait, in order of time.
        ages: facts that span every leg and every clock's last reading.
    """
    for figure in FIGURES:
        chosen = [gate for gate in gates if getattr(gate, figure.clock) is not None]
        by_clock: dict[int, list[Gate]] = {}
        for gate in chosen:
            by_clock.setdefault(getattr(gate, figure.clock).pk, []).append(gate)
        for group in by_clock.values():
            _place_on_one(group, getattr(group[0], figure.clock), figure, legs, ages)


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
    legs: Mapping[UUID, Sequence[Leg]],
    ages: Ages,
) -> None:
    """Thresholds of gates on one clock: age at the start of the stay, and what is still needed."""
    response, stance = response_of(row.response), Stance(row.stance)
    clock = ages.clock(row.place, response, stance)
    stay_us = np.array([instant_us(gate.stay_at) for gate in gates], dtype=np.int64)
    anchor = int(clock.age_at(instant_us(row.read_at)))
    start = row.age_us + clock.age_at(stay_us) - anchor
    for gate, age_us in zip(gates, start.tolist(), strict=True):
        spent = _spent(gate, legs[gate.wait_id], ages, response, stance)
        threshold_us = age_us + getattr(gate, column.need) - spent
        setattr(gate, column.threshold, threshold_us)
        if column.clock == "act_clock" and not gate.opens:
            gate.warn_us = threshold_us - round(gate.need_us * gate.margin)


def _spent(gate: Gate, legs: Sequence[Leg], ages: Ages, response: Response, stance: Stance) -> int:
    """Label time banked in the stays before the present one."""
    spent = 0
    for leg in legs:
        if leg.ended_at is None or leg.ended_at <= gate.began_at:
            continue
        begun = max(leg.began_at, gate.began_at)
        spent += ages.between(
            leg.place, response, stance, instant_us(begun), instant_us(leg.ended_at)
        )
    return spent
