"""Figures of gates as instants: what a page, a phone or an alert shows of them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np

from cureclock.core.clock import NEVER
from cureclock.core.confidence import CHECK_FROM
from cureclock.core.units import moment_of
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import effective, instants
from cureclock.waits.models import Clock, Gate


@dataclass(frozen=True)
class Instants:
    """When each figure of a gate comes; None where it is out of reach or not offered."""

    bare: datetime | None
    check_from: datetime | None
    act: datetime | None
    warn: datetime | None
    sure: datetime | None


def figures_of(gates: Sequence[Gate], ages: Ages) -> dict[UUID, Instants]:
    """The instants of every figure of gates, each clock asked once; alike gates share theirs.

    Args:
        gates: with their clocks and the clocks' places loaded.
        ages: facts that span every wait's legs.
    """
    alike = {_standing(gate): gate for gate in gates}
    found = _figures_of(list(alike.values()), ages)
    return {gate.id: found[alike[_standing(gate)].id] for gate in gates}


def _standing(gate: Gate) -> tuple[object, ...]:
    """All that its figures depend on: the same for every piece of a glue-up done in one go."""
    return (
        *(gate.bare_clock_id, gate.bare_us),
        *(gate.act_clock_id, gate.act_us, gate.warn_us),
        *(gate.sure_clock_id, gate.sure_us),
        *(gate.placed, gate.stay_at, gate.need_us, gate.opens, gate.hurts),
    )


def _figures_of(gates: Sequence[Gate], ages: Ages) -> dict[UUID, Instants]:
    asked: dict[int, tuple[Clock, list[tuple[UUID, str, int]]]] = {}
    for gate in gates:
        for name, row, threshold in _thresholds(gate):
            place = asked.setdefault(row.pk, (row, []))[1]
            place.append((gate.id, name, effective(row, threshold, gate.placed, gate.stay_at)))
    found: dict[UUID, dict[str, datetime | None]] = {gate.id: {} for gate in gates}
    for row, wanted in asked.values():
        found_us = instants(row, np.array([us for _, _, us in wanted], dtype=np.int64), ages)
        for (ident, name, _), us in zip(wanted, found_us.tolist(), strict=True):
            found[ident][name] = None if us == NEVER else moment_of(us)
    names = ("bare", "check_from", "act", "warn", "sure")
    return {ident: Instants(*(told.get(name) for name in names)) for ident, told in found.items()}


def _thresholds(gate: Gate) -> Iterable[tuple[str, Clock, int]]:
    """Each figure's clock and stored threshold."""
    if gate.bare_clock is not None and gate.bare_us is not None:
        yield "bare", gate.bare_clock, gate.bare_us
        if gate.opens and not gate.hurts:
            early = gate.need_us - round(gate.need_us * CHECK_FROM)
            yield "check_from", gate.bare_clock, gate.bare_us - early
    if gate.act_clock is not None and gate.act_us is not None:
        yield "act", gate.act_clock, gate.act_us
        if gate.warn_us is not None:
            yield "warn", gate.act_clock, gate.warn_us
    if gate.sure_clock is not None and gate.sure_us is not None:
        yield "sure", gate.sure_clock, gate.sure_us
