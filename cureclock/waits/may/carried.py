"""The gates of every joint that pieces carry, loaded in a few queries however many there are."""

from collections.abc import Collection, Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from django.db.models import CharField, ExpressionWrapper, F

from cureclock.core.materials.label import Label
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.lineage import Links, above, closure, parts_of
from cureclock.shop.models import Event, Joint, LabelVersion, Place, Workshop
from cureclock.shop.record import stand
from cureclock.waits.models import Clock, Gate, Suspicion, Wait


@dataclass(frozen=True, slots=True)
class Footing:
    """What alike gates share: those of one glue-up that was never parted are one and the same."""

    kind: str
    label: UUID
    place: UUID
    began_us: int
    stay_us: int
    act_us: int | None
    act_clock: int | None
    sure_need_us: int | None
    sure_clock: int | None
    placed: int
    over: bool

    @property
    def stay_at(self) -> datetime:
        """When its present stay began."""
        return moment_of(self.stay_us)


@dataclass(frozen=True, slots=True)
class JointGate:
    """One running gate of a joint, on one course.

    Attributes:
        part: the piece the joint was made on.
        carrier: the piece its wait goes with: the same, unless it went by itself.
        joint, wait: their ids as the records give them, only to be held against others.
    """

    joint: Hashable
    name: str
    part: UUID
    carrier: UUID
    wait: Hashable
    on: Footing


@dataclass(frozen=True, slots=True)
class Unclocked:
    """A joint without such a gate: never pressed, or its label does not offer it."""

    joint: UUID
    name: str
    part: UUID
    label: UUID
    pressed: bool


@dataclass
class Carried:
    """What pieces carry.

    Attributes:
        parts: every piece whose joints each asked piece carries, itself among them.
        gates: running gates by the piece their joint was made on.
        unclocked: joints without one, by that piece.
        suspect: the earliest cause that stands, by wait.
    """

    workshop: Workshop
    places: dict[UUID, Place]
    parts: dict[UUID, set[UUID]]
    gates: dict[UUID, list[JointGate]] = field(default_factory=dict)
    unclocked: dict[UUID, list[Unclocked]] = field(default_factory=dict)
    suspect: dict[Hashable, str] = field(default_factory=dict)
    labels: dict[UUID, Label] = field(default_factory=dict)
    clocks: dict[int, Clock] = field(default_factory=dict)
    _last: dict[UUID, set[UUID]] = field(default_factory=dict)

    @property
    def every(self) -> set[UUID]:
        """All pieces that are carried."""
        return set().union(*self.parts.values())

    def of(self, piece: UUID) -> Iterable[JointGate]:
        """The gates that have a say in a question about a piece: those of its own courses."""
        for part in self.parts[piece]:
            own = self.gates.get(part, ())
            yield from self._on_its_way(piece, own) if self._last else own

    def silent(self, piece: UUID) -> Iterable[Unclocked]:
        """The joints of a piece without such a gate."""
        for part in self.parts[piece]:
            yield from self.unclocked.get(part, ())

    def _on_its_way(self, piece: UUID, own: Sequence[JointGate]) -> Iterable[JointGate]:
        """Of a joint whose carriers parted: the waits of those that this piece is, or is part of."""
        apart = {(gate.joint, gate.carrier) for gate in own if gate.carrier != gate.part}
        last = self._last.get(piece, {piece})
        for gate in own:
            together = any((gate.joint, one) not in apart for one in last)
            if gate.carrier in last or (gate.carrier == gate.part and together):
                yield gate


def carried(workshop: Workshop, pieces: Collection[UUID], kinds: Sequence[str]) -> Carried:
    """The gates of these kinds that pieces carry.

    Args:
        workshop: whose they are.
        pieces: those asked about.
        kinds: the gate the question turns on, then others that have a say.
    """
    links = parts_of(workshop)
    parts = {piece: closure([piece], links) for piece in pieces}
    places = {place.id: place for place in Place.objects.filter(workshop=workshop)}
    for place in places.values():
        place.workshop = workshop
    found = Carried(workshop, places, parts)
    every = found.every
    _load_gates(found, every, kinds)
    _load_unclocked(found, every, kinds[0])
    causes = Suspicion.objects.filter(
        cleared_by=None, wait__open=True, wait__joint__piece__in=every
    )
    found.suspect = dict(causes.order_by("-at").values_list(as_kept("wait_id"), "cause"))
    used = {gate.on.label for own in found.gates.values() for gate in own}
    used |= {one.label for own in found.unclocked.values() for one in own}
    found.labels = {row.id: row.label for row in LabelVersion.objects.filter(id__in=used)}
    if any(gate.carrier != gate.part for own in found.gates.values() for gate in own):
        found._last = _last_carriers(pieces)
    return found


