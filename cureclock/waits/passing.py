"""Gates that passed one of their figures on many clocks: found and marked in a few questions."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from cureclock.core.stance import Stance
from cureclock.waits.clocks import effective
from cureclock.waits.models import Clock, Gate
from cureclock.waits.standing import ACTS, SURE, THRESHOLDS, WARNS, Standing, Threshold, standing


class Figure(StrEnum):
    """Which figure of a gate was passed."""

    OPENS = "opens"
    SURE = "sure"
    WARNS = "warns"
    CLOSES = "closes"


@dataclass(frozen=True, slots=True)
class Passed:
    """A gate that passed one of its figures.

    Attributes:
        at: when it did, by what is known of the air.
        about: the glue-up, coat or hold; `subject` says which of these it is.
    """

    gate: UUID
    wait: UUID
    kind: str
    figure: Figure
    at: datetime
    workshop: UUID
    place: UUID
    about: UUID
    subject: str


@dataclass(frozen=True, slots=True)
class Marked:
    """A gate that was just marked, and its effective threshold on its clock."""

    figure: Figure
    gate: Standing
    threshold_us: int

    def passed(self, at: datetime) -> Passed:
        """What is known of it, once it is known when it passed."""
        gate = self.gate
        subjects = (("glue_up", gate.glue_up), ("coat", gate.coat), ("hold", gate.hold))
        subject, about = next((name, one) for name, one in subjects if one is not None)
        return Passed(
            gate=gate.id,
            wait=gate.wait,
            kind=gate.kind,
            figure=self.figure,
            at=at,
            workshop=gate.workshop,
            place=gate.place,
            about=about,
            subject=subject,
        )


FIRED = {  # on the clocks of a stance
    Stance.SLOW: (ACTS,),
    Stance.STRICT: (ACTS,),
    Stance.QUICK: (ACTS, WARNS),
    Stance.SLOW_SURE: (SURE,),
    Stance.STRICT_SURE: (SURE,),
}


def mark(aged: Sequence[tuple[Clock, int]], at: datetime, most: int) -> dict[int, list[Marked]]:
    """Mark the gates that clocks have passed, by the clock's key; those passed first come first.

    Gates that somebody else is writing are passed over: they stay due.

    Args:
        aged: clocks and their ages [us], in the order of their turn.
        at: now.
        most: at most so many gates of each figure.
    """
    found: dict[int, list[Marked]] = {}
    for threshold in THRESHOLDS:  # in this order: of what has closed nobody is warned any more
        own = [one for one in aged if threshold in FIRED.get(Stance(one[0].stance), ())]
        here = _passed(threshold, own, most)
        _write(threshold, here, at)
        for one in here:
            found.setdefault(one.gate.clock, []).append(one)
    return found


def _passed(threshold: Threshold, aged: Sequence[tuple[Clock, int]], most: int) -> list[Marked]:
    """The gates whose effective threshold is passed; locked."""
    ages = {row.pk: (row, age_us) for row, age_us in aged}
    reach = [
        (row.pk, age_us + sum(max(-constant, 0) for _, _, constant in row.corrections))
        for row, age_us in aged
    ]
    found = []
    for gate in standing(threshold, reach, most=most):
        row, age_us = ages[gate.clock]
        threshold_us = effective(row, gate.threshold, gate.placed, gate.stay_at)
        if threshold_us <= age_us:
            found.append(Marked(_figure(threshold, gate), gate, threshold_us))
    return found


def _figure(threshold: Threshold, gate: Standing) -> Figure:
    if threshold is ACTS:
        return Figure.OPENS if gate.opens else Figure.CLOSES
    return Figure.WARNS if threshold is WARNS else Figure.SURE


def _write(threshold: Threshold, marked: Sequence[Marked], at: datetime) -> None:
    if not marked:
        return
    gates = Gate.objects.filter(pk__in=[one.gate.id for one in marked])
    if threshold is WARNS:
        gates.update(state=Gate.State.WARNED)
    else:
        gates.update(state=Gate.State.REACHED, reached_at=at)
