"""The latest moment to press each glue in each place, so that a gate is open at an hour."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.core.gates import Gate, Name
from cureclock.core.ladder import ladder
from cureclock.core.units import HOUR_US, instant_us, moment_of
from cureclock.core.wording.say import say
from cureclock.shop.models import LabelVersion, Place
from cureclock.waits.check.night import Night as Verdict
from cureclock.waits.check.night import night_of, opens_us
from cureclock.waits.check.said import Word
from cureclock.waits.check.scene import Scene
from cureclock.waits.minute import to_minute
from cureclock.waits.tonight.when import Night

SINCE_PRESSURE = "pressure"


@dataclass(frozen=True)
class LatestFor:
    """For one gate.

    Attributes:
        latest: press by then, and it is open by the hour; none: it is too late for that.
        ruled_by: gate, or cold where the film has to form before the night spoils it.
        takes_h: how long it takes pressed now; none where it is out of reach.
    """

    kind: str
    latest: datetime | None
    ruled_by: str
    takes_h: float | None


@dataclass(frozen=True)
class PressUp:
    """One glue in one place.

    Attributes:
        latest: until when pressing is good at all; none: all night, or (not now) no more.
    """

    label: UUID
    material: str
    place: UUID
    place_name: str
    word: str
    latest: datetime | None
    says: str
    gates: tuple[LatestFor, ...]


def press_ups(scene: Scene, night: Night) -> tuple[PressUp, ...]:
    """Every glue in every place that somebody has read."""
    return tuple(
        _press_up(scene, night, version, place)
        for version in scene.labels
        if version.label.role == "adhesive"
        for place in scene.places
        if scene.ages.air(place).last_us is not None
    )


def _press_up(scene: Scene, night: Night, version: LabelVersion, place: Place) -> PressUp:
    gates = ladder(version.label)
    now_us = instant_us(night.now)
    verdict = night_of(scene, place, version.label, gates, now_us)
    latest = None if verdict.latest_us is None else moment_of(verdict.latest_us)
    cold_us = verdict.latest_us if verdict.cause == "cold" else None
    never = verdict.word == Word.NOT_NOW
    return PressUp(
        label=version.id,
        material=version.material.name,
        place=place.id,
        place_name=place.name,
        word=verdict.word,
        latest=to_minute(latest, opens=False),
        says=_says(scene, version, place, verdict),
        gates=tuple(_gates(scene, place, gates, night, cold_us, never=never)),
    )


def _says(scene: Scene, version: LabelVersion, place: Place, verdict: Verdict) -> str:
    told = {"glue": version.material.name, "place": place.name}
    if verdict.word == Word.NOT_NOW:
        return say("check.tonight.press_not", **told)
    if verdict.latest_us is None:
        return say("check.tonight.press_any", **told)
    at = scene.reader.closes(verdict.latest_us)
    if verdict.cause == "asleep":
        return say("check.tonight.press_asleep", at=at, **told)
    return say("check.tonight.press_by", at=at, **told)


def _gates(
    scene: Scene,
    place: Place,
    gates: Sequence[Gate],
    night: Night,
    cold_us: int | None,
    *,
    never: bool,
) -> Iterable[LatestFor]:
    now_us, by_us = instant_us(night.now), instant_us(night.by)
    for gate in gates:
        if gate.kind.silent or not gate.kind.opens or gate.kind.since != SINCE_PRESSURE:
            continue
        wanted = Name.SURE if gate.kind.hurts else Name.NOT_BEFORE
        told = next(one for one in gate.figures() if one.name == wanted)
        clock = scene.ages.clock(place, gate.response, told.stance)
        latest_us, ruled_by = int(clock.latest_start(by_us, told.need_us)), "gate"
        if cold_us is not None and cold_us < latest_us:
            latest_us, ruled_by = cold_us, "cold"
        if never:
            latest_us, ruled_by = now_us - 1, "cold"
        ends_us = opens_us(scene, place, gate, now_us)
        latest = moment_of(latest_us) if latest_us >= now_us else None
        takes_h = None if ends_us is None else round((ends_us - now_us) / HOUR_US, 3)
        yield LatestFor(gate.kind.key, to_minute(latest, opens=False), ruled_by, takes_h)
