"""Is the air fit for a coat, now and until each of its gates?"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cureclock.core.clock import NEVER
from cureclock.core.coat.air import dew_point_c
from cureclock.core.coat.verdict import AirLimits, AirVerdict, Unfit, air_verdict
from cureclock.core.coat.verdict import Word as AirWord
from cureclock.core.gates import Gate
from cureclock.core.materials.label import Label
from cureclock.core.stance import Stance
from cureclock.core.timeline import GRID_US
from cureclock.core.units import DAY_US, HOUR_US, moment_of
from cureclock.core.wording.say import say
from cureclock.shop.models import Place
from cureclock.waits.check.said import CheckLine, Word, figure
from cureclock.waits.check.scene import Scene
from cureclock.waits.check.wooden import WoodThen
from cureclock.waits.minute import to_minute

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MINDS_UNTIL = ("touch", "dust_free")  # the first of these that the label offers
LEAST_C = -10.0  # where the label names no lowest temperature: none that the rule takes
DRIEST_PCT = 1.0
AHEAD_US = DAY_US
CAUSES = {Unfit.COLD: "cold", Unfit.DAMP: "damp", Unfit.DEW: "dew"}


@dataclass(frozen=True)
class Airing:
    """Lines about the air, and how long the coat minds it."""

    lines: tuple[CheckLine, ...]
    wet_us: int | None


@dataclass(frozen=True)
class _Course:
    """The air from the start on, each half hour."""

    at_us: Ints
    temp_c: Floats
    rh_pct: Floats
    wood_c: Floats


def airing(
    scene: Scene, place: Place, label: Label, gates: Sequence[Gate], wood: WoodThen
) -> Airing:
    """Whether to coat now, by the air until the coat no longer minds it."""
    wet_us = _wet_us(scene, place, gates)
    if not scene.air(place).ever:
        return Airing((), wet_us)
    course = _course(scene, place, wood, AHEAD_US + (wet_us or 0))
    limits = _limits(label)
    damp_known = not np.isnan(course.rh_pct).any()
    damp = course.rh_pct if damp_known else np.full(len(course.at_us), DRIEST_PCT)
    verdict = air_verdict(
        course.at_us, course.temp_c, damp, course.wood_c, wet_us=wet_us or 0, limits=limits
    )
    lines = [_verdict_line(scene, verdict, course, limits, wet_us)]
    lines += _gate_lines(scene, place, gates, verdict)
    if not damp_known:
        lines.append(CheckLine("damp", Word.CARE, say("check.coat.damp_unread", place=place.name)))
    if wet_us is None:
        lines.append(CheckLine("touch", Word.CARE, say("check.coat.wet_unknown")))
    return Airing(tuple(lines), wet_us)


def _wet_us(scene: Scene, place: Place, gates: Sequence[Gate]) -> int | None:
    """From the start until touch dry, at the expected temperature; None where nobody can say."""
    by_kind = {gate.kind.key: gate for gate in gates}
    gate = next((by_kind[key] for key in MINDS_UNTIL if key in by_kind), None)
    return None if gate is None else _wait_us(scene, place, gate)


def _wait_us(scene: Scene, place: Place, gate: Gate) -> int | None:
    clock = scene.ages.clock(place, gate.response, Stance.SLOW)
    us = int(clock.earliest(clock.age_at(scene.start_us) + gate.need_us))
    return None if us == NEVER else us - scene.start_us


def _course(scene: Scene, place: Place, wood: WoodThen, ahead_us: int) -> _Course:
    """Falling air counts as air and rising air as wood: the colder of the two."""
    line = scene.line(place)
    first = scene.start_us // GRID_US + 1
    later = np.arange(first, first + ahead_us // GRID_US + 2, dtype=np.int64) * GRID_US
    at_us = np.concatenate([[scene.start_us], later])
    temp_c = line.temp_at(at_us)
    rh_pct = np.interp(at_us, line.at_us, line.rh_pct)
    lagging = np.interp(at_us, wood.at_us, wood.course_c)
    return _Course(at_us, temp_c, rh_pct, np.minimum(temp_c, lagging))


def _limits(label: Label) -> AirLimits:
    least = LEAST_C if label.min_c is None else min(max(label.min_c, LEAST_C), 40.0)
    if label.max_rh_pct is None:
        return AirLimits(least)
    return AirLimits(least, max_rh_pct=max(label.max_rh_pct, 20.0))


def _verdict_line(
    scene: Scene, verdict: AirVerdict, course: _Course, limits: AirLimits, wet_us: int | None
) -> CheckLine:
    """Go, wait or stop, with what is against it and when."""
    reader = scene.reader
    bad = np.flatnonzero(verdict.unfit)
    first = int(bad[0]) if len(bad) else 0
    cause = _cause(Unfit(int(verdict.unfit[first]))) if len(bad) else ""
    told = {
        "temp": figure(float(course.temp_c[first])),
        "rh": figure(float(course.rh_pct[first]), 0),
        "at": reader.closes(int(course.at_us[first])),
        "until": reader.closes(verdict.fit_until_us),
        "dry": reader.opens(None if wet_us is None else scene.start_us + wet_us),
    }
    sums = (_air_sum(scene, course, first, limits),)
    values = _values(course, first)
    if verdict.word == AirWord.GO:
        return CheckLine("air_coat", Word.GO, say("check.coat.go", **told), sums, values=values)
    at = None
    if verdict.wait_until_us != NEVER and verdict.word == AirWord.WAIT:
        at = to_minute(moment_of(verdict.wait_until_us), opens=True)
        told["wait"] = reader.opens(verdict.wait_until_us)
        says = _bad(cause, told) + " " + say("check.coat.wait", **told)
    else:
        says = _bad(cause, told) + " " + say("check.coat.stop", **told)
    return CheckLine("air_coat", Word.NOT_NOW, says, sums, at, values)


def _bad(cause: str, told: dict[str, str]) -> str:
    if cause == "cold":
        return say("check.coat.cold", **told)
    return say("check.coat.dew", **told) if cause == "dew" else say("check.coat.damp", **told)


def _cause(unfit: Unfit) -> str:
    """The one that is said where several hold: dew first, then cold."""
    order = (Unfit.DEW, Unfit.COLD, Unfit.DAMP)
    return next(CAUSES[flag] for flag in order if flag in unfit)


def _air_sum(scene: Scene, course: _Course, at: int, limits: AirLimits) -> str:
    rh = float(course.rh_pct[at])
    return say(
        "check.sum.coat_air",
        at=scene.reader.closes(int(course.at_us[at])),
        temp=figure(float(course.temp_c[at])),
        rh="–" if np.isnan(rh) else figure(rh, 0),
        dew=figure(_dew_c(course, at)),
        wood=figure(float(course.wood_c[at])),
        least="–" if limits.min_temp_c <= LEAST_C else figure(limits.min_temp_c),
        most=figure(limits.max_rh_pct, 0),
        gap=figure(limits.dew_gap_k),
    )


def _dew_c(course: _Course, at: int) -> float:
    rh = float(course.rh_pct[at])
    known = DRIEST_PCT if np.isnan(rh) else max(rh, DRIEST_PCT)
    return float(dew_point_c(float(course.temp_c[at]), known))


def _values(course: _Course, at: int) -> dict[str, float]:
    found = {"temp_c": float(course.temp_c[at]), "wood_c": float(course.wood_c[at])}
    if not np.isnan(course.rh_pct[at]):
        found |= {"rh_pct": float(course.rh_pct[at]), "dew_c": _dew_c(course, at)}
    return found


def _gate_lines(
    scene: Scene, place: Place, gates: Sequence[Gate], verdict: AirVerdict
) -> Iterable[CheckLine]:
    """Which gates come while the air is fit."""
    if verdict.fit_until_us < verdict.start_us:
        return
    reader = scene.reader
    for gate in gates:
        if not gate.kind.opens or gate.kind.silent:
            continue
        wait_us = _wait_us(scene, place, gate)
        if wait_us is None or wait_us > AHEAD_US or bool(verdict.lets_through(wait_us)):
            continue
        told = {"at": reader.opens(scene.start_us + wait_us)}
        says = say(
            "check.coat.gate",
            gate=say(f"gate.{gate.kind.key}.name"),
            until=reader.closes(verdict.fit_until_us),
            **told,
        )
        values = {"wait_h": wait_us / HOUR_US}
        yield CheckLine(f"gate_{gate.kind.key}", Word.NOTE, says, values=values)
