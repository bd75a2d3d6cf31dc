"""Lines of time: one for each glue-up and coat with the air under it, and one for each piece."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from uuid import UUID

from cureclock.core.wording.say import say
from cureclock.exports.review.scope import Group, Scope
from cureclock.exports.review.shapes import Act, GroupLine, PieceLine
from cureclock.exports.waited import Waited
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Event, Piece
from cureclock.shop.swaps import swaps_of
from cureclock.waits.current import Rung
from cureclock.waits.pieces import standing_pieces
from cureclock.waits.shown import PieceTag
from cureclock.waits.strip import strip

MOST_PIECES = 600


def group_lines(scope: Scope) -> tuple[GroupLine, ...]:
    """Each group in order of time."""
    own: dict[UUID, list[Event]] = {}
    for event in scope.told:
        for subject in (event.glue_up_id, event.coat_id):
            if subject is not None:
                own.setdefault(subject, []).append(event)
    return tuple(_group(scope, group, own.get(group.id, ())) for group in scope.groups)


def _group(scope: Scope, group: Group, told: Sequence[Event]) -> GroupLine:
    ruling = _ruling(group)
    wait = ruling.wait
    rungs = [Rung(wait, gate, times) for gate, times in ruling.gates]
    return GroupLine(
        id=group.id,
        kind=group.kind,
        name=group.name,
        material=wait.label.material.name,
        place=wait.place.name,
        pieces=tuple(PieceTag(one.wait.piece_id, one.wait.piece.tag) for one in _one_each(group)),
        suspect=any(doubt.cleared_by is None for one in group.waits for doubt in one.doubts),
        acts=tuple(_act(event) for event in told),
        strip=strip(wait, rungs, ruling.stays, scope.ages, scope.workshop.tz),
    )


def _ruling(group: Group) -> Waited:
    """The wait that stood longest: the last one begun."""
    return max(group.waits, key=lambda one: (one.wait.began_at, one.wait.piece.tag))


def _one_each(group: Group) -> Iterable[Waited]:
    return {one.wait.piece_id: one for one in group.waits}.values()


def _act(event: Event) -> Act:
    subject = event.glue_up or event.coat or event.piece or event.place
    return Act(
        event.happened_at,
        event.kind,
        str(subject) if subject else "",
        event.person.name if event.person else say("export.odd.nobody"),
    )


def piece_lines(scope: Scope) -> tuple[PieceLine, ...]:
    """Each piece of the batch, or that something was done to, by its number."""
    pieces = _pieces(scope)
    parts = parts_of(scope.workshop)
    carried = {piece.id: closure([piece.id], parts) for piece in pieces}
    of_piece, of_group = _by_piece(scope), _by_group(scope)
    found = []
    for piece in pieces:
        own = carried[piece.id]
        events = {event.id: event for part in own for event in of_piece.get(part, ())}
        events |= {event.id: event for part in own for event in of_group.get(part, ())}
        acts = sorted(events.values(), key=lambda event: (event.happened_at, str(event.id)))
        found.append(PieceLine(piece.id, piece.tag, piece.what, tuple(_act(one) for one in acts)))
    return tuple(found)


def _pieces(scope: Scope) -> list[Piece]:
    if scope.batch is not None:
        return standing_pieces(scope.batch)[:MOST_PIECES]
    touched = {one.wait.piece_id for group in scope.groups for one in group.waits}
    touched |= {event.piece_id for event in scope.told if event.piece_id}
    return list(Piece.objects.filter(id__in=touched, struck_by=None).order_by("tag"))[:MOST_PIECES]


def _by_piece(scope: Scope) -> Mapping[UUID, Collection[Event]]:
    """What was told of a piece alone; what belongs to the other after a swap stands with that."""
    swaps = swaps_of(scope.workshop)
    found: dict[UUID, list[Event]] = {}
    for event in scope.told:
        if event.kind == "records_swapped":
            for end in ("first", "second"):
                found.setdefault(UUID(event.body[end]), []).append(event)
        elif event.piece_id is not None:
            meant = swaps.piece(event.piece_id, event.happened_at)
            found.setdefault(meant, []).append(event)
    return found


def _by_group(scope: Scope) -> Mapping[UUID, Collection[Event]]:
    """What was told of the glue-ups and coats that a piece has a joint or a zone in."""
    inside: dict[UUID, set[UUID]] = {}
    for group in scope.groups:
        for one in group.waits:
            inside.setdefault(group.id, set()).add(one.wait.piece_id)
    names = {one.wait.joint_id: one.wait.piece_id for g in scope.groups for one in g.waits}
    names |= {one.wait.zone_id: one.wait.piece_id for g in scope.groups for one in g.waits}
    found: dict[UUID, list[Event]] = {}
    for event in scope.told:
        subject = event.glue_up_id or event.coat_id
        if subject is None:
            continue
        named = (*event.body.get("joints", ()), *event.body.get("zones", ()))
        ids = [UUID(one["id"] if isinstance(one, dict) else one) for one in named]
        about = {names[one] for one in ids if one in names} if ids else inside.get(subject, set())
        for piece in about:
            found.setdefault(piece, []).append(event)
    return found
