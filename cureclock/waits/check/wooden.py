"""Is the wood fit to be glued: warm, dry, alike, without dew on it, freshly cut?"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from cureclock.core.coat.air import dew_point_c
from cureclock.core.felt import OwnStart, wood_temp_c
from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.label import Label
from cureclock.core.materials.library import library
from cureclock.core.materials.library import wood as wood_of
from cureclock.core.refusal import Refused
from cureclock.core.timeline import Air
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, moment_of
from cureclock.core.wood.meter import HOME_POINTS, PARTS_POINTS
from cureclock.core.wording.say import say
from cureclock.shop.models import LabelVersion, Place
from cureclock.waits.check.asked import WoodAsked
from cureclock.waits.check.said import CheckLine, Word, figure
from cureclock.waits.check.scene import AirThen, Scene
from cureclock.waits.wood import own_lag_us
from cureclock.waits.wood_fit import DOUBT_POINTS, NO_POINTS, WoodReason, wood_answer

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

STEP_US = 5 * MINUTE_US
DEW_GAP_K = 3.0  # ISO 8502-4 for steel, borrowed
DRIEST_PCT = 1.0  # a dew point needs some water


@dataclass(frozen=True)
class WoodThen:
    """The temperature of the wood at the start, and its course from then on.

    Attributes:
        at_us, course_c, air_c: each five minutes for two days.
        told: in one line, where the figure comes from.
    """

    at_us: Ints
    course_c: Floats
    air_c: Floats
    told: str

    @property
    def temp_c(self) -> float:
        """At the start."""
        return float(self.course_c[0])


def wood_then(scene: Scene, place: Place, asked: WoodAsked, density: float | None) -> WoodThen:
    """How warm the wood is: as it was measured, as the place it lay in, as the air it lags."""
    at_us = scene.start_us + np.arange(2 * DAY_US // STEP_US + 1, dtype=np.int64) * STEP_US
    line = scene.line(place)
    air_c = line.temp_at(at_us)
    if asked.thickness_mm is None:
        if asked.temp_c is not None:
            course = np.full(len(at_us), asked.temp_c)
            return WoodThen(
                at_us, course, air_c, say("check.sum.wood_measured", temp=figure(asked.temp_c))
            )
        return WoodThen(at_us, air_c, air_c, say("check.sum.wood_as_air"))
    tau_us = own_lag_us(asked.thickness_mm, density)
    fine = _finer(line, at_us)
    own = _own(scene, asked)
    course = wood_temp_c(fine, tau_us, own)[np.searchsorted(fine.at_us, at_us)]
    told = say(
        "check.sum.wood_lags",
        thickness=figure(asked.thickness_mm),
        hours=figure(tau_us / HOUR_US),
        temp=figure(float(course[0])),
    )
    return WoodThen(at_us, course, air_c, told)


def _finer(line: Air, at_us: Ints) -> Air:
    """The same line with nodes where it is asked."""
    before = line.at_us < at_us[0]
    nodes = np.concatenate([line.at_us[before], at_us])
    rh = np.interp(nodes, line.at_us, line.rh_pct)
    return Air(nodes, line.temp_at(nodes), rh, np.zeros(len(nodes) - 1, dtype=np.int8))


def _own(scene: Scene, asked: WoodAsked) -> OwnStart | None:
    """Wood that was measured, or is carried in from another place, has its own start."""
    if asked.temp_c is not None:
        return OwnStart(scene.start_us, asked.temp_c)
    if asked.from_place is None:
        return None
    return OwnStart(scene.start_us, scene.air(scene.place(asked.from_place)).temp_c)


def wooden(
    scene: Scene,
    version: LabelVersion,
    asked: WoodAsked,
    then: WoodThen,
    air: AirThen,
    *,
    pieces: Sequence[UUID] = (),
) -> Iterable[CheckLine]:
    """Lines about the wood; what was metered of the pieces' own lots where nobody says more."""
    label = version.label
    found = library().families.get(version.material.family)
    known = found if isinstance(found, Adhesive) else None
    yield from _warm(scene, label, then, air)
    yield from _dew(then.temp_c, air)
    yield from _moisture(asked, known)
    if pieces and not asked.moistures_pct:
        yield from _metered(scene, pieces, version)
    yield from _fresh(scene, asked, known)


def _warm(scene: Scene, label: Label, then: WoodThen, air: AirThen) -> Iterable[CheckLine]:
    coldest = min(air.temp_c, then.temp_c)
    told = {"wood": figure(then.temp_c), "air": figure(air.temp_c)}
    values = {"wood_c": then.temp_c, "air_c": air.temp_c}
    if label.max_c is not None and max(air.temp_c, then.temp_c) > label.max_c:
        says = say("check.warm.hot", most=figure(label.max_c), **told)
        yield CheckLine("warm", Word.NOT_NOW, says, (then.told,), values=values)
    if label.min_c is None:
        return
    told["least"] = figure(label.min_c)
    if coldest >= label.min_c:
        yield CheckLine("warm", Word.GO, say("check.warm.go", **told), (then.told,), values=values)
        return
    warm = np.flatnonzero((then.course_c >= label.min_c) & (then.air_c >= label.min_c))
    at = moment_of(int(then.at_us[warm[0]])) if len(warm) else None
    word = Word.NOT_NOW if label.spoils else Word.CARE
    if at is None:
        says = say("check.warm.never", **told)
    else:
        says = say("check.warm.later", at=scene.reader.opens(int(then.at_us[warm[0]])), **told)
    yield CheckLine("warm", word, says, (then.told,), at, values)


