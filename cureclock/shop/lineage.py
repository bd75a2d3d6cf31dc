"""What is made of what: a piece carries every joint of every part it was made from."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.shop.glue_history import Contradiction
from cureclock.shop.models import Event, MadeFrom, Workshop
from cureclock.shop.record import stand

Links = dict[UUID, set[UUID]]


@dataclass(frozen=True)
class Recounted:
    """What a recount of links found.

    Attributes:
        pieces: all that hangs together with what was asked for.
        circles: of each piece that would be a part of itself, the happenings that say so.
    """

    pieces: set[UUID]
    circles: dict[UUID, list[Contradiction]]


def parts_of(workshop: Workshop) -> Links:
    """The direct parts of every piece of a workshop that was made from others."""
    rows = MadeFrom.objects.filter(whole__workshop=workshop, counts=True)
    return _links(rows.values_list("whole_id", "part_id"))


def wholes_of(parts: Mapping[UUID, Collection[UUID]]) -> Links:
    """What each part was made into."""
    return _links((part, whole) for whole, own in parts.items() for part in own)


def closure(start: Collection[UUID], links: Mapping[UUID, Collection[UUID]]) -> set[UUID]:
    """Everything reached from a start along links, the start included; a circle does no harm."""
    reached, fresh = set(start), set(start)
    while fresh:
        fresh = {other for one in fresh for other in links.get(one, ())} - reached
        reached |= fresh
    return reached


def below(pieces: Collection[UUID]) -> Links:
    """The parts of these pieces and of their parts, by whole; a query for each depth."""
    return _walk(pieces, "whole_id", "part_id")


def above(pieces: Collection[UUID]) -> Links:
    """What these pieces were made into, and what that was, by part; a query for each depth."""
    return _walk(pieces, "part_id", "whole_id")


def recount(pieces: Collection[UUID]) -> Recounted:
    """Which links of what hangs together with these pieces count, written down anew.

    Links are taken in the order in which they happened; one that would make a piece a part of
    itself is set aside, and is a contradiction about the whole it was told of.
    """
    rows = _together(pieces)
    told = {e.id: e for e in stand(Event.objects.filter(id__in={row.event for row in rows}))}
    standing = [row for row in rows if row.event in told]
    standing.sort(key=lambda row: (*_when(told[row.event]), str(row.whole_id), str(row.part_id)))
    parts: Links = {}
    first: dict[tuple[UUID, UUID], UUID] = {}
    found: dict[UUID, list[Contradiction]] = {}
    counting = set()
    for row in standing:
        if row.whole_id in closure([row.part_id], parts):
            other = _on_the_way(row, parts, first)
            found.setdefault(row.whole_id, []).append(_circle(row, other))
        else:
            counting.add(row.pk)
            parts.setdefault(row.whole_id, set()).add(row.part_id)
            first.setdefault((row.whole_id, row.part_id), row.event)
    _write(rows, counting)
    every = {end for row in rows for end in (row.whole_id, row.part_id)}
    circles = {whole: list(dict.fromkeys(own)) for whole, own in found.items()}
    return Recounted(every | set(pieces), circles)


def _together(pieces: Collection[UUID]) -> list[MadeFrom]:
    """Every link of what hangs together with these pieces, whether it counts or not."""
    known: set[UUID] = set(pieces)
    while True:
        rows = [
            *MadeFrom.objects.filter(whole__in=known),
            *MadeFrom.objects.filter(part__in=known),
        ]
        ends = {end for row in rows for end in (row.whole_id, row.part_id)}
        if ends <= known:
            return list({row.pk: row for row in rows}.values())
        known |= ends


def _on_the_way(
    row: MadeFrom, parts: Mapping[UUID, Collection[UUID]], first: Mapping[tuple[UUID, UUID], UUID]
) -> UUID | None:
    """The happening by which the part came to hold the whole; none where it is the same one."""
    wholes = wholes_of(parts)
    into = sorted(wholes.get(row.whole_id, set()) & closure([row.part_id], parts), key=str)
    told = [first[whole, row.whole_id] for whole in into]
    return next((event for event in told if event != row.event), None)


def _circle(row: MadeFrom, other: UUID | None) -> Contradiction:
    return Contradiction("made_of_itself", row.event, other)


def _write(rows: Iterable[MadeFrom], counting: Collection[int]) -> None:
    changed = [row for row in rows if row.counts != (row.pk in counting)]
    for row in changed:
        row.counts = not row.counts
    MadeFrom.objects.bulk_update(changed, ["counts"])


def _when(event: Event) -> tuple[datetime, str]:
    return event.happened_at, str(event.id)


def _walk(pieces: Collection[UUID], near: str, far: str) -> Links:
    found: Links = {}
    known, fresh = set(pieces), set(pieces)
    while fresh:
        rows = MadeFrom.objects.filter(**{f"{near}__in": fresh}, counts=True)
        pairs = list(rows.values_list(near, far))
        for one, other in pairs:
            found.setdefault(one, set()).add(other)
        fresh = {other for _, other in pairs} - known
        known |= fresh
    return found


def _links(pairs: Iterable[tuple[UUID, UUID]]) -> Links:
    found: Links = {}
    for one, other in pairs:
        found.setdefault(one, set()).add(other)
    return found