def as_kept(column: str) -> "ExpressionWrapper[F]":
    """A column as the database gives it: what is alike in thousands of rows is read once."""
    return ExpressionWrapper(F(column), output_field=CharField())


def _load_gates(found: Carried, every: Collection[UUID], kinds: Sequence[str]) -> None:
    rows = Gate.objects.filter(kind__in=kinds, wait__open=True, wait__joint__piece__in=every)
    told = rows.order_by("wait__joint__name").values_list(
        as_kept("wait__joint_id"),
        "wait__joint__name",
        as_kept("wait__joint__piece_id"),
        as_kept("wait__piece_id"),
        as_kept("wait_id"),
        "kind",
        as_kept("wait__label_id"),
        as_kept("wait__place_id"),
        as_kept("began_at"),
        as_kept("stay_at"),
        "act_us",
        "act_clock_id",
        "sure_need_us",
        "sure_clock_id",
        "placed",
        "state",
    )
    pieces: dict[Hashable, UUID] = {}
    footings: dict[tuple[Hashable, ...], Footing] = {}
    for joint, name, part, carrier, wait, *kept in told.iterator(chunk_size=10_000):
        key = tuple(kept)
        on = footings.get(key)
        if on is None:
            on = footings[key] = _footing(key)
        for piece in (part, carrier):
            if piece not in pieces:
                pieces[piece] = _ident(piece)
        gate = JointGate(joint, name, pieces[part], pieces[carrier], wait, on)
        found.gates.setdefault(gate.part, []).append(gate)
    clocks = Clock.objects.filter(workshop=found.workshop)
    for clock in clocks:
        clock.place = found.places[clock.place_id]
        found.clocks[clock.pk] = clock


def _footing(kept: Sequence[Any]) -> Footing:
    kind, label, place, began, stay, act_us, act_clock, need_us, sure_clock, placed, state = kept
    return Footing(
        kind=kind,
        label=_ident(label),
        place=_ident(place),
        began_us=_instant_us(began),
        stay_us=_instant_us(stay),
        act_us=act_us,
        act_clock=act_clock,
        sure_need_us=need_us,
        sure_clock=sure_clock,
        placed=placed,
        over=state == Gate.State.OVER,
    )


def _ident(kept: Any) -> UUID:
    return kept if isinstance(kept, UUID) else UUID(kept)


def _instant_us(kept: Any) -> int:
    moment = kept if isinstance(kept, datetime) else datetime.fromisoformat(kept)
    return instant_us(moment if moment.tzinfo else moment.replace(tzinfo=UTC))


def _load_unclocked(found: Carried, every: Collection[UUID], kind: str) -> None:
    """Joints without the gate that are not gone: those never pressed, and those not offered it."""
    timed = {one.joint for own in found.gates.values() for one in own if one.on.kind == kind}
    idents = Joint.objects.filter(piece__in=every).values_list(as_kept("id"), flat=True)
    others = [ident for ident in idents if ident not in timed]
    if not others:
        return
    rows = Joint.objects.filter(id__in=others).select_related("glue_up")
    joints = list(rows.order_by("name", "id"))
    waits: dict[UUID, list[Wait]] = {}
    for wait in Wait.objects.filter(joint__in=joints).prefetch_related("gates"):
        waits.setdefault(wait.joint_id or wait.id, []).append(wait)
    begun = _begun(found.workshop, [joint for joint in joints if joint.id not in waits])
    for joint in joints:
        own_waits = [wait for wait in waits.get(joint.id, ()) if wait.open]
        if own_waits or (joint.id not in waits and str(joint.id) in begun):
            label = own_waits[0].label_id if own_waits else joint.glue_up.label_id
            pressed = any(gate.opens for wait in own_waits for gate in wait.gates.all())
            one = Unclocked(joint.id, joint.name, joint.piece_id, label, pressed)
            found.unclocked.setdefault(joint.piece_id, []).append(one)


def _begun(workshop: Workshop, joints: Collection[Joint]) -> set[str]:
    """Of joints that nothing waits on, those of which it stands that their glue was spread."""
    glue_ups = {joint.glue_up_id for joint in joints}
    kinds = ("spread_began", "added_late", "taken_out")
    rows = Event.objects.filter(workshop=workshop, glue_up__in=glue_ups, kind__in=kinds)
    named: set[str] = set()
    for event in stand(rows):
        own = {one["id"] if isinstance(one, dict) else one for one in event.body.get("joints", ())}
        named = named - own if event.kind == "taken_out" else named | own
    return named


def _last_carriers(pieces: Collection[UUID]) -> dict[UUID, set[UUID]]:
    """What each piece ended in: the wholes above it that are part of nothing else."""
    wholes: Links = above(pieces)
    return {
        piece: {one for one in closure([piece], wholes) if not wholes.get(one)} for piece in pieces
    }
