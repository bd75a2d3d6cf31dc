"""May it spin? Everything the answer needs, gathered for many pieces in a few queries."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np
from django.db.models import Max
from django.db.models.functions import Coalesce

from cureclock.core.clock import NEVER
from cureclock.core.lathe import Answer, JointState, PieceState, may_spin
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us
from cureclock.shop.air import nights_measured
from cureclock.shop.holds import PieceWords, said_of
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Joint, Phone, Piece, Place, Reading, Workshop
from cureclock.waits.ages import response_of
from cureclock.waits.coldest import ColdestAges
from cureclock.waits.models import Gate, Leg, Suspicion

SPINS_WITH = ("finish", "finish_of_that_end")  # holds that may stay on for the lathe


def spin_answer(piece: Piece, at: datetime) -> Answer:
    """May this piece spin, asked at an instant?"""
    return spin_answers(piece.workshop, [piece], at)[piece.id]


def spin_answers(workshop: Workshop, pieces: Sequence[Piece], at: datetime) -> dict[UUID, Answer]:
    """May each of these pieces spin? The number of queries does not grow with the pieces."""
    parts = parts_of(workshop)
    carried = {piece.id: closure([piece.id], parts) for piece in pieces}
    every = set().union(*carried.values())
    joints = _standing_joints(every)
    clocked = _clocked(joints)
    states = _states(joints, clocked, at)
    words, flagged = said_of(every), _flagged(clocked)
    unsent = Phone.objects.filter(workshop=workshop, unpaired_at=None, unsent__gt=0)
    phones = list(unsent.values_list("name", flat=True))
    answers = {}
    for piece in pieces:
        state = _piece_state(
            piece,
            carried=carried[piece.id],
            states=states,
            words=words,
            flagged=flagged,
            phones=phones,
        )
        answers[piece.id] = may_spin(state, instant_us(at))
    return answers


@dataclass(frozen=True)
class Clocked:
    """A joint with its running spin gate."""

    gate: Gate
    legs: Sequence[Leg]

    @property
    def place(self) -> Place:
        """Where it stands now."""
        return self.legs[-1].place


@dataclass(frozen=True)
class Known:
    """A joint's state and where it stands."""

    joint: Joint
    state: JointState
    place: UUID | None


def _standing_joints(parts: Collection[UUID]) -> list[Joint]:
    """Joints on these parts that are not gone (opened, split, or their piece lost)."""
    rows = Joint.objects.filter(piece__in=parts).exclude(waits__open=False)
    return list(rows.select_related("glue_up__label").order_by("name", "id"))


def _clocked(joints: Sequence[Joint]) -> dict[UUID, Clocked]:
    """The running spin gate of each joint that has one."""
    gates = (
        Gate.objects.with_clocks()
        .select_related("wait__label")
        .filter(kind="spin", wait__joint__in=joints)
    )
    legs: dict[UUID, list[Leg]] = {}
    rows = Leg.objects.filter(wait__joint__in=joints).select_related("place__workshop")
    for leg in rows:
        legs.setdefault(leg.wait_id, []).append(leg)
    return {
        gate.wait.joint_id: Clocked(gate, legs[gate.wait_id])
        for gate in gates
        if gate.wait.joint_id is not None
    }


def _states(joints: Sequence[Joint], clocked: Mapping[UUID, Clocked], at: datetime) -> list[Known]:
    suspect = _suspect(joints)
    since = min((leg.began_at for one in clocked.values() for leg in one.legs), default=at)
    ages = ColdestAges(min(since, at), at)
    sure = _sure_instants(clocked, ages)
    places = {one.place.id: one.place for one in clocked.values()}
    newest = _newest(places)
    nights = {
        ident: nights_measured(ages.air(place), at, place.workshop.tz)
        for ident, place in places.items()
    }
    found = []
    for joint in joints:
        one = clocked.get(joint.id)
        label = (one.gate.wait.label if one else joint.glue_up.label).label.gate("spin")
        state = JointState(
            name=joint.name,
            sure_us=sure.get(joint.id, NEVER),
            offered=label is not None,
            pressed=one is not None,
            suspect=suspect.get(joint.id, ""),
            unread_label=label is not None and not label.read,
            assumed=one is not None and _assumed(one, ages, min(sure[joint.id], instant_us(at))),
            reading_us=newest.get(one.place.id) if one else None,
            nights_known=nights[one.place.id] if one else 0,
        )
        found.append(Known(joint, state, one.place.id if one else None))
    return found


