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
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import SETTLED_US, Air
from cureclock.core.units import instant_us
from cureclock.shop.air import PlaceAir, place_air
from cureclock.shop.models import Place

CAUTIOUS = (Stance.STRICT, Stance.STRICT_SURE)  # flagged low readings count for these


class Ages:
    """Clocks of places over one span of facts, each built once.

    Args:
        since: earliest instant that will be asked about.
        until: latest instant that will be asked about; `ahead` may go further.
        airs: air already loaded, by place id.
    """

    def __init__(
        self, since: datetime, until: datetime, airs: Mapping[UUID, PlaceAir] | None = None
    ) -> None:
        self.since = since
        self.from_us = instant_us(since)
        self.until_us = instant_us(until)
        self._airs: dict[UUID, PlaceAir] = dict(airs or {})
        self._lines: dict[tuple[object, ...], Air] = {}
        self._clocks: dict[tuple[object, ...], CoreClock] = {}

    def air(self, place: Place) -> PlaceAir:
        """What is known of the place's air over the span."""
        if place.id not in self._airs:
            self._airs[place.id] = place_air(place, self.since)
        return self._airs[place.id]

    def clock(self, place: Place, response: Response, stance: Stance) -> CoreClock:
        """The clock of a place, response and stance, built so far that its last day repeats."""
        key = (place.id, response, stance)
        if key not in self._clocks:
            line = self.line(place, response.label_temp_c, self._settled_us(place), stance)
            self._clocks[key] = build_clock(line, response, stance)
        return self._clocks[key]

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
        self, place: Place, response: Response, stance: Stance, from_us: int, to_us: int
    ) -> int:
        """Label time [us] gained in a place from one instant to another, both in the span."""
        clock = self.clock(place, response, stance)
        return int(clock.age_at(to_us) - clock.age_at(from_us))


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
