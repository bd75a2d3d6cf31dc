"""Which pieces may spin: asked for each by itself, and never before its figures are past."""

from collections.abc import Iterable, Sequence
from uuid import UUID

from cureclock.core.lathe import Answer, Word
from cureclock.core.units import moment_of
from cureclock.shop.lineage import closure, parts_of, wholes_of
from cureclock.shop.models import Piece
from cureclock.waits.alike import Member
from cureclock.waits.current import Current, Rung
from cureclock.waits.group_gates import FAR
from cureclock.waits.lathe import spin_answers
from cureclock.waits.line import Line
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Gate

Joint = tuple[Rung, Member]  # what waits, and for which of those it speaks for


def spin_lines(found: Current) -> tuple[list[Line], list[Line]]:
    """Lines of pieces that may spin, and of those that may not though their time is past.

    Only a whole is asked for: what was glued into something else is not put on a lathe by
    itself. Of a piece with a joint that is short of sure nothing is asked: the answer is known.
    """
    past = {
        piece: joints
        for piece, joints in _carried(found).items()
        if all(rung.reached(found.at) and not found.suspect(rung.wait) for rung, _ in joints)
    }
    pieces = list(Piece.objects.filter(id__in=past).select_related("workshop").order_by("tag"))
    answers = spin_answers(found.workshop, pieces, found.at) if pieces else {}
    ruling = {piece.id: _ruling(past[piece.id]) for piece in pieces}
    gates = _gates_of(ruling.values())
    may: list[Line] = []
    may_not: list[Line] = []
    for piece in pieces:
        rung, member = ruling[piece.id]
        line = _line(piece, rung, gates.get(member.wait, rung.gate.id), answers[piece.id])
        (may if answers[piece.id].word == Word.YES else may_not).append(line)
    return may, may_not


def _carried(found: Current) -> dict[UUID, list[Joint]]:
    """The spin rungs that each whole carries, its own and those of its parts."""
    spin = [
        rung
        for rungs in found.rungs.values()
        for rung in rungs
        if rung.gate.kind == "spin" and not rung.over
    ]
    made_into = wholes_of(parts_of(found.workshop))
    carried: dict[UUID, list[Joint]] = {}
    for rung in spin:
        for member in rung.members:
            for whole in closure([member.piece], made_into):
                if not made_into.get(whole):
                    carried.setdefault(whole, []).append((rung, member))
    return carried


def _ruling(joints: Sequence[Joint]) -> Joint:
    """The one that is sure last."""
    return max(joints, key=lambda joint: joint[0].acts or FAR)


def _gates_of(ruling: Iterable[Joint]) -> dict[UUID, UUID]:
    """The gate of each wait that another stands for, by the wait: its own sum is opened."""
    waits = {member.wait for rung, member in ruling if member.wait != rung.wait.id}
    if not waits:
        return {}
    return dict(Gate.objects.filter(wait__in=waits, kind="spin").values_list("wait", "id"))


def _line(piece: Piece, ruling: Rung, gate: UUID, answer: Answer) -> Line:
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
        why_id=gate,
        reason="" if yes else answer.reasons[0].key,
        cautions=answer.cautions,
    )
