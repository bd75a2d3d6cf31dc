"""Suspicion: doubt with a cause, found by walking a wait's own air, never by today's state."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from cureclock.core.clock import NEVER
from cureclock.core.felt import wood_at_c
from cureclock.core.floor import ColdSpans
from cureclock.core.ladder import response_for
from cureclock.core.response import Response
from cureclock.core.stance import Stance, fastest
from cureclock.core.timeline import Air
from cureclock.core.units import DAY_US, instant_us, moment_of
from cureclock.shop.glue_history import JointHistory
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.models import Gate, Leg, Suspicion, Wait
from cureclock.waits.wood import AIR, Stretch, Trail, Wood

WALKED = ("keep_warm", "clamps_off", "clamps_off_stressed", "total_assembly", "pot_life")
LEVEL_C = 20.0  # air of a place nobody has read: it cannot be found too cold
BROKE_IN_WOOD = 7  # tenths of wood torn from which a witness clears; common practice, no source


@dataclass(frozen=True)
class Cause:
    """What was found: the cause, when, how cold, what had been banked."""

    key: str
    at: datetime
    temp_c: float | None = None
    banked_us: int | None = None


class Walk:
    """Walks waits through their legs, from their start to keep-warm or to the cold.

    Args:
        ages: facts that span every leg.
    """

    def __init__(self, ages: Ages) -> None:
        self.ages = ages
        self._lines: dict[tuple[UUID, int, int], Air] = {}
        self._spans: dict[tuple[UUID, float, int, Wood], ColdSpans] = {}
        self._responses: dict[tuple[UUID, str], Response] = {}
        self._walked: dict[tuple[object, ...], Any] = {}

    def cold(self, wait: Wait, keep_warm: Gate, legs: Sequence[Leg]) -> Cause | None:
        """Where the film was first too cold, if it was before its keep-warm was banked.

        Joints pressed together in one place have one story: it is walked once.
        """
        key = (wait.label_id, wait.floor_c, wait.lag_s, keep_warm.began_at, _way(legs))
        if key not in self._walked:
            self._walked[key] = self._cold(wait, keep_warm, legs)
        found: Cause | None = self._walked[key]
        return found

    def _cold(self, wait: Wait, keep_warm: Gate, legs: Sequence[Leg]) -> Cause | None:
        assert wait.floor_c is not None
        response = self.response(wait, keep_warm)
        banked = 0
        for on in self._stretches(wait, legs):
            part = on.within(instant_us(keep_warm.began_at), self.known_us(on.place))
            if part is None:
                continue
            start, end = part
            found = self._crossing(on, wait.floor_c, start, end)
            until = end if found is None else found
            gained = self.ages.between(
                on.place, response, Stance.STRICT, start, until, wood=on.wood
            )
            if banked + gained >= keep_warm.need_us:
                return None
            if found is not None:
                temp = self._felt_c(on, found)
                return Cause("cold", moment_of(found), temp, banked + gained)
            banked += gained
        return None

    def _stretches(self, wait: Wait, legs: Sequence[Leg]) -> Sequence[Stretch]:
        """The clocks its wood ran on."""
        return Trail.of(wait, legs).stretches(self.ages.last_us)

    def _felt_c(self, on: Stretch, at_us: int) -> float:
        """The colder of air and wood at an instant [degC]."""
        air = self.line(on.place, wood=on.wood)
        own = self.ages.own_start(on.wood, LEVEL_C, Stance.STRICT)
        return min(float(air.temp_at(at_us)), wood_at_c(air, at_us, on.wood.lag_us, own))

    def response(self, wait: Wait, gate: Gate) -> Response:
        """How the wait's material feels the air for a gate, by its label."""
        key = (wait.label_id, gate.kind)
        if key not in self._responses:
            label = wait.label.label
            told = label.gate(gate.kind)
            assert told is not None
            self._responses[key] = response_for(label, told)
        return self._responses[key]

    def banked(
        self, wait: Wait, gate: Gate, stance: Stance, legs: Sequence[Leg], until: datetime
    ) -> int:
        """Label time banked from a gate's start to an instant, over every leg between."""
        key = (wait.label_id, wait.lag_s, gate.kind, gate.began_at, stance, until, _way(legs))
        if key not in self._walked:
            self._walked[key] = self._banked(wait, gate, stance, legs, until)
        return int(self._walked[key])

    def _banked(
        self, wait: Wait, gate: Gate, stance: Stance, legs: Sequence[Leg], until: datetime
    ) -> int:
        response = self.response(wait, gate)
        total = 0
        for on in self._stretches(wait, legs):
            if part := on.within(instant_us(gate.began_at), instant_us(until)):
                total += self.ages.between(on.place, response, stance, *part, wood=on.wood)
        return total

    def at_most(self, wait: Wait, gate: Gate, legs: Sequence[Leg], until: datetime) -> int:
        """The most that can have been banked by an instant, whatever the next reading says.

        Air that no measurement has closed yet counts as warm as a careful clock ever runs.
        """
        response = self.response(wait, gate)
        cap = fastest(Stance.SLOW, response)
        total = 0.0
        for on in self._stretches(wait, legs):
            part = on.within(instant_us(gate.began_at), instant_us(until))
            if part is None:
                continue
            start, end = part
            known = min(max(self.known_us(on.place), start), end)
            if known > start:
                total += self.ages.between(
                    on.place, response, Stance.SLOW, start, known, wood=on.wood
                )
            total += (end - known) * cap
        return int(total)

    def known_us(self, place: Place) -> int:
        """Instant up to which a place's air is known [us]; what is colder later is foretold."""
        air = self.ages.air(place)
        return int(air.cautious.at_us[-1]) if len(air.cautious) else -NEVER

    def line(self, place: Place, ahead_days: int = 0, wood: Wood = AIR) -> Air:
        """The place's air as far back as wood remembers, gaps counted at the colder of what they
        may be."""
        key = (place.id, ahead_days, wood.lag_us)
        if key not in self._lines:
            self.ages.reach_back(place, wood.lag_us)
            until_us = self.ages.until_us + ahead_days * DAY_US
            self._lines[key] = self.ages.air(place).line(
                self.ages.from_us, until_us, LEVEL_C, cautious=True, colder_gaps=True
            )
        return self._lines[key]

    def below(
        self, place: Place, floor_c: float, ahead_days: int = 0, wood: Wood = AIR
    ) -> ColdSpans:
        """When a place's air, or wood in it, is below a floor."""
        key = (place.id, floor_c, ahead_days, wood)
        if key not in self._spans:
            air = self.line(place, ahead_days, wood)
            own = self.ages.own_start(wood, LEVEL_C, Stance.STRICT)
            self._spans[key] = ColdSpans.of(air, floor_c, wood.lag_us, own)
        return self._spans[key]

    def _crossing(self, on: Stretch, floor_c: float, start_us: int, end_us: int) -> int | None:
        found = int(self.below(on.place, floor_c, wood=on.wood).first_from(start_us))
        return found if found < end_us else None


