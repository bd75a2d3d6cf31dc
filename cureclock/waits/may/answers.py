"""May I? The acts that can be asked for, and the answer for each of many pieces."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from cureclock.core.answers import together
from cureclock.core.coat.may import (
    ZoneState,
    may_coat,
    may_handle,
    may_scuff,
    may_use,
    may_wrap,
)
from cureclock.core.holding import FINISH, WRAP, at_that_end, blocks
from cureclock.core.lathe import Answer, Reason, Word
from cureclock.core.materials.library import library
from cureclock.core.units import instant_us
from cureclock.core.work import HoldOn
from cureclock.shop.holds import PieceWords, off_before, said_of
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Hold, Workshop
from cureclock.shop.refusals import Refusal
from cureclock.waits.lathe import SERVICE, SPIN, WET, sure_answers
from cureclock.waits.may.films import Films, films_on
from cureclock.waits.may.work import work_answers
from cureclock.waits.models import Wait

WORK = ("light", "heavy", "final_surfacing", "sand_glue_line")
SURE = (SPIN, SERVICE, WET)
ZONES = ("coat", "scuff", "hang", "turn_over", "wrap", "use")
ACTS = (*SURE, *WORK, *ZONES)
HURTS = (*SURE, "use")  # nobody says yes to these for many at once
OF_ONE_ZONE = ("coat", "scuff", "hang")
NO_JOINT = ("joints_not_declared", "phone_unsent", "flagged_low")  # said of a piece without any


@dataclass(frozen=True)
class Asked:
    """What is known of one zone when an act is asked for."""

    ident: UUID
    state: ZoneState
    holds: Sequence[Hold]
    cautions: tuple[str, ...]
    at_us: int

    def holding(self, step: str) -> list[HoldOn]:
        """The holds on its piece, and whether each is in the way of a step on this zone."""
        return [HoldOn(hold.what, self._in_the_way(hold, step)) for hold in self.holds]

    def _in_the_way(self, hold: Hold, step: str) -> bool:
        if step == WRAP:
            return True
        steps = off_before(hold)
        if at_that_end(steps):
            return hold.zone_id == self.ident
        return blocks(steps, step)


RULES: Mapping[str, Callable[[Asked], Answer]] = {
    "coat": lambda one: may_coat(one.state, one.holding(FINISH), one.at_us, one.cautions),
    "scuff": lambda one: may_scuff(one.state, one.at_us),
    "hang": lambda one: may_handle(one.state, one.at_us),
    "turn_over": lambda one: may_handle(one.state, one.at_us),
    "wrap": lambda one: may_wrap(one.state, one.holding(WRAP), one.at_us),
    "use": lambda one: may_use(one.state, one.at_us),
}


def may(
    workshop: Workshop, pieces: Collection[UUID], act: str, at: datetime, zone: str = ""
) -> dict[UUID, Answer]:
    """One answer for each piece, by a number of queries that does not grow with them.

    Args:
        workshop: whose they are.
        pieces: those asked about.
        act: one of ACTS.
        at: the instant of the question.
        zone: for what is done to one zone, its name or id; else every zone must allow it.
    """
    if act not in ACTS:
        raise Refusal("act", f"{act[:40]!r} is not asked for here", f"one of {', '.join(ACTS)}")
    if zone and act not in OF_ONE_ZONE:
        raise Refusal("zone", f"nobody can {act} one zone", "leave it out")
    if act in SURE:
        answers = sure_answers(workshop, pieces, act, at)
        cautions = ("lathe",) if act == SPIN else ("limits",)
        return {piece: replace(one, cautions=cautions) for piece, one in answers.items()}
    if act in WORK:
        return work_answers(workshop, pieces, act, at)
    answers = _of_zones(workshop, pieces, act, zone, at)
    if act == "coat":
        return _with_surfacing(workshop, answers, at)
    return _with_load(workshop, answers, at) if act == "use" else answers


def _with_load(
    workshop: Workshop, answers: Mapping[UUID, Answer], at: datetime
) -> dict[UUID, Answer]:
    """The joints have to bear the load as well, of pieces that have any, or had some that opened."""
    load = sure_answers(workshop, answers, SERVICE, at)
    bare = {
        piece
        for piece, one in load.items()
        if all(reason.key in NO_JOINT for reason in one.reasons)
    }
    bare -= _once_glued(workshop, bare)
    return {
        piece: one if piece in bare else together([replace(load[piece], cautions=("limits",)), one])
        for piece, one in answers.items()
    }


def _once_glued(workshop: Workshop, pieces: Collection[UUID]) -> set[UUID]:
    """Those that hold a joint by their history, though none of them may be left."""
    if not pieces:
        return set()
    links = parts_of(workshop)
    parts = {piece: closure([piece], links) for piece in pieces}
    waits = Wait.objects.filter(joint__piece__in=set().union(*parts.values()))
    glued = set(waits.values_list("joint__piece_id", flat=True))
    return {piece for piece, own in parts.items() if not glued.isdisjoint(own)}


def _with_surfacing(
    workshop: Workshop, answers: Mapping[UUID, Answer], at: datetime
) -> dict[UUID, Answer]:
    """Joints that will still sink are named; whether that shows under this finish nobody knows."""
    surfacing = work_answers(workshop, answers, "final_surfacing", at)
    told = dict(answers)
    for piece, one in surfacing.items():
        short = [reason for reason in one.reasons if reason.key == "short"][:1]
        notes = tuple(replace(reason, key="joints_will_sink") for reason in short)
        told[piece] = replace(answers[piece], reasons=(*answers[piece].reasons, *notes))
    return told


def _of_zones(
    workshop: Workshop, pieces: Collection[UUID], act: str, zone: str, at: datetime
) -> dict[UUID, Answer]:
    links = parts_of(workshop)
    parts = {piece: closure([piece], links) for piece in pieces}
    every = set().union(*parts.values())
    films, words = films_on(workshop, every, at), said_of(every)
    answers = {}
    for piece, own in parts.items():
        holds = _holds(words, own)
        asked = [
            Asked(ident, state, holds, _cautions(films, ident, act), instant_us(at))
            for ident, state in _zones(films, own, act, zone)
        ]
        answers[piece] = (
            together([RULES[act](one) for one in asked]) if asked else _no_zone(act, zone)
        )
    return answers


def _zones(
    films: Films, parts: Collection[UUID], act: str, zone: str
) -> list[tuple[UUID, ZoneState]]:
    """The zones that have a say: the one that is named, else all that are not to stay bare."""
    known = [one for part in parts for one in films.zones.get(part, ())]
    known.sort(key=lambda one: (one[1].name, str(one[0])))
    if zone:
        return [one for one in known if zone in (one[1].name, str(one[0]))]
    return [one for one in known if not one[1].keep_bare] if act in OF_ONE_ZONE else known


def _no_zone(act: str, zone: str) -> Answer:
    """A piece without zones hangs, turns and is wrapped as it is; nobody said what to coat."""
    if zone or act in ("coat", "scuff"):
        return Answer(Word.UNKNOWN, None, zone, (Reason("no_such_zone", zone),), ())
    return Answer(Word.YES, None, "", (Reason("no_film"),), ())


def _holds(words: PieceWords, parts: Collection[UUID]) -> list[Hold]:
    holds = [hold for part in parts for hold in words.holds.get(part, ())]
    return sorted(holds, key=lambda hold: (hold.what, str(hold.id)))


def _cautions(films: Films, zone: UUID, act: str) -> tuple[str, ...]:
    """What is said of the finish that is on it, where more of the same goes on."""
    if act != "coat" or zone not in films.labels:
        return ()
    return library().families[films.families[films.labels[zone]]].cautions
