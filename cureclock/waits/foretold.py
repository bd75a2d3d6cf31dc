"""What the expected air will spoil or put to sleep, and the latest good time to do about it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from cureclock.core.clock import NEVER, Clock
from cureclock.core.floor import ColdSpans
from cureclock.core.gates import Gate as CoreGate
from cureclock.core.materials.label import Label
from cureclock.core.stance import Stance
from cureclock.core.units import DAY_US, instant_us, moment_of
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages
from cureclock.waits.current import Current, Rung
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Gate
from cureclock.waits.shown import ForetoldShown
from cureclock.waits.suspect import Walk
from cureclock.waits.wood import AIR, Wood, wood_of

AHEAD_DAYS = 2  # further ahead expected air is no more than a guess


@dataclass
class Foresight:
    """The cold that is expected in places, looked up once for each floor.

    Args:
        ages: facts up to now.
    """

    ages: Ages
    _spans: dict[tuple[UUID, float, Wood], ColdSpans] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.walk = Walk(self.ages)

    def spoils(self, place: Place, floor_c: float, wood: Wood = AIR) -> ColdSpans:
        """When a film in a place is expected below its floor, gaps at their coldest."""
        return self.walk.below(place, floor_c, AHEAD_DAYS, wood)

    def sleeps(self, place: Place, floor_c: float, wood: Wood = AIR) -> ColdSpans:
        """When a place, or wood in it, is expected below a temperature."""
        key = (place.id, floor_c, wood)
        if key not in self._spans:
            self.ages.reach_back(place, wood.lag_us)
            until_us = self.ages.until_us + AHEAD_DAYS * DAY_US
            line = self.ages.line(place, floor_c, until_us, Stance.SLOW)
            own = self.ages.own_start(wood, floor_c, Stance.SLOW)
            self._spans[key] = ColdSpans.of(line, floor_c, wood.lag_us, own)
        return self._spans[key]

    def clock(self, place: Place, gate: CoreGate, stance: Stance, wood: Wood = AIR) -> Clock:
        """The clock of a gate in a place, as far ahead as is looked."""
        return self.ages.clock(place, gate.response, stance, wood)

    def known_us(self, place: Place) -> int:
        """Instant up to which a place's air is known [us]."""
        return self.walk.known_us(place)


def foretold_of(
    found: Current, foresight: Foresight, rungs: Sequence[Rung]
) -> tuple[ForetoldShown, ...]:
    """What is foretold of one group."""
    cold = min(_cold(found, foresight, rungs), default=NEVER)
    asleep = min(_asleep(found, foresight, rungs), default=NEVER)
    shown = []
    if cold != NEVER:
        at = to_minute(moment_of(cold), opens=False)
        assert at is not None
        shown.append(ForetoldShown("cold", at, at))
    if asleep != NEVER:
        at = to_minute(moment_of(asleep), opens=False)
        assert at is not None
        shown.append(ForetoldShown("asleep", at, None))
    return tuple(shown)


def _cold(found: Current, foresight: Foresight, rungs: Sequence[Rung]) -> Iterable[int]:
    """When films still forming will be too cold, by air not yet known to be so."""
    for rung in rungs:
        if rung.gate.kind != "keep_warm" or rung.over or rung.wait.floor_c is None:
            continue
        if any(doubt.cause == "cold" for doubt in found.doubts.get(rung.wait.id, ())):
            continue  # it is known by now
        wood = AIR if rung.gate.act_clock is None else wood_of(rung.gate.act_clock)
        spans = foresight.spoils(rung.wait.place, rung.wait.floor_c, wood)
        known = foresight.known_us(rung.wait.place)
        crossing = int(spans.first_from(max(instant_us(rung.gate.stay_at), known)))
        formed = rung.times.act
        if crossing < (NEVER if formed is None else instant_us(formed)):
            yield crossing


def _asleep(found: Current, foresight: Foresight, rungs: Sequence[Rung]) -> Iterable[int]:
    """When what still has to come will stop, and wait for warmth."""
    now = instant_us(found.at)
    for rung in rungs:
        sleep_c = _sleep_c(rung.gate)
        if sleep_c is None or rung.over or rung.reached(found.at):
            continue
        wood = AIR if rung.gate.act_clock is None else wood_of(rung.gate.act_clock)
        spans = foresight.sleeps(rung.wait.place, sleep_c, wood)
        stops = int(spans.first_from(now))
        if stops < (NEVER if rung.acts is None else instant_us(rung.acts)):
            yield stops


def _sleep_c(gate: Gate) -> float | None:
    """The temperature below which a gate's age stands still."""
    row = gate.act_clock
    if row is None or not gate.opens:
        return None
    sleep_c: float | None = row.response["sleep_below_c"]
    return sleep_c


@dataclass(frozen=True)
class StartForetold:
    """What expected air will do to a glue-up or coat that is not begun yet.

    Attributes:
        cause: cold or asleep.
        at: when it sets in.
        latest_good: the latest start that is done with before; none if it is too late now.
    """

    cause: str
    at_us: int
    latest_good_us: int | None

    @property
    def shown(self) -> ForetoldShown:
        """The same, times on the safe side of the minute."""
        at = to_minute(moment_of(self.at_us), opens=False)
        assert at is not None
        good = None if self.latest_good_us is None else moment_of(self.latest_good_us)
        return ForetoldShown(self.cause, at, to_minute(good, opens=False))


def starts_foretold(
    foresight: Foresight,
    place: Place,
    label: Label,
    gates: Sequence[CoreGate],
    now_us: int,
    *,
    wood: Wood = AIR,
) -> tuple[StartForetold, ...]:
    """What would become of something begun in a place from now on, and until when it is good.

    Cold counts until keep-warm is banked; sleep until the first gate after pressing opens.
    """
    by_kind = {gate.kind.key: gate for gate in gates}
    found = []
    keep_warm = by_kind.get("keep_warm")
    if label.spoils and label.min_c is not None and keep_warm is not None:
        spans = foresight.spoils(place, label.min_c, wood)
        clock = foresight.clock(place, keep_warm, Stance.STRICT, wood)
        found.append(_start("cold", spans, clock, keep_warm.need_us, now_us))
    first = by_kind.get("clamps_off") or by_kind.get("recoat_opens")
    if label.sleep_below_c is not None and first is not None:
        spans = foresight.sleeps(place, label.sleep_below_c, wood)
        clock = foresight.clock(place, first, Stance.SLOW, wood)
        found.append(_start("asleep", spans, clock, first.need_us, now_us))
    return tuple(one for one in found if one is not None)


def _start(
    cause: str, spans: ColdSpans, clock: Clock, need_us: int, now_us: int
) -> StartForetold | None:
    """The first bad moment from now on, and the last start whose need is banked by then."""
    sets_in = int(spans.first_from(now_us))
    if sets_in == NEVER:
        return None
    latest = int(clock.latest_start(sets_in, need_us))
    return StartForetold(cause, sets_in, latest if latest >= now_us else None)


def spoiled(
    foresight: Foresight,
    place: Place,
    label: Label,
    keep_warm: CoreGate,
    starts_us: NDArray[np.int64],
    *,
    wood: Wood = AIR,
) -> list[bool]:
    """Which starts would be too cold before their film is formed."""
    assert label.min_c is not None
    spans = foresight.spoils(place, label.min_c, wood)
    clock = foresight.clock(place, keep_warm, Stance.STRICT, wood)
    formed = clock.earliest(clock.age_at(starts_us) + keep_warm.need_us)
    crossing = spans.first_from(starts_us)
    return [bool(bad) for bad in (crossing < NEVER) & (crossing < formed)]
