"""Groups: what was glued, coated or held together, with everything that waits on it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.gates import COAT_GATES, JOINT_GATES, Since
from cureclock.core.units import HOUR_US
from cureclock.shop.models import Coat, GlueUp, Hold
from cureclock.waits.alike import Member
from cureclock.waits.current import TO_BE_DONE, Current, Rung
from cureclock.waits.foretold import Foresight, foretold_of
from cureclock.waits.group_gates import gates_shown
from cureclock.waits.models import Suspicion, Wait
from cureclock.waits.shown import (
    DoubtShown,
    GateShown,
    GroupShown,
    MaterialShown,
    NextGate,
    PieceTag,
    StayShown,
    Thing,
)
from cureclock.waits.unsure import unsure_of

PRESSED = {kind.key for kind in JOINT_GATES if kind.since == Since.PRESSURE}
ENDED = {kind.key for kind in COAT_GATES if kind.since == Since.ENDED}
SILENT = {kind.key for kind in (*JOINT_GATES, *COAT_GATES) if kind.silent}
LIVE = ("waiting", "partly", "running", "warned", "act_now")  # states with something to come


@dataclass(frozen=True)
class Group:
    """One glue-up, coat or hold: its waits and their rungs, in the order of tags and trade.

    Attributes:
        members: every wait of it by its piece; where all are alike, only the first is in `waits`.
    """

    subject: GlueUp | Coat | Hold
    waits: Sequence[Wait]
    rungs: Sequence[Rung]
    members: Sequence[Member]

    @property
    def id(self) -> UUID:
        """The glue-up's, coat's or hold's own id."""
        return self.subject.id

    @property
    def name(self) -> str:
        """As the maker calls it."""
        return self.subject.what if isinstance(self.subject, Hold) else self.subject.name

    @property
    def kind(self) -> str:
        """What kind of group it is."""
        kinds = {GlueUp: "glue_up", Coat: "coat", Hold: "hold"}
        return kinds[type(self.subject)]

    def of(self, *kinds: str) -> list[Rung]:
        """The rungs of these gate kinds whose act is not done yet."""
        return [rung for rung in self.rungs if rung.gate.kind in kinds and not rung.over]


def groups_of(found: Current) -> list[Group]:
    """The groups among what is waited for."""
    waits: dict[UUID, list[Wait]] = {}
    subjects: dict[UUID, GlueUp | Coat | Hold] = {}
    for wait in found.waits:
        subject = wait.glue_up or wait.coat or wait.hold
        if subject is not None:
            subjects[subject.id] = subject
            waits.setdefault(subject.id, []).append(wait)
    groups = []
    for ident, own in waits.items():
        own.sort(key=lambda wait: (wait.piece.tag, str(wait.id)))
        rungs = [rung for wait in own for rung in found.rungs.get(wait.id, ())]
        members = [member for wait in own for member in found.members[wait.id]]
        groups.append(Group(subjects[ident], own, rungs, members))
    return groups


def group_shown(found: Current, foresight: Foresight, group: Group) -> GroupShown:
    """Everything that is shown of one group."""
    first = group.waits[0]
    material = first.label.material
    gates = gates_shown(found, group.rungs)
    doubts = [doubt for wait in group.waits for doubt in found.doubts.get(wait.id, ())]
    return GroupShown(
        id=group.id,
        kind=group.kind,
        name=group.name,
        material=MaterialShown(material.id, material.name, first.label_id),
        place=Thing(first.place.id, first.place.name),
        pieces=_pieces(group.members),
        began_at=min(wait.began_at for wait in group.waits),
        state=_state(found, group),
        stays=stays_shown(found, first),
        gates=gates,
        next=_next(gates),
        suspect=tuple(_doubts(group, [one for one in doubts if one.cleared_by is None])),
        cleared=tuple(_doubts(group, [one for one in doubts if one.cleared_by is not None])),
        foretold=foretold_of(found, foresight, group.rungs),
        unsure=unsure_of(found, group.rungs),
    )


def stays_shown(found: Current, wait: Wait) -> tuple[StayShown, ...]:
    """Where a wait stood, from when to when."""
    return tuple(
        StayShown(Thing(leg.place.id, leg.place.name), leg.began_at, leg.ended_at)
        for leg in found.legs.get(wait.id, ())
    )


def _pieces(members: Iterable[Member]) -> tuple[PieceTag, ...]:
    tags = {member.piece: member.tag for member in members}
    return tuple(PieceTag(piece, tag) for piece, tag in tags.items())


def _state(found: Current, group: Group) -> str:
    """What was last done to it; of pieces in different states the one least far."""
    if group.kind == "hold":
        return "held"
    told = {event.kind: event for event in found.acts.get(group.id, ())}
    begun = [{rung.gate.kind for rung in found.rungs.get(wait.id, ())} for wait in group.waits]
    if group.kind == "coat":
        if all(kinds & ENDED for kinds in begun):
            return "drying"
        acts = [e.kind for e in found.acts.get(group.id, ()) if e.kind != "closed"]
        return "paused" if acts and acts[-1] == "coat_paused" else "coating"
    if not all(kinds & PRESSED for kinds in begun):
        return "closed" if "closed" in told else "spreading"
    return "pressed" if group.of(*TO_BE_DONE) else "resting"


def _next(gates: Iterable[GateShown]) -> NextGate | None:
    """What comes next, of what anybody has to know."""
    coming: list[tuple[datetime, str]] = []
    for gate in gates:
        at = (gate.sure if gate.hurts else gate.acts.last) if gate.opens else gate.acts.first
        if gate.state in LIVE and gate.kind not in SILENT and at is not None:
            coming.append((at, gate.kind))
    return NextGate(min(coming)[1], min(coming)[0]) if coming else None


def _doubts(group: Group, doubts: Sequence[Suspicion]) -> Iterable[DoubtShown]:
    """Doubts of one cause together, by when they arose."""
    tags = {wait.id: wait.piece.tag for wait in group.waits}
    needs = {(rung.wait.id, rung.gate.kind): rung.gate.need_us for rung in group.rungs}
    by_cause: dict[tuple[str, UUID | None], list[Suspicion]] = {}
    for doubt in doubts:
        by_cause.setdefault((doubt.cause, doubt.cleared_by), []).append(doubt)
    for (cause, cleared_by), own in by_cause.items():
        first = min(own, key=lambda doubt: doubt.at)
        needed = ("keep_warm",) if cause == "cold" else TO_BE_DONE if cause == "off_early" else ()
        need = next((needs[first.wait_id, k] for k in needed if (first.wait_id, k) in needs), None)
        yield DoubtShown(
            cause=cause,
            at=first.at,
            temp_c=first.temp_c,
            banked_h=None if first.banked_us is None else first.banked_us / HOUR_US,
            need_h=None if need is None else need / HOUR_US,
            pieces=tuple(dict.fromkeys(tags[doubt.wait_id] for doubt in own)),
            cleared_by=cleared_by,
        )
