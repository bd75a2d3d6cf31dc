"""Ages on the clocks of any place, worked out from the facts as they stand."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from datetime import datetime
from functools import cache
from uuid import UUID

from cureclock.core.clock import Clock as CoreClock
from cureclock.core.clock import build_clock
from cureclock.core.felt import REACH, OwnStart, wood_at_c
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import SETTLED_US, Air
from cureclock.core.units import DAY_US, instant_us, moment_of
from cureclock.shop.air import PlaceAir, place_air, reaching
from cureclock.shop.models import Place
from cureclock.waits.models import Clock
from cureclock.waits.wood import AIR, Wood, wood_of

CAUTIOUS = (Stance.STRICT, Stance.STRICT_SURE)  # flagged low readings count for these


class Ages:
    """Clocks of places over one span of facts, each built once.

    Args:
        since: earliest instant that will be asked about.
        until: latest instant that will be asked about; `ahead` may go further.
        airs: air already loaded, by place id.
        lag_us: the longest lag of wood that air reaches back far enough for [us].
    """

    def __init__(
        self,
        since: datetime,
        until: datetime,
        airs: Mapping[UUID, PlaceAir] | None = None,
        lag_us: int = 0,
    ) -> None:
        self.since = since
        self.from_us = instant_us(since)
        self.until_us = instant_us(until)
        self._airs: dict[UUID, PlaceAir] = dict(airs or {})
        self._lags = dict.fromkeys(self._airs, lag_us)
        self._lines: dict[tuple[object, ...], Air] = {}
        self._clocks: dict[tuple[object, ...], CoreClock] = {}
        self._starts: dict[tuple[object, ...], OwnStart] = {}

    def air(self, place: Place) -> PlaceAir:
        """What is known of the place's air over the span."""
        if place.id not in self._airs:
            self._airs[place.id] = place_air(place, self.since)
        return self._airs[place.id]

    def last_us(self, place: Place) -> int:
        """The last reading of a place, or its making before any [us]."""
        last = self.air(place).last_us
        return instant_us(place.made_at) if last is None else last

    def clock(
        self, place: Place, response: Response, stance: Stance, wood: Wood = AIR
    ) -> CoreClock:
        """The clock of a place, response, stance and wood, built so far that its last day
        repeats."""
        felt = wood.felt_by(stance)
        key = (place.id, response, stance, felt)
        if key not in self._clocks:
            self.reach_back(place, felt.lag_us)
            until_us = self._settled_us(place) + _whole_days(REACH * felt.lag_us)
            line = self.line(place, response.label_temp_c, until_us, stance)
            own = self.own_start(felt, response.label_temp_c, stance)
            self._clocks[key] = build_clock(line, response, stance, felt.lag_us, own)
        return self._clocks[key]

    def of_row(self, row: Clock) -> CoreClock:
        """The clock that a row stands for."""
        return self.clock(row.place, response_of(row.response), Stance(row.stance), wood_of(row))

    def reach_back(self, place: Place, lag_us: int) -> None:
        """Know a place's air as far back as wood of this lag remembers: before the span, and
        before its last reading where it is silent since, for clocks are counted from there."""
        if lag_us <= self._lags.get(place.id, 0):
            return
        self._lags[place.id] = lag_us
        last_us = self.air(place).last_us
        since = self.since if last_us is None else min(self.since, moment_of(last_us))
        self._airs[place.id] = place_air(place, reaching(place, since, REACH * lag_us))
        self._lines = {key: line for key, line in self._lines.items() if key[0] != place.id}

    def own_start(self, wood: Wood, label_temp_c: float, stance: Stance) -> OwnStart | None:
        """How warm wood was when it was carried in, by the air of the places it came from."""
        if not wood.way:
            return None
        key = (wood, label_temp_c, stance in CAUTIOUS)
        if key not in self._starts:
            ident, left_us = wood.way[-1]
            there = type(self)(moment_of(left_us), moment_of(left_us))
            place = Place.objects.select_related("workshop").get(id=ident)
            there.reach_back(place, wood.lag_us)
            line = there.line(place, label_temp_c, left_us, stance)
            own = there.own_start(Wood(wood.lag_us, wood.way[:-1]), label_temp_c, stance)
            temp_c = wood_at_c(line, left_us, wood.lag_us, own)
            self._starts[key] = OwnStart(left_us, temp_c)
        return self._starts[key]

    def _settled_us(self, place: Place) -> int:
        """From when on what is expected of a place is the same day again and again."""
        air = self.air(place)
        last_us = self.until_us if air.last_us is None else max(self.until_us, air.last_us)
        return last_us + SETTLED_US

    def line(self, place: Place, label_temp_c: float, until_us: int, stance: Stance) -> Air:
        """The line of air that a stance reads in a place."""
        key = (place.id, label_temp_c, until_us, stance in CAUTIOUS)
        if key not in self._lines:
            self._lines[key] = self._drawn(place, label_temp_c, until_us, stance in CAUTIOUS)
        return self._lines[key]

    def _drawn(self, place: Place, label_temp_c: float, until_us: int, cautious: bool) -> Air:
        air = self.air(place)
        first = self.from_us if len(air.readings) else instant_us(place.made_at)
        return air.line(min(self.from_us, first), until_us, label_temp_c, cautious=cautious)

    def between(
        self,
        place: Place,
        response: Response,
        stance: Stance,
        from_us: int,
        to_us: int,
        *,
        wood: Wood = AIR,
    ) -> int:
        """Label time [us] gained in a place from one instant to another, both in the span."""
        clock = self.clock(place, response, stance, wood)
        return int(clock.age_at(to_us) - clock.age_at(from_us))


def _whole_days(us: int) -> int:
    """So many whole days as hold a time [us]."""
    return -(-us // DAY_US) * DAY_US


def response_json(response: Response) -> dict[str, object]:
    """A response as plain data, for the clock's row."""
    return {
        **asdict(response),
        "kind": str(response.kind),
        "rows": [list(r) for r in response.rows],
    }


def response_of(data: Mapping[str, object]) -> Response:
    """The response that a clock's row holds."""
    fields = dict(data)
    fields["kind"] = Kind(str(fields["kind"]))
    fields["rows"] = tuple((float(t), float(h)) for t, h in fields["rows"])  # type: ignore[attr-defined]
    return Response(**fields)  # type: ignore[arg-type]


@cache
def response_hash(response: Response) -> str:
    """A short name of a response's parameters: materials with the same ones share clocks."""
    text = json.dumps(response_json(response), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:32]
