"""Which one is this? Pieces by their state, and what tells those that are left apart."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Joint, Workshop
from cureclock.waits.models import Wait
from cureclock.waits.pieces import PieceShown, PiecesShown, pieces_shown

MOST = 50  # candidates told of; with more there is nothing to look for on them


@dataclass(frozen=True)
class Looked:
    """What can be seen of the piece in the hand; what is left empty is not looked at."""

    batch: UUID | None = None
    what: str = ""
    place: UUID | None = None
    zone: str = ""
    coats: int | None = None
    hold: bool | None = None
    suspect: bool | None = None


@dataclass(frozen=True)
class Trait:
    """One thing that is so of a piece.

    key: what, place, coats, hold, suspect, glued_in, glued_anew, lot.
    """

    key: str
    name: str
    count: int | None = None


@dataclass(frozen=True)
class Candidate:
    """A piece that it may be, and what is so of it but not of every other candidate."""

    id: UUID
    tag: str
    what: str
    apart: tuple[Trait, ...]


@dataclass(frozen=True)
class WhoAmI:
    """The pieces that fit, how many there are, and what is so of all of them."""

    of: int
    candidates: tuple[Candidate, ...]
    alike: tuple[Trait, ...]


def who_am_i(workshop: Workshop, looked: Looked) -> WhoAmI:
    """The candidates by state, each with the differences to look for."""
    shown = pieces_shown(workshop)
    inside = {part for own in parts_of(workshop).values() for part in own}
    loose = [one for one in shown.pieces if one.id not in inside]  # nobody holds a part by itself
    chosen = [one for one in loose if _on_the_face(one, looked)]
    traits = _traits(workshop, chosen, shown)
    left = [one for one in chosen if _fits(traits[one.id], looked)]
    counts = Counter(trait for one in left for trait in traits[one.id])
    common = (t for t, n in counts.items() if n == len(left) and t.key != "place_id")
    alike = tuple(sorted(common, key=_order))
    candidates = tuple(
        Candidate(one.id, one.tag, one.what, _apart(traits[one.id], alike)) for one in left[:MOST]
    )
    return WhoAmI(len(left), candidates, alike)


def _on_the_face(piece: PieceShown, looked: Looked) -> bool:
    """What the list of pieces says already."""
    if looked.batch is not None and piece.batch != looked.batch:
        return False
    if looked.what.lower() not in piece.what.lower():
        return False
    if looked.suspect is not None and (piece.suspect is not None) != looked.suspect:
        return False
    if looked.coats is None:
        return True
    zones = [zone for zone in piece.zones if not looked.zone or zone.name == looked.zone]
    return any(zone.coats == looked.coats for zone in zones)


def _fits(traits: Sequence[Trait], looked: Looked) -> bool:
    held = any(trait.key == "hold" for trait in traits)
    stands = [trait.name for trait in traits if trait.key == "place_id"]
    return (looked.hold is None or held == looked.hold) and (
        looked.place is None or str(looked.place) in stands
    )


def _traits(
    workshop: Workshop, pieces: Sequence[PieceShown], shown: PiecesShown
) -> dict[UUID, list[Trait]]:
    """Everything that may tell pieces apart, in a few queries however many there are."""
    parts = parts_of(workshop)
    carried = {one.id: closure([one.id], parts) for one in pieces}
    every = {part for own in carried.values() for part in own}
    joints = _joints(every)
    stands = _stands(every)
    holds: dict[UUID, list[str]] = {}
    for hold in shown.holds:
        holds.setdefault(hold.piece, []).append(hold.what)
    found = {}
    for one in pieces:
        own = carried[one.id]
        traits = [Trait("what", one.what)] if one.what else []
        traits += [Trait("coats", zone.name, zone.coats) for zone in one.zones]
        traits += [Trait("suspect", one.suspect)] if one.suspect else []
        traits += [Trait("hold", what) for part in own for what in holds.get(part, ())]
        traits += sorted({trait for part in own for trait in joints.get(part, ())}, key=_order)
        traits += stands.get(one.id, ())
        found[one.id] = list(dict.fromkeys(traits))
    return found


def _joints(pieces: set[UUID]) -> dict[UUID, list[Trait]]:
    """In which glue-ups a piece was glued, and whether one of its joints had to be made anew."""
    found: dict[UUID, list[Trait]] = {}
    gone = set(
        Wait.objects.filter(piece__in=pieces, joint__isnull=False, open=False).values_list(
            "joint", flat=True
        )
    )
    rows = Joint.objects.filter(piece__in=pieces).values_list("id", "piece", "glue_up__name")
    for ident, piece, name in rows.order_by("glue_up__made_at"):
        own = found.setdefault(piece, [])
        own.append(Trait("glued_anew", name) if ident in gone else Trait("glued_in", name))
    return found


def _stands(pieces: set[UUID]) -> Mapping[UUID, list[Trait]]:
    """Where what waits on a piece stands now."""
    found: dict[UUID, list[Trait]] = {}
    rows = Wait.objects.filter(piece__in=pieces, open=True).order_by("began_at")
    for piece, place, name in rows.values_list("piece", "place", "place__name"):
        found[piece] = [Trait("place", name), Trait("place_id", str(place))]
    return found


def _apart(traits: Sequence[Trait], alike: Sequence[Trait]) -> tuple[Trait, ...]:
    shared = set(alike)
    return tuple(one for one in traits if one not in shared and one.key != "place_id")


def _order(trait: Trait) -> tuple[str, str, int]:
    return trait.key, trait.name, trait.count or 0