def _way(legs: Sequence[Leg]) -> tuple[object, ...]:
    """Where a wait stood and when, as one thing to be looked up by."""
    return tuple((leg.place_id, leg.began_at, leg.ended_at) for leg in legs)


def short_acts(
    wait: Wait,
    story: JointHistory,
    gates: dict[str, Gate],
    legs: Sequence[Leg],
    walk: Walk,
) -> Iterable[Cause]:
    """Clamps off before their gate; pressed after the assembly time; used past the pot life."""
    off = gates.get("clamps_off") or gates.get("clamps_off_stressed")
    off_at = story.off_at
    # On air that is still assumed they are in doubt only if no air could have made it good.
    if off and off_at and walk.at_most(wait, off, legs, off_at) < off.need_us:
        yield Cause("off_early", off_at, None, walk.banked(wait, off, Stance.SLOW, legs, off_at))
    for key, cause in (("total_assembly", "pressed_late"), ("pot_life", "pot_life_over")):
        gate = gates.get(key)
        if gate is None or story.pressure_at is None:
            continue
        if walk.banked(wait, gate, Stance.QUICK, legs, story.pressure_at) > gate.need_us:
            yield Cause(cause, story.pressure_at)


def assess(
    waits: Sequence[Wait], stories: dict[UUID, JointHistory], ages: Ages
) -> tuple[list[Suspicion], list[Suspicion]]:
    """Bring the suspicions of waits in step with the facts; those found anew, those withdrawn."""
    walk = Walk(ages)
    gates: dict[UUID, dict[str, Gate]] = {}
    for gate in Gate.objects.filter(wait__in=waits, kind__in=WALKED):
        gates.setdefault(gate.wait_id, {})[gate.kind] = gate
    legs: dict[UUID, list[Leg]] = {}
    for leg in Leg.objects.filter(wait__in=waits).select_related("place__workshop"):
        legs.setdefault(leg.wait_id, []).append(leg)
    before = {row.id: row for row in Suspicion.objects.filter(wait__in=waits)}
    now: dict[UUID, Suspicion] = {}
    for wait in waits:
        for cause in _causes(wait, gates.get(wait.id, {}), legs[wait.id], stories, walk):
            row = _row(wait, cause, stories.get(wait.joint_id) if wait.joint_id else None)
            now[row.id] = row
    Suspicion.objects.filter(id__in=before.keys() - now.keys()).delete()
    Suspicion.objects.bulk_create(
        now.values(),
        update_conflicts=True,
        unique_fields=["id"],
        update_fields=["at", "temp_c", "banked_us", "cleared_by"],
    )
    found = [row for key, row in now.items() if key not in before]
    return found, [row for key, row in before.items() if key not in now]


def _causes(
    wait: Wait,
    gates: dict[str, Gate],
    legs: Sequence[Leg],
    stories: dict[UUID, JointHistory],
    walk: Walk,
) -> Iterable[Cause]:
    keep_warm = gates.get("keep_warm")
    if keep_warm is not None and wait.floor_c is not None:
        cold = walk.cold(wait, keep_warm, legs)
        if cold is not None:
            yield cold
    story = stories.get(wait.joint_id) if wait.joint_id else None
    if story is not None:
        yield from short_acts(wait, story, gates, legs, walk)
        yield from (Cause("override", at) for at, _, _ in story.overrides[:1])


def _row(wait: Wait, cause: Cause, story: JointHistory | None) -> Suspicion:
    """A suspicion with the witness that cleared it, if one broke in wood after its cause."""
    cleared = next(
        (
            event
            for at, torn, event in (story.witnesses if story else ())
            if at >= cause.at and torn >= BROKE_IN_WOOD
        ),
        None,
    )
    return Suspicion(
        id=uuid5(wait.id, f"suspect {cause.key}"),
        workshop_id=wait.workshop_id,
        wait=wait,
        cause=cause.key,
        at=cause.at,
        temp_c=cause.temp_c,
        banked_us=cause.banked_us,
        cleared_by=cleared,
    )
