"""One group in full: each of its waits, the sum behind its figures, and its night strip."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import UUID

from django.db.models import Q

from cureclock.shop.models import Workshop
from cureclock.shop.refusals import NotHere
from cureclock.waits.begun import begun, begun_shown
from cureclock.waits.current import Current, Rung, load
from cureclock.waits.foretold import Foresight
from cureclock.waits.group_gates import gates_shown
from cureclock.waits.groups import group_shown, groups_of, stays_shown
from cureclock.waits.models import Wait
from cureclock.waits.shown import GateShown, GroupShown, PieceTag, StayShown
from cureclock.waits.strip import Strip, strip
from cureclock.waits.why import Why, why

FROM_THE_START = timedelta(days=800)  # as far ahead as clocks are built, and as far back
NEVER_YET = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True)
class WaitGate(GateShown):
    """A gate of one wait; its sum is opened by `why_id`."""

    why_id: UUID


@dataclass(frozen=True)
class WaitShown:
    """One wait of the group.

    Attributes:
        name: its joint, zone or hold.
        why: the sums behind its gates: all of them for the wait that rules the group, the next
            one for the others. Any other is opened by its `why_id`.
    """

    id: UUID
    piece: PieceTag
    name: str
    began_at: datetime
    between: bool
    open: bool
    suspect: str | None
    stays: tuple[StayShown, ...]
    gates: tuple[WaitGate, ...]
    why: tuple[Why, ...]


@dataclass(frozen=True)
class OneGroup(GroupShown):
    """A group, its waits with the ruling one first, and the strip of that.

    What was begun and waits for nothing yet has neither.
    """

    waits: tuple[WaitShown, ...]
    strip: Strip | None

    @classmethod
    def of(
        cls, shown: GroupShown, waits: tuple[WaitShown, ...] = (), strip: Strip | None = None
    ) -> "OneGroup":
        """The group as it is shown in the view, with the rest of it."""
        return cls(**{**vars(shown), "waits": waits, "strip": strip})


def one_group(workshop: Workshop, ident: UUID, at: datetime) -> OneGroup:
    """The glue-up, coat or hold of this id in full."""
    subject = Q(glue_up=ident) | Q(coat=ident) | Q(hold=ident)
    waits = Wait.objects.filter(subject, workshop=workshop)
    found = load(workshop, waits, at, FROM_THE_START)
    groups = groups_of(found)
    if not groups:
        return _begun(workshop, ident, at)
    group = groups[0]
    order = sorted(group.waits, key=lambda wait: _last(found, wait), reverse=True)
    ruling = order[0]
    shown = group_shown(found, Foresight(found.ages), group)
    coming = shown.next.kind if shown.next else ""
    return OneGroup.of(
        shown,
        waits=tuple(_wait(found, wait, "" if wait is ruling else coming) for wait in order),
        strip=strip(
            ruling,
            found.rungs.get(ruling.id, ()),
            found.legs.get(ruling.id, ()),
            found.ages,
            workshop.tz,
        ),
    )


def _begun(workshop: Workshop, ident: UUID, at: datetime) -> OneGroup:
    for one in begun(workshop, at):
        if one.subject.id == ident:
            return OneGroup.of(begun_shown(one))
    raise NotHere("group")


def one_why(workshop: Workshop, gate: UUID, at: datetime) -> Why:
    """The sum behind one gate of one wait."""
    waits = Wait.objects.filter(workshop=workshop, gates=gate)
    found = load(workshop, waits, at, FROM_THE_START)
    for rungs in found.rungs.values():
        for rung in rungs:
            told = _why(found, rung) if rung.gate.id == gate else None
            if told is not None:
                return told
    raise NotHere("gate")


def _last(found: Current, wait: Wait) -> datetime:
    """When the last gate of a wait opens, as far as it can be told."""
    times = [rung.acts for rung in found.rungs.get(wait.id, ()) if rung.gate.opens]
    return max((moment for moment in times if moment is not None), default=NEVER_YET)


def _wait(found: Current, wait: Wait, only: str) -> WaitShown:
    """One wait; the sums of all its gates, or only of one kind."""
    rungs: Sequence[Rung] = found.rungs.get(wait.id, [])
    chosen = [rung for rung in rungs if not only or rung.gate.kind == only]
    doubts = [doubt.cause for doubt in found.doubts.get(wait.id, ()) if doubt.cleared_by is None]
    return WaitShown(
        id=wait.id,
        piece=PieceTag(wait.piece_id, wait.piece.tag),
        name=_name(wait),
        began_at=wait.began_at,
        between=wait.between,
        open=wait.open,
        suspect=doubts[0] if doubts else None,
        stays=stays_shown(found, wait),
        gates=tuple(
            WaitGate(**vars(shown), why_id=rung.gate.id)
            for shown, rung in zip(gates_shown(found, rungs), rungs, strict=True)
        ),
        why=tuple(told for rung in chosen if (told := _why(found, rung)) is not None),
    )


def _name(wait: Wait) -> str:
    if wait.joint is not None:
        return wait.joint.name
    if wait.zone is not None:
        return wait.zone.name
    return wait.hold.what if wait.hold is not None else ""


def _why(found: Current, rung: Rung) -> Why | None:
    return why(rung, found.legs.get(rung.wait.id, ()), found.ages)