def _dew(wood_c: float, air: AirThen) -> Iterable[CheckLine]:
    if air.rh_pct is None:
        return
    dew_c = float(dew_point_c(air.temp_c, max(air.rh_pct, DRIEST_PCT)))
    told = {"dew": figure(dew_c), "wood": figure(wood_c)}
    sums = (say("check.sum.dew", temp=figure(air.temp_c), rh=figure(air.rh_pct, 0), **told),)
    values = {"dew_c": dew_c, "wood_c": wood_c}
    if wood_c <= dew_c:
        yield CheckLine("dew", Word.NOT_NOW, say("check.dew.wet", **told), sums, values=values)
    elif wood_c < dew_c + DEW_GAP_K:
        yield CheckLine("dew", Word.CARE, say("check.dew.near", **told), sums, values=values)
    else:
        yield CheckLine("dew", Word.GO, say("check.dew.go", **told), sums, values=values)


def _moisture(asked: WoodAsked, known: Adhesive | None) -> Iterable[CheckLine]:
    parts = asked.moistures_pct
    if not parts:
        return
    wet, dry = max(parts), min(parts)
    span = None if known is None else known.wood_moisture_pct
    if span is not None:
        yield _window(wet, dry, span.low, span.high)
    told = {"wet": figure(wet), "dry": figure(dry), "apart": figure(wet - dry)}
    values = {"wettest_pct": wet, "driest_pct": dry, "apart_pct": wet - dry}
    if len(parts) > 1:
        yield _match(wet - dry, told, values)
    if asked.home_pct is not None:
        off = max(abs(wet - asked.home_pct), abs(dry - asked.home_pct))
        if off > HOME_POINTS[-1]:
            says = say("check.match.home", off=figure(off), home=figure(asked.home_pct))
            yield CheckLine("home", Word.CARE, says, values={"off_pct": off})


def _metered(scene: Scene, pieces: Sequence[UUID], version: LabelVersion) -> Iterable[CheckLine]:
    """What the lots say that the pieces were sawn from."""
    answer = wood_answer(scene.workshop, pieces, version, scene.at)
    words = {"no": Word.NOT_NOW, "care": Word.CARE, "unknown": Word.NOTE, "go": Word.GO}
    if not answer.reasons and answer.word == "go":
        yield CheckLine("moisture", Word.GO, say("check.lot.go"))
    for reason in answer.reasons:
        grave = "no" if answer.word == "no" and reason is answer.reasons[0] else "care"
        word = Word.NOTE if reason.key == "not_metered" else words[grave]
        yield CheckLine("moisture", word, _lot_says(reason))


def _lot_says(reason: WoodReason) -> str:
    told = {
        "lot": reason.lot,
        "mc": "–" if reason.mc_pct is None else figure(reason.mc_pct),
        "limit": "–" if reason.limit_pct is None else figure(reason.limit_pct),
    }
    by_key = {
        "too_wet": "check.lot.too_wet",
        "too_dry": "check.lot.too_dry",
        "unlike": "check.lot.unlike",
        "not_metered": "check.lot.not_metered",
        "stale": "check.lot.stale",
    }
    return say(by_key[reason.key], **told)


def _match(apart: float, told: dict[str, str], values: dict[str, float]) -> CheckLine:
    if apart <= PARTS_POINTS:
        return CheckLine("match", Word.GO, say("check.match.go", **told), values=values)
    if apart <= NO_POINTS:
        return CheckLine("match", Word.CARE, say("check.match.apart", **told), values=values)
    return CheckLine("match", Word.NOT_NOW, say("check.match.no", **told), values=values)


def _window(wet: float, dry: float, low: float | None, high: float | None) -> CheckLine:
    """Against what the glue wants; wetter by more than parts may differ is no time to glue."""
    told = {"wet": figure(wet), "dry": figure(dry)}
    told |= {
        "low": "0" if low is None else figure(low),
        "high": "–" if high is None else figure(high),
    }
    values = {"wettest_pct": wet, "driest_pct": dry}
    if high is not None and wet > high + DOUBT_POINTS:
        return CheckLine("moisture", Word.NOT_NOW, say("check.moisture.wet", **told), values=values)
    if high is not None and wet > high:
        return CheckLine("moisture", Word.CARE, say("check.moisture.damp", **told), values=values)
    if low is not None and dry < low:
        return CheckLine("moisture", Word.CARE, say("check.moisture.dry", **told), values=values)
    return CheckLine("moisture", Word.GO, say("check.moisture.go", **told), values=values)


def _fresh(scene: Scene, asked: WoodAsked, known: Adhesive | None) -> Iterable[CheckLine]:
    """How old the faces are; oily woods have hours, others a day."""
    if asked.cut_at is None or known is None:
        return
    oily = any(wood_of(key).oily for key in asked.woods)
    limit = known.fresh_face_oily_h if oily else known.fresh_face_h
    if limit is None:
        return
    age_h = (scene.start - asked.cut_at) / timedelta(hours=1)
    if age_h < 0:
        raise Refused("wood.cut_at", "later than the glue", "when the faces were cut")
    until = asked.cut_at + timedelta(hours=limit.hours)
    told = {"age": figure(age_h), "limit": figure(limit.hours)}
    values = {"age_h": age_h, "limit_h": limit.hours}
    if age_h <= limit.hours:
        yield CheckLine(
            "fresh_face", Word.GO, say("check.fresh.go", **told), at=until, values=values
        )
    elif oily:
        says = say("check.fresh.oily", **told)
        yield CheckLine("fresh_face", Word.NOT_NOW, says, at=until, values=values)
    else:
        yield CheckLine(
            "fresh_face", Word.CARE, say("check.fresh.old", **told), at=until, values=values
        )
