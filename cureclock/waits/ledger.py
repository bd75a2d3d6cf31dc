"""The ledger of what is tied up: owned, held by what, free now, free when; what could come off."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q

from cureclock.core.joint.ledger import could_come_off, free_clamps, free_from_us
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Coat, GlueUp, Workshop
from cureclock.shop.things import Owned, owned
from cureclock.waits.ages import Ages
from cureclock.waits.current import TO_BE_DONE
from cureclock.waits.figures import figures_of
from cureclock.waits.holdings import Holding, holdings
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Clock, Gate

TAKEN_DOWN = "handle"  # from then on a coated piece may be taken off its hook
NEVER_US = 9_000_000_000_000_000


@dataclass(frozen=True)
class Holder:
    """One glue-up or coat that holds some of a thing.

    Attributes:
        opens_at: when its gate lets them come off; none where its label names no such gate, or
            where it is out of reach.
        could_come_off: they could now.
    """

    group: UUID
    kind: str
    name: str
    count: int
    since: datetime
    opens_at: datetime | None
    could_come_off: bool


@dataclass(frozen=True)
class FreeAt:
    """So many would be free by then, if each came off as its gate opens."""

    at: datetime
    free: int


@dataclass(frozen=True)
class LedgerLine:
    """Things of one kind and reach.

    Attributes:
        count: owned; of a box its litres.
        free: owned less held, never below none.
        over: held beyond what is owned: two of what was told cannot both be so.
        could_come_off: held by what its gate has let go.
    """

    thing: UUID
    name: str
    kind: str
    sort: str
    count: int
    reach_mm: float | None
    force_kn: float | None
    takes: int
    place: UUID | None
    held: int
    free: int
    over: int
    could_come_off: int
    free_at: tuple[FreeAt, ...]
    holders: tuple[Holder, ...]


@dataclass(frozen=True)
class Ledger:
    """Everything that is counted, by kind and name."""

    lines: tuple[LedgerLine, ...]

    def line(self, thing: UUID) -> LedgerLine | None:
        """The line of one thing; None where there are none of it any more."""
        return next((line for line in self.lines if line.thing == thing), None)


def ledger(workshop: Workshop, ages: Ages) -> Ledger:
    """The ledger by what stands, worked out for the end of the span of `ages`.

    The number of queries is the same however much is held.
    """
    things = owned(workshop)
    places = {one.id: one.place for one in things}
    held = holdings(workshop, places, moment_of(ages.until_us)) if things else []
    names, opens = _names(held), _opens(workshop, held, ages)
    now_us = ages.until_us
    return Ledger(tuple(_line(one, held, names, opens, now_us) for one in things))


def free_when(line: LedgerLine, needed: int, at: datetime) -> datetime | None:
    """When so many of a thing can be free, if each is taken off as its gate opens; None: never."""
    held = [one.count for one in line.holders if one.opens_at is not None]
    opens = [instant_us(one.opens_at) for one in line.holders if one.opens_at is not None]
    if line.over or needed > line.free + sum(held):
        return None
    found = free_from_us(needed, line.free, held, opens, instant_us(at))
    return to_minute(moment_of(int(found)), opens=True)


def _line(
    thing: Owned,
    held: Sequence[Holding],
    names: Mapping[UUID, str],
    opens: Mapping[tuple[UUID, frozenset[str] | None], int],
    now_us: int,
) -> LedgerLine:
    mine = [one for one in held if one.thing == thing.id]
    counts = [one.count for one in mine]
    opens_us = [opens.get((one.group, one.joints), NEVER_US) for one in mine]
    free = int(free_clamps(thing.count, counts))
    holders = [
        Holder(
            group=one.group,
            kind="glue_up" if one.glue_up else "coat",
            name=names.get(one.group, ""),
            count=one.count,
            since=one.since,
            opens_at=None if us == NEVER_US else to_minute(moment_of(us), opens=True),
            could_come_off=us <= now_us,
        )
        for one, us in zip(mine, opens_us, strict=True)
    ]
    holders.sort(key=lambda one: (one.opens_at is None, one.opens_at or one.since, one.name))
    return LedgerLine(
        thing=thing.id,
        name=thing.name,
        kind=thing.kind,
        sort=thing.sort,
        count=thing.count,
        reach_mm=thing.reach_mm,
        force_kn=thing.force_kn,
        takes=thing.takes,
        place=thing.place,
        held=sum(counts),
        free=free,
        over=max(sum(counts) - thing.count, 0),
        could_come_off=int(could_come_off(counts, opens_us, now_us)) if counts else 0,
        free_at=_free_at(holders, free, now_us),
        holders=tuple(holders),
    )


def _free_at(holders: Sequence[Holder], free: int, now_us: int) -> tuple[FreeAt, ...]:
    """Each later moment at which more could be free."""
    found: dict[datetime, int] = {}
    now = moment_of(now_us)
    for one in holders:
        if one.opens_at is not None:
            free += one.count
            found[max(one.opens_at, now)] = free
    return tuple(FreeAt(at, count) for at, count in found.items() if at > now)


def _names(held: Sequence[Holding]) -> dict[UUID, str]:
    glue_ups = GlueUp.objects.filter(id__in={one.glue_up for one in held if one.glue_up})
    coats = Coat.objects.filter(id__in={one.coat for one in held if one.coat})
    return dict([*glue_ups.values_list("id", "name"), *coats.values_list("id", "name")])


def _opens(
    workshop: Workshop, held: Sequence[Holding], ages: Ages
) -> dict[tuple[UUID, frozenset[str] | None], int]:
    """When the gate opens that lets each holding come off: that of its last joint or zone [us]."""
    groups = Q(wait__glue_up__in={one.glue_up for one in held if one.glue_up})
    coats = Q(wait__coat__in={one.coat for one in held if one.coat})
    asked = (groups & Q(kind__in=TO_BE_DONE)) | (coats & Q(kind=TAKEN_DOWN))
    rows = Gate.objects.filter(asked, workshop=workshop, wait__open=True).select_related("wait")
    gates = list(rows.exclude(state=Gate.State.OVER))
    acting_only(gates)
    times = figures_of(gates, ages)
    by_group: dict[UUID, list[tuple[str, int]]] = {}
    for gate in gates:
        group: Any = gate.wait.glue_up_id or gate.wait.coat_id
        by_group.setdefault(group, []).append((str(gate.wait.joint_id), _us(gate, times, ages)))
    found = {}
    for one in held:
        mine = [
            us
            for joint, us in by_group.get(one.group, ())
            if one.joints is None or joint in one.joints
        ]
        if mine:
            found[one.group, one.joints] = max(mine)
    return found


def acting_only(gates: Sequence[Gate]) -> None:
    """Load the clock on which each gate acts, once however many stand on it, and no other."""
    wanted = {gate.act_clock_id for gate in gates}
    clocks = Clock.objects.select_related("place__workshop").in_bulk([pk for pk in wanted if pk])
    for gate in gates:
        gate.act_clock = clocks.get(gate.act_clock_id or 0)
        gate.bare_clock = gate.sure_clock = None


def _us(gate: Gate, times: Mapping[UUID, Any], ages: Ages) -> int:
    if gate.state == Gate.State.REACHED:
        return min(instant_us(gate.reached_at or gate.began_at), ages.until_us)
    act = times[gate.id].act
    return NEVER_US if act is None else instant_us(act)
