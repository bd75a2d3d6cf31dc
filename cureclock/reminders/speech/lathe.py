"""What is said of the lathe: asked anew for each piece, and never a yes in bulk."""

from collections.abc import Collection, Sequence
from uuid import UUID

from cureclock.core.lathe import Answer, Word
from cureclock.core.reminding.alerts import AskLathe, Subject, Sure
from cureclock.reminders.models import Alert
from cureclock.reminders.speech.spoken import NOTHING, Facts, Spoken, waits_of
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Joint, Piece, Workshop
from cureclock.waits.current import Rung
from cureclock.waits.lathe import spin_answers

WORTH_ASKING = (Word.YES, Word.UNSURE, Word.UNKNOWN)  # what a person at the lathe can settle


def ask_lathe(alert: Alert, facts: Facts) -> Spoken:
    """Pieces whose joints are all past: told to ask for, one by one.

    A piece with a joint that is short, suspect or never pressed, or with a hold on, is not
    named: the answer is known. The joint that was the last to pass brings the alert.
    """
    rungs = [r for r in facts.rungs(alert, "spin") if r.gate.state == r.gate.State.REACHED]
    if not rungs:
        return NOTHING
    workshop = facts.found.workshop
    pieces = _wholes(workshop, {rung.wait.piece_id for rung in rungs})
    answers = spin_answers(workshop, pieces, facts.at)
    asked = [piece for piece in pieces if answers[piece.id].word in WORTH_ASKING]
    if not asked:
        return NOTHING
    link = f"/piece/{asked[0].id}"
    if len(asked) == 1 and answers[asked[0].id].word == Word.YES:
        said: object = _sure(alert, asked[0], answers[asked[0].id], workshop)
    else:
        said = AskLathe(_subject(alert, asked, rungs))
    return Spoken(said, waits_of(rungs), link)


def _wholes(workshop: Workshop, carried: Collection[UUID]) -> list[Piece]:
    """The pieces that these were made into and that are part of nothing else."""
    made_into: dict[UUID, set[UUID]] = {}
    for whole, parts in parts_of(workshop).items():
        for part in parts:
            made_into.setdefault(part, set()).add(whole)
    tops = {one for one in closure(carried, made_into) if not made_into.get(one)}
    return list(Piece.objects.filter(id__in=tops).select_related("workshop").order_by("tag"))


def _subject(alert: Alert, pieces: Sequence[Piece], rungs: Sequence[Rung]) -> Subject:
    glue_up = rungs[0].wait.glue_up
    return Subject(
        key=str(alert.about),
        called=str(glue_up) if glue_up and len(pieces) > 1 else "",
        tags=[piece.tag for piece in pieces],
        part=int(alert.said.get("part", alert.seq)),
    )


def _sure(alert: Alert, piece: Piece, answer: Answer, workshop: Workshop) -> Sure:
    carried = closure([piece.id], parts_of(workshop))
    joints = Joint.objects.filter(piece__in=carried).exclude(waits__open=False).count()
    subject = Subject(
        str(alert.about), tags=[piece.tag], part=int(alert.said.get("part", alert.seq))
    )
    return Sure(subject, max(joints, 1), answer.blame)
