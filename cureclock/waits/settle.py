"""Settling: after a verb, the waits of one glue-up or coat are made anew from all its events."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from uuid import UUID, uuid5

from cureclock.core.gates import Figure, Name
from cureclock.core.gates import Gate as CoreGate
from cureclock.core.units import SECOND_US, moment_of
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import set_next
from cureclock.waits.models import Clock, Gate, Leg, Wait
from cureclock.waits.placing import Bench, place_gates
from cureclock.waits.planned import PlannedGate, PlannedWait
from cureclock.waits.replace import undo_reached
from cureclock.waits.wood import Stretch


def write(planned: Sequence[PlannedWait], stale: Sequence[Wait], ages: Ages) -> None:
    """Replace the waits of one subject by those that its facts now give.

    Gates that were reached keep that state if they are so still; what is due is found by the
    next tick.

    Args:
        planned: the waits it should have.
        stale: the rows it had.
        ages: facts that span every stay of both.
    """
    old = {gate.id: gate for gate in Gate.objects.filter(wait__in=stale)}
    touched = {pk for gate in old.values() for pk in gate.clock_ids}
    Wait.objects.filter(pk__in=[wait.pk for wait in stale]).delete()
    open_waits = [wait for wait in planned if wait.gates]
    bench = Bench(ages)
    Wait.objects.bulk_create(_wait_row(wait) for wait in open_waits)
    legs = {wait.id: _leg_rows(wait) for wait in open_waits}
    Leg.objects.bulk_create(leg for rows in legs.values() for leg in rows)
    standing = [_Standing(wait, bench) for wait in open_waits]
    gates = [_gate_row(one, gate, old) for one in standing for gate in one.wait.gates]
    place_gates(gates, {wait.id: wait.trail for wait in open_waits}, bench.ages)
    Gate.objects.bulk_create(gates)
    _settle_clocks(bench, touched.union(*(gate.clock_ids for gate in gates)))


def _settle_clocks(bench: Bench, touched: set[int]) -> None:
    """Drop touched clocks that nothing waits on; set what is next on the others."""
    rows = {row.pk: row for row in bench.rows.values() if row.pk in touched}
    for row in Clock.objects.filter(pk__in=touched - rows.keys()).select_related("place__workshop"):
        rows[row.pk] = row
    used = in_use(rows)
    Clock.objects.filter(pk__in=rows.keys() - used).delete()
    kept = [row for pk, row in rows.items() if pk in used]
    # A late move or another label may have taken back what was reached.
    undo_reached(kept, bench.ages, moment_of(bench.ages.until_us))
    for row in kept:
        set_next(row, bench.ages)
    Clock.objects.bulk_update(kept, ["next_threshold_us", "next_due_at"])


def in_use(pks: Iterable[int]) -> set[int]:
    """Which clocks an open wait still stands on."""
    pks = list(pks)
    used: set[int] = set()
    for column in ("bare_clock", "act_clock", "sure_clock"):
        open_gates = Gate.objects.filter(**{f"{column}__in": pks}, wait__open=True)
        used.update(open_gates.values_list(f"{column}_id", flat=True).distinct())
    return used


def _wait_row(wait: PlannedWait) -> Wait:
    return Wait(
        id=wait.id,
        workshop_id=wait.piece.workshop_id,
        glue_up=wait.glue_up,
        coat=wait.coat,
        hold=wait.hold,
        joint=wait.joint,
        zone=wait.zone,
        piece=wait.piece,
        label=wait.label,
        began_at=wait.began,
        between=wait.between,
        floor_c=wait.floor_c,
        lag_s=wait.lag_us // SECOND_US,
        coat_number=wait.coat_number,
        place=wait.stays[-1].place,
        open=wait.open,
    )


def _leg_rows(wait: PlannedWait) -> list[Leg]:
    return [
        Leg(
            wait_id=wait.id,
            place=stay.place,
            began_at=stay.began,
            ended_at=stay.ended,
            before=before,
        )
        for before, stays in ((True, wait.before), (False, wait.stays))
        for stay in stays
    ]


@dataclass
class _Standing:
    """A wait, and the clocks it stands on now."""

    wait: PlannedWait
    bench: Bench

    @cached_property
    def now(self) -> Stretch:
        """The stretch it is on."""
        return self.wait.trail.stretches(self.bench.ages.last_us)[-1]

    def clock(self, gate: CoreGate, figure: Figure) -> Clock | None:
        """The clock a figure stands on while its wait is open."""
        if not self.wait.open:
            return None
        return self.bench.clock(self.now.place, gate.response, figure.stance, self.now.wood)


def _gate_row(standing: _Standing, planned: PlannedGate, old: dict[UUID, Gate]) -> Gate:
    wait, gate = standing.wait, planned.gate
    figures = {figure.name: figure for figure in gate.figures()}
    act = figures.get(Name.NOT_BEFORE) or figures[Name.NOT_AFTER]
    sure = figures.get(Name.SURE)
    ident = uuid5(wait.id, gate.kind.key)
    before = old.get(ident)
    return Gate(
        id=ident,
        workshop_id=wait.piece.workshop_id,
        wait_id=wait.id,
        kind=gate.kind.key,
        opens=gate.kind.opens,
        hurts=gate.kind.hurts,
        began_at=planned.began,
        stay_at=max(planned.began, moment_of(standing.now.from_us)),
        need_us=gate.need_us,
        sure_need_us=sure.need_us if sure else None,
        margin=gate.margin,
        bare_clock=standing.clock(gate, figures[Name.BARE]),
        act_clock=standing.clock(gate, act),
        sure_clock=standing.clock(gate, sure) if sure else None,
        placed=standing.bench.corrected(standing.now.place),
        state=_state(planned, before),
        reached_at=before.reached_at if before else None,
    )


def _state(planned: PlannedGate, before: Gate | None) -> str:
    """Over by its facts; else what it was, if it was not over; else waiting."""
    if planned.over:
        return Gate.State.OVER
    if before is not None and before.state != Gate.State.OVER:
        return before.state
    return Gate.State.WAITING
