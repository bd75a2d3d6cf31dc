"""The straight legs of air under a wait, each with what it banks: the lines of the pencil's sum."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import Air
from cureclock.core.units import DAY_US, HOUR_US, instant_us, moment_of
from cureclock.waits.ages import Ages
from cureclock.waits.air_shown import mark_name
from cureclock.waits.current import Rung
from cureclock.waits.models import Leg
from cureclock.waits.shown import Thing

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

SMOOTH = (Kind.WALL, Kind.DOUBLING, Kind.CHEMICAL)  # bend nowhere but where they fall asleep
STRAIGHT = 1e-6  # K or %: a node between two legs of one slope adds nothing to the sum


@dataclass(frozen=True)
class StraightLeg:
    """One straight piece of the place's air, and what it banks.

    Attributes:
        mark: measured, minmax, typed or assumed.
        rate_from, rate_to: label time per time at its ends; `rate_mean` over it.
        banked_h: label-hours it banks.
        sum_h: label-hours banked by its end.
    """

    place: str
    place_id: UUID
    from_: datetime
    to: datetime
    hours: float
    mark: str
    temp_from: float
    temp_to: float
    rh_from: float | None
    rh_to: float | None
    rate_from: float
    rate_to: float
    rate_mean: float
    banked_h: float
    sum_h: float


@dataclass(frozen=True)
class _Stay:
    """The straight legs of one stay, before they are summed."""

    place: Thing
    air: Air
    rates: tuple[Floats, Floats]
    age_us: Ints


def legs_until(
    rung: Rung, stays: Sequence[Leg], ages: Ages, response: Response
) -> Iterable[StraightLeg]:
    """The legs from what a gate counts from up to its bare figure, over every stay.

    Where the figure is out of reach they go as far as two days ahead.
    """
    total_us = 0
    for stay in _stays(rung, stays, ages, response):
        at, air = stay.air.at_us, stay.air
        for n, gained_us in enumerate(np.diff(stay.age_us).tolist()):
            total_us += gained_us
            hours = int(at[n + 1] - at[n]) / HOUR_US
            yield StraightLeg(
                place=stay.place.name,
                place_id=stay.place.id,
                from_=moment_of(int(at[n])),
                to=moment_of(int(at[n + 1])),
                hours=hours,
                mark=mark_name(int(air.mark[n])),
                temp_from=round(float(air.temp_c[n]), 6),
                temp_to=round(float(air.temp_c[n + 1]), 6),
                rh_from=_or_none(air.rh_pct[n]),
                rh_to=_or_none(air.rh_pct[n + 1]),
                rate_from=float(stay.rates[0][n]),
                rate_to=float(stay.rates[1][n]),
                rate_mean=gained_us / HOUR_US / hours,
                banked_h=gained_us / HOUR_US,
                sum_h=total_us / HOUR_US,
            )


def _or_none(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def _stays(rung: Rung, stays: Sequence[Leg], ages: Ages, response: Response) -> Iterable[_Stay]:
    bare = rung.times.bare
    end_us = ages.until_us if bare is None else instant_us(bare)
    until_us = max(ages.until_us, end_us) + DAY_US
    for stay in stays:
        begun = instant_us(max(stay.began_at, rung.gate.began_at))
        ended = end_us if stay.ended_at is None else min(instant_us(stay.ended_at), end_us)
        if ended > begun:
            line = ages.line(stay.place, response.label_temp_c, until_us, Stance.LIKELY)
            clock = ages.clock(stay.place, response, Stance.LIKELY)
            air = _straight(line, response, begun, ended)
            place = Thing(stay.place.id, stay.place.name)
            yield _Stay(place, air, _rates(air, response), clock.age_at(air.at_us))


def _straight(line: Air, response: Response, begun: int, ended: int) -> Air:
    """The straight legs between two instants, split where the rule itself bends."""
    inside = (line.at_us > begun) & (line.at_us < ended)
    at = _needed(line, np.concatenate([[begun], line.at_us[inside], [ended]]).astype(np.int64))
    for kink_c in _kinks(response):
        height = line.temp_at(at) - kink_c
        crossed = np.flatnonzero(height[:-1] * height[1:] < 0)
        part = height[crossed] / (height[crossed] - height[crossed + 1])
        roots = at[crossed] + np.rint(part * (at[crossed + 1] - at[crossed])).astype(np.int64)
        at = np.unique(np.concatenate([at, roots]))
    return Air(at, line.temp_at(at), _damp_at(line, at), _marks(line, at[:-1]))


def _kinks(response: Response) -> tuple[float, ...]:
    """Temperatures at which the rate itself bends or jumps."""
    if response.kind not in SMOOTH:
        return response.kinks_c()
    return () if response.sleep_below_c is None else (response.sleep_below_c,)


def _needed(line: Air, at: Ints) -> Ints:
    """The nodes that are needed: the ends, and those where the line bends or its mark changes."""
    if len(at) < 3:
        return at
    part = (at[1:-1] - at[:-2]) / (at[2:] - at[:-2])
    mark = _marks(line, at)
    keep = mark[:-2] != mark[1:-1]
    for value in (line.temp_at(at), np.nan_to_num(_damp_at(line, at))):
        straight = value[:-2] + part * (value[2:] - value[:-2])
        keep |= np.abs(straight - value[1:-1]) >= STRAIGHT
    needed: Ints = at[np.concatenate([[True], keep, [True]])]
    return needed


def _damp_at(line: Air, at: Ints) -> Floats:
    damp: Floats = np.interp(at, line.at_us, line.rh_pct)
    return damp


def _marks(line: Air, at: Ints) -> NDArray[np.int8]:
    """The mark of the leg that begins at, or goes on at, each instant."""
    leg = np.searchsorted(line.at_us, at, side="right") - 1
    return line.mark[np.clip(leg, 0, len(line.mark) - 1)]


def _rates(air: Air, response: Response) -> tuple[Floats, Floats]:
    """Rates at the two ends of each leg; a leg asleep has none, whichever end is just awake."""
    asleep = response.asleep((air.temp_c[:-1] + air.temp_c[1:]) / 2)
    rate = response.awake_rate(air.temp_c, air.rh_pct)
    return np.where(asleep, 0.0, rate[:-1]), np.where(asleep, 0.0, rate[1:])
