"""What a shop has learned of a material in a place: its need by the maker's rule, its margin apart.

Only what happened before a wait began counts for it, so that a rebuild gives the same. A yes where
somebody can be hurt is never hastened by what arrives late: there only what had arrived counts too.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise
from typing import NamedTuple
from uuid import UUID

import numpy as np

from cureclock.core.checks import LONGEST_H, SHORTEST_H, Checks
from cureclock.core.gates import COAT_GATES, JOINT_GATES, GateKind
from cureclock.core.learning import learn_need
from cureclock.core.materials.label import Label
from cureclock.core.trust import trust
from cureclock.core.units import HOUR_US
from cureclock.shop.models import Container, Event, LabelVersion
from cureclock.shop.record import stand
from cureclock.waits.models import Seen

KINDS = {kind.key: kind for kind in (*JOINT_GATES, *COAT_GATES)}
TENTHS_OF_PER_CENT = 1000


class Key(NamedTuple):
    """What is learned together: a product in a place, on a coat of this number (0: joints)."""

    material: UUID
    place: UUID
    coat_number: int


@dataclass(frozen=True)
class Bracket:
    """What was seen of one joint or coat: still not ready, and ready, at so many label-hours.

    Attributes:
        of: the glue-up or coat.
        at: when it was last looked at.
    """

    of: UUID
    at: datetime
    after_h: float | None
    until_h: float | None


@dataclass(frozen=True)
class Lesson:
    """What is learned of one gate, with its evidence.

    Attributes:
        need_h: the bare need here; the label's hours where nothing contradicts them.
        margin: m, learned apart from it.
        agreeing: how many of the brackets agree with the need, of those since the container
            was opened.
    """

    gate: str
    label_h: float
    need_h: float
    margin: float
    agreeing: int
    brackets: tuple[Bracket, ...]


@dataclass
class Lessons:
    """Checks and witnesses of a workshop, by what they teach.

    Attributes:
        rows: in order of time.
        opened: when containers of each material were opened, in order.
    """

    rows: Mapping[Key, Sequence[Seen]]
    opened: Mapping[UUID, Sequence[datetime]] = field(default_factory=dict)

    @classmethod
    def of_workshop(cls, workshop: UUID) -> "Lessons":
        """Everything a workshop has seen, in two queries."""
        return cls._of(Seen.objects.filter(workshop=workshop))

    @classmethod
    def of_key(cls, material: UUID, place: UUID) -> "Lessons":
        """What was seen of one material in one place."""
        return cls._of(Seen.objects.filter(material=material, place=place))

    @classmethod
    def _of(cls, seen: Iterable[Seen]) -> "Lessons":
        rows: dict[Key, list[Seen]] = {}
        for row in seen:
            rows.setdefault(Key(row.material_id, row.place_id, row.coat_number), []).append(row)
        return cls(rows, _opened({key.material for key in rows}) if rows else {})

    def before(self, key: Key, label: Label, began: datetime) -> tuple[Lesson, ...]:
        """What counts for a wait begun at an instant, gate by gate in the order of the trade."""
        rows = [row for row in self.rows.get(key, ()) if row.at < began]
        told = [kind for name, kind in KINDS.items() if label.gate(name) is not None]
        seen = {kind: [row for row in rows if row.gate == kind.key] for kind in told}
        taught = [kind for kind in told if kind.opens and seen[kind]]
        if not taught:
            return ()
        newest = [at for at in self.opened.get(key.material, ()) if at <= began]
        opened = newest[-1] if newest else None
        return _lessons(taught, seen, label, opened, began)


def lessons_for(key: Key, label: Label, began: datetime | None) -> tuple[Lesson, ...]:
    """What counts for one subject, begun at an instant."""
    if began is None:
        return ()
    return Lessons.of_key(key.material, key.place).before(key, label, began)


def margins(lessons: Iterable[Lesson]) -> dict[str, float]:
    """The margin of each gate that something was learned of."""
    return {lesson.gate: lesson.margin for lesson in lessons}


def needs(lessons: Iterable[Lesson]) -> dict[str, float]:
    """The need of each gate that this shop has found to differ from the label."""
    return {one.gate: one.need_h for one in lessons if one.need_h != one.label_h}


def _lessons(
    kinds: Sequence[GateKind],
    seen: Mapping[GateKind, Sequence[Seen]],
    label: Label,
    opened: datetime | None,
    began: datetime,
) -> tuple[Lesson, ...]:
    every = [brackets(seen[kind]) for kind in kinds]
    label_h = np.array([_hours(label, kind) for kind in kinds])
    hurts = np.array([kind.hurts for kind in kinds])
    need = learn_need(_checks(every), label_h, hurts)
    fresh = [[row for row in seen[kind] if opened is None or row.at >= opened] for kind in kinds]
    earned = trust(_checks([brackets(rows) for rows in fresh]), label_h, need.need_h)
    known = [[row for row in rows if row.arrived_at < began] for rows in fresh]
    in_time = trust(_checks([brackets(rows) for rows in known]), label_h, need.need_h)
    least = np.where(hurts, np.maximum(earned.margin, in_time.margin), earned.margin)
    margin = np.ceil(least * TENTHS_OF_PER_CENT - 1e-6) / TENTHS_OF_PER_CENT
    return tuple(
        Lesson(
            gate=kind.key,
            label_h=float(label_h[at]),
            need_h=float(need.need_h[at]),
            margin=float(margin[at]),
            agreeing=int(earned.agreeing[at]),
            brackets=every[at],
        )
        for at, kind in enumerate(kinds)
    )


def _hours(label: Label, kind: GateKind) -> float:
    told = label.gate(kind.key)
    assert told is not None
    return told.hours


def brackets(rows: Sequence[Seen]) -> tuple[Bracket, ...]:
    """One bracket a joint or coat, in order of its last look.

    Of looks that contradict, "not yet" counts: ready is what was seen ready after the last of it.
    """
    of: dict[UUID, list[Seen]] = {}
    for row in rows:
        subject = row.glue_up_id or row.coat_id
        assert subject is not None
        of.setdefault(subject, []).append(row)
    found = [_bracket(subject, own) for subject, own in of.items()]
    return tuple(sorted(found, key=lambda one: (one.at, str(one.of))))


def _bracket(subject: UUID, rows: Sequence[Seen]) -> Bracket:
    after_us = max((row.age_us for row in rows if not row.ready), default=None)
    later = (row.age_us for row in rows if row.ready and row.age_us > (after_us or 0))
    until_us = min(later, default=None)
    return Bracket(
        of=subject,
        at=max(row.at for row in rows),
        after_h=None if after_us is None else after_us / HOUR_US,
        until_h=None if until_us is None else until_us / HOUR_US,
    )


def _checks(every: Sequence[Sequence[Bracket]]) -> Checks:
    """Brackets of several gates, a row a gate, filled up with what says nothing."""
    width = max(len(own) for own in every)
    after, until = np.zeros((len(every), width)), np.full((len(every), width), LONGEST_H)
    for at, own in enumerate(every):
        after[at, : len(own)] = [min(one.after_h or 0.0, LONGEST_H - 1) for one in own]
        until[at, : len(own)] = [_until(one) for one in own]
    return Checks(after, until)


def _until(one: Bracket) -> float:
    return LONGEST_H if one.until_h is None else min(max(one.until_h, SHORTEST_H), LONGEST_H)


def _opened(materials: Collection[UUID]) -> dict[UUID, list[datetime]]:
    """When each material was first taken from another container: opened, or its label read."""
    found: dict[UUID, set[datetime]] = {material: set() for material in materials}
    for material, times in _label_changes(materials).items():
        found[material].update(times)
    holds = {
        str(ident): material
        for ident, material in Container.objects.filter(material__in=materials).values_list(
            "id", "material"
        )
    }
    told = Event.objects.filter(kind="container_opened", body__container__in=list(holds))
    seen: set[str] = set()
    for event in stand(told) if holds else ():
        ident = event.body["container"]
        if ident not in seen:  # opening it again makes it no other
            found[holds[ident]].add(event.happened_at)
            seen.add(ident)
    return {material: sorted(times) for material, times in found.items()}


def _label_changes(materials: Collection[UUID]) -> dict[UUID, list[datetime]]:
    rows = LabelVersion.objects.filter(material__in=materials, struck_by=None).exclude(container="")
    found: dict[UUID, list[LabelVersion]] = {}
    for row in rows.order_by("since", "id"):
        found.setdefault(row.material_id, []).append(row)
    return {
        material: [own[0].since, *(b.since for a, b in pairwise(own) if a.container != b.container)]
        for material, own in found.items()
    }
