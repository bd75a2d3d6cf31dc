"""Which pieces may spin: asked for each by itself, and never before its figures are past."""

from collections.abc import Sequence
from uuid import UUID

from cureclock.core.lathe import Answer, Word
from cureclock.core.units import moment_of
from cureclock.shop.lineage import closure, parts_of, wholes_of
from cureclock.shop.models import Piece
from cureclock.waits.current import Current, Rung
from cureclock.waits.group_gates import FAR
from cureclock.waits.lathe import spin_answers
from cureclock.waits.line import Line
from cureclock.waits.minute import to_minute


def spin_lines(found: Current) -> tuple[list[Line], list[Line]]:
    """Lines of pieces that may spin, and of those that may not though their time is past.

    Only a whole is asked for: what was glued into something else is not put on a lathe by
    itself. Of a piece with a joint that is short of sure nothing is asked: the answer is known.
    """
    past = {
        piece: rungs
        for piece, rungs in _carried(found).items()
        if all(rung.reached(found.at) and not found.suspect(rung.wait) for rung in rungs)
    }
    pieces = list(Piece.objects.filter(id__in=past).select_related("workshop").order_by("tag"))
    answers = spin_answers(found.workshop, pieces, found.at) if pieces else {}
    may: list[Line] = []
    may_not: list[Line] = []
    for piece in pieces:
        line = _line(piece, _ruling(past[piece.id]), answers[piece.id])
        (may if answers[piece.id].word == Word.YES else may_not).append(line)
    return may, may_not


def _carried(found: Current) -> dict[UUID, list[Rung]]:
    """The spin rungs that each whole carries, its own and those of its parts."""
    spin = [
        rung
        for rungs in found.rungs.values()
        for rung in rungs
        if rung.gate.kind == "spin" and not rung.over
    ]
    made_into = wholes_of(parts_of(found.workshop))
    carried: dict[UUID, list[Rung]] = {}
    for rung in spin:
        for member in rung.members:
            for whole in closure([member.piece], made_into):
                if not made_into.get(whole):
                    carried.setdefault(whole, []).append(rung)
    return carried


def _ruling(rungs: Sequence[Rung]) -> Rung:
    """The one that is sure last."""
    return max(rungs, key=lambda rung: rung.acts or FAR)


def _line(piece: Piece, ruling: Rung, answer: Answer) -> Line:
    yes = answer.word == Word.YES
    until = None if answer.until_us is None else to_minute(moment_of(answer.until_us), opens=True)
    return Line(
        act="spin",
        group=ruling.wait.glue_up_id,
        name=piece.tag,
        pieces=(piece.tag,),
        place=ruling.wait.place.name,
        place_id=ruling.wait.place_id,
        at=to_minute(ruling.acts, opens=True) if yes else until,
        until=None,
        reason="" if yes else answer.reasons[0].key,
        cautions=answer.cautions,
    )