def _suspect(joints: Sequence[Joint]) -> dict[UUID, str]:
    """The earliest cause that stands against each joint."""
    rows = Suspicion.objects.filter(wait__joint__in=joints, cleared_by=None)
    causes = rows.order_by("-at").values_list("wait__joint_id", "cause")
    return {joint: cause for joint, cause in causes if joint is not None}


def _sure_instants(clocked: Mapping[UUID, Clocked], ages: ColdestAges) -> dict[UUID, int]:
    """When each joint is past sure, assumed legs counted at the coldest plausible."""
    groups: dict[tuple[UUID, int], list[tuple[UUID, Clocked]]] = {}
    for joint, one in clocked.items():
        if one.gate.sure_clock is not None:
            key = (one.place.id, one.gate.sure_clock.pk)
            groups.setdefault(key, []).append((joint, one))
    found: dict[UUID, int] = {}
    for group in groups.values():
        first = group[0][1]
        assert first.gate.sure_clock is not None
        response = response_of(first.gate.sure_clock.response)
        stay = np.array([instant_us(one.gate.stay_at) for _, one in group], dtype=np.int64)
        need = np.array([_still_needed(one, ages) for _, one in group], dtype=np.int64)
        clock = ages.clock(first.place, response, Stance.STRICT_SURE)
        sure = clock.earliest(clock.age_at(stay) + need)
        found.update(zip((joint for joint, _ in group), sure.tolist(), strict=True))
    return found


def _still_needed(one: Clocked, ages: ColdestAges) -> int:
    """What the sure figure still needs at the start of the present stay."""
    gate = one.gate
    assert gate.sure_clock is not None
    assert gate.sure_need_us is not None
    response = response_of(gate.sure_clock.response)
    spent = sum(
        ages.between(leg.place, response, Stance.STRICT_SURE, begun, ended)
        for leg, begun, ended in _earlier(one)
    )
    return gate.sure_need_us - spent


def _earlier(one: Clocked) -> Iterable[tuple[Leg, int, int]]:
    """The stays before the present one, as far as the gate ran in them."""
    for leg in one.legs[:-1]:
        begun = max(leg.began_at, one.gate.began_at)
        if leg.ended_at is not None and leg.ended_at > begun:
            yield leg, instant_us(begun), instant_us(leg.ended_at)


def _assumed(one: Clocked, ages: ColdestAges, until_us: int) -> bool:
    """Whether any air it ran on, up to its sure instant or now, is still assumed."""
    spans = [(leg.place, begun, ended) for leg, begun, ended in _earlier(one)]
    spans.append((one.place, instant_us(one.gate.stay_at), until_us))
    return any(
        int(
            ages.line(place, 20.0, ages.until_us, Stance.STRICT_SURE).assumed_us(
                begun, max(begun, ended)
            )
        )
        > 0
        for place, begun, ended in spans
    )


def _newest(places: Mapping[UUID, Place]) -> dict[UUID, int]:
    """The newest reading or min-max entry of each place; an entry counts from when it was told."""
    rows = Reading.objects.filter(place__in=places, struck_by=None).exclude(flag="high")
    told = rows.values("place").annotate(newest=Max(Coalesce("told_at", "at")))
    return {row["place"]: instant_us(row["newest"]) for row in told}


def _flagged(clocked: Mapping[UUID, Clocked]) -> set[UUID]:
    """Places with a low reading that looks wrong and counts until somebody rules."""
    places = {one.place.id for one in clocked.values()}
    rows = Reading.objects.filter(place__in=places, struck_by=None, flag="low")
    return set(rows.values_list("place_id", flat=True))


def _piece_state(
    piece: Piece,
    *,
    carried: Collection[UUID],
    states: Sequence[Known],
    words: PieceWords,
    flagged: Collection[UUID],
    phones: Sequence[str],
) -> PieceState:
    own = [known for known in states if known.joint.piece_id in carried]
    holds = [hold for part in carried for hold in words.holds.get(part, ())]
    return PieceState(
        joints=[known.state for known in own],
        all_declared=piece.id in words.declared,
        holds_on=[hold.what for hold in holds if hold.off_before not in SPINS_WITH],
        flagged_low=any(known.place in flagged for known in own),
        unsent_phones=phones,
    )
