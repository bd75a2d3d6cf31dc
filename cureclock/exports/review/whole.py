"""A review, put together."""

from cureclock.core.lathe import Word
from cureclock.exports.review.changes import changes
from cureclock.exports.review.figures import figures
from cureclock.exports.review.lines import group_lines, piece_lines
from cureclock.exports.review.mistakes import mistakes, oddities
from cureclock.exports.review.planned import against, coldest
from cureclock.exports.review.scope import Scope
from cureclock.exports.review.shapes import Review, Waiting
from cureclock.shop.lineage import parts_of
from cureclock.shop.models import Piece
from cureclock.shop.swaps import swaps_of
from cureclock.waits.lathe import spin_answers
from cureclock.waits.pieces import lost_pieces, standing_pieces
from cureclock.waits.shown import PieceTag, Thing


def review(scope: Scope) -> Review:
    """What really happened, what was early, cold, late, lost, and what to change."""
    batch = scope.batch
    return Review(
        batch=Thing(batch.id, batch.name) if batch else None,
        since=scope.since,
        until=scope.until,
        figures=figures(scope),
        mistakes=mistakes(scope),
        coldest=coldest(scope),
        against=against(scope),
        changes=changes(scope),
        odd=oddities(scope),
        groups=group_lines(scope),
        pieces=piece_lines(scope),
        waiting=_waiting(scope),
    )


def _waiting(scope: Scope) -> tuple[Waiting, ...]:
    """What each piece may now, at the lathe; a yes is asked for by itself, so it is no yes here."""
    parts = parts_of(scope.workshop)
    inside = {part for own in parts.values() for part in own}
    gone = lost_pieces(scope.workshop, swaps_of(scope.workshop))
    if scope.batch is not None:
        ids = {piece.id for piece in standing_pieces(scope.batch)}
    else:
        ids = {one.wait.piece_id for group in scope.groups for one in group.waits}
    tops = Piece.objects.filter(id__in=ids - inside - gone, struck_by=None).order_by("tag")
    rows = list(tops)
    answers = spin_answers(scope.workshop, rows, scope.at)
    words: dict[str, list[PieceTag]] = {}
    for piece in rows:
        word = answers[piece.id].word
        told = "ask" if word == Word.YES else str(word)
        words.setdefault(told, []).append(PieceTag(piece.id, piece.tag))
    return tuple(Waiting(word, tuple(pieces)) for word, pieces in words.items())
