"""The nouns of a workshop as a phone keeps them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from uuid import UUID

from cureclock.core.materials.label import Label
from cureclock.core.materials.library import library
from cureclock.shop.happening import Teller
from cureclock.shop.models import Batch, Conflict, Event, LabelVersion, Workshop
from cureclock.waits.shown import Thing
from cureclock.waits.taught import LearnedShown


@dataclass(frozen=True)
class Me:
    """Who is asking, and what they may do."""

    person: Thing
    role: str
    phone: Thing


@dataclass(frozen=True)
class WorkshopTold:
    """The workshop; hours by weekday, 0 is Monday."""

    id: UUID
    name: str
    zone: str
    home_time: time
    hours: dict[str, list[str]]


@dataclass(frozen=True)
class LabelGateTold:
    """One gate of a label; `upper_hours` counts where nobody read it."""

    kind: str
    hours: float
    by_wall: bool
    upper_hours: float
    read: bool


@dataclass(frozen=True)
class LabelTold:
    """What the label of a material says, and who read it from which container."""

    id: UUID
    read: bool
    container: str
    read_by: str | None
    since: datetime
    gates: tuple[LabelGateTold, ...]
    cautions: tuple[str, ...]
    min_c: float | None
    max_rh_pct: float | None
    pot_mass_g: float | None


@dataclass(frozen=True)
class MaterialTold:
    """A material of the workshop with the newest reading of its label, and what was learned."""

    id: UUID
    name: str
    family: str
    role: str
    label: LabelTold
    learned: tuple[LearnedShown, ...]


@dataclass(frozen=True)
class BatchTold:
    """Pieces made together, and for when they were promised."""

    id: UUID
    name: str
    promised: date | None


@dataclass(frozen=True)
class EventTold:
    """A happening that contradicts another."""

    id: UUID
    kind: str
    at: datetime
    person: str
    phone: str


@dataclass(frozen=True)
class ConflictTold:
    """A contradiction that nobody has settled yet."""

    id: UUID
    kind: str
    about: UUID
    first: UUID
    second: UUID | None
    events: tuple[EventTold, ...]


def me(teller: Teller) -> Me:
    """Who is asking."""
    assert teller.person is not None
    assert teller.phone is not None
    person, phone = teller.person, teller.phone
    return Me(Thing(person.id, person.name), teller.role, Thing(phone.id, phone.name))


def workshop_told(workshop: Workshop) -> WorkshopTold:
    """The workshop itself."""
    return WorkshopTold(
        workshop.id, workshop.name, workshop.zone, workshop.home_time, workshop.hours
    )


def newest_labels(workshop: Workshop) -> list[LabelVersion]:
    """The newest reading of each material's label, by the material's name."""
    rows = LabelVersion.objects.filter(material__workshop=workshop)
    rows = rows.select_related("material", "read_by").order_by("since", "arrived_at", "id")
    newest = {row.material_id: row for row in rows}
    return sorted(newest.values(), key=lambda row: (row.material.name, str(row.id)))


def material_told(
    version: LabelVersion, label: Label, learned: tuple[LearnedShown, ...]
) -> MaterialTold:
    """A material with its label, and what is learned of it beside."""
    material = version.material
    known = library().families.get(material.family)
    gates = tuple(
        LabelGateTold(gate.name, gate.hours, gate.by_wall, gate.upper_hours, gate.read)
        for gate in label.gates
    )
    told = LabelTold(
        id=version.id,
        read=version.read_by is not None,
        container=version.container,
        read_by=version.read_by.name if version.read_by else None,
        since=version.since,
        gates=gates,
        cautions=known.cautions if known else (),
        min_c=label.min_c,
        max_rh_pct=label.max_rh_pct,
        pot_mass_g=label.pot_mass_g,
    )
    return MaterialTold(material.id, material.name, material.family, label.role, told, learned)


def batches_told(workshop: Workshop) -> tuple[BatchTold, ...]:
    """Every batch."""
    rows = Batch.objects.filter(workshop=workshop).order_by("made_at", "id")
    return tuple(BatchTold(row.id, row.name, row.promised) for row in rows)


def open_conflicts(workshop: Workshop) -> list[Conflict]:
    """Contradictions that nobody has settled."""
    return list(Conflict.objects.filter(workshop=workshop, settled_by=None).order_by("kind", "id"))


def conflicts_told(conflicts: Sequence[Conflict]) -> tuple[ConflictTold, ...]:
    """Each with the happenings that contradict, in order of time."""
    named = {ident for one in conflicts for ident in (one.first, one.second) if ident}
    events = Event.objects.filter(id__in=named).select_related("person", "phone")
    told = {event.id: _event(event) for event in events}
    return tuple(
        ConflictTold(
            id=one.id,
            kind=one.kind,
            about=one.about,
            first=one.first,
            second=one.second,
            events=tuple(
                sorted(
                    (told[ident] for ident in (one.first, one.second) if ident in told),
                    key=lambda event: event.at,
                )
            ),
        )
        for one in conflicts
    )


def _event(event: Event) -> EventTold:
    return EventTold(
        event.id,
        event.kind,
        event.happened_at,
        event.person.name if event.person else "",
        event.phone.name if event.phone else "",
    )
