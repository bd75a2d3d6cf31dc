"""What contradicts in what was told of pieces: of itself, of something lost, two alike numbers."""

from collections.abc import Collection
from uuid import UUID

from cureclock.core.reminding.names import look_alikes
from cureclock.shop.glue_history import Contradiction
from cureclock.shop.lineage import recount
from cureclock.shop.models import Event, MadeFrom, Piece, Workshop
from cureclock.shop.record import stand
from cureclock.shop.swaps import swaps_of

Found = dict[UUID, list[Contradiction]]


def piece_contradictions(workshop: Workshop, pieces: Collection[UUID]) -> Found:
    """What contradicts about these pieces and what hangs together with them, by piece."""
    alike = _alike(workshop)
    asked = set(pieces)
    asked |= {piece for piece, pairs in alike.items() if asked & pairs.keys()}
    counted = recount(asked)
    found: Found = {piece: [] for piece in counted.pieces}
    mistaken = {p: list(alike[p].values()) for p in counted.pieces if p in alike}
    for part in (counted.circles, _of_lost(workshop, counted.pieces), mistaken):
        for piece, own in part.items():
            found.setdefault(piece, []).extend(own)
    return found


def _of_lost(workshop: Workshop, pieces: Collection[UUID]) -> Found:
    """Pieces said to be made from one that was lost by then."""
    rows = Event.objects.filter(workshop=workshop, kind="piece_lost")
    lost: dict[UUID, Event] = {}
    for event in swaps_of(workshop).counted(stand(rows)):
        if event.piece_id is not None:
            lost.setdefault(event.piece_id, event)
    links = MadeFrom.objects.filter(whole__in=pieces, part__in=lost, counts=True)
    told = Event.objects.in_bulk(list(links.values_list("event", flat=True)))
    found: Found = {}
    for link in links.order_by("id"):
        made, gone = told[link.event], lost[link.part_id]
        if gone.happened_at < made.happened_at:
            one = Contradiction("made_from_lost", made.id, gone.id)
            found.setdefault(link.whole_id, []).append(one)
    return found


def _alike(workshop: Workshop) -> dict[UUID, dict[UUID, Contradiction]]:
    """Numbers that somebody will take for one another: by the piece numbered later, the other."""
    rows = Piece.objects.filter(workshop=workshop, struck_by=None, made_by__isnull=False)
    told = rows.values_list("tag", "id", "made_at", "made_by")
    known = {tag: (made_at, str(ident), ident, by) for tag, ident, made_at, by in told if by}
    found: dict[UUID, dict[UUID, Contradiction]] = {}
    for pair in look_alikes(known):
        (*_, first, first_by), (*_, later, by) = sorted(known[tag] for tag in pair)
        found.setdefault(later, {})[first] = Contradiction("look_alike", by, first_by)
    return found
