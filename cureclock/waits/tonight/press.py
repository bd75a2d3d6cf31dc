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
from cureclock.waits.check.said import Word, figure
from cureclock.waits.check.scene import Scene
from cureclock.waits.minute import to_minute
from cureclock.waits.tonight.when import Night
from cureclock.waits.wood_recorded import like_last, wood_recorded

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
        wood_mm: counted for wood so thick that lies there, like the last that was recorded with
            this glue; none: nothing was, and the wood counts as warm as the air.
        latest: until when pressing is good at all; none: all night, or (not now) no more.
    """

    label: UUID
    material: str
    place: UUID
    place_name: str
    wood_mm: float | None
    word: str
    latest: datetime | None
    says: str
    gates: tuple[LatestFor, ...]


def press_ups(scene: Scene, night: Night) -> tuple[PressUp, ...]:
    """Every glue in every place that somebody has read."""
    return tuple(_press_ups(scene, night))


def _press_ups(scene: Scene, night: Night) -> Iterable[PressUp]:
    recorded = wood_recorded(scene.workshop, scene.at)
    for version in scene.labels:
        if version.label.role != "adhesive":
            continue
        like = like_last(recorded.get(version.material_id, ()))
        scene.lag_us = 0 if like is None else like.lag_us
        wood_mm = None if like is None else like.thickness_mm
        for place in scene.places:
            if scene.ages.air(place).last_us is not None:
                yield _press_up(scene, night, version, place, wood_mm)


def _press_up(
    scene: Scene, night: Night, version: LabelVersion, place: Place, wood_mm: float | None
) -> PressUp:
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
        wood_mm=wood_mm,
        word=verdict.word,
        latest=to_minute(latest, opens=False),
        says=_of_wood(_says(scene, version, place, verdict), wood_mm),
        gates=tuple(_gates(scene, place, gates, night, cold_us, never=never)),
    )


def _of_wood(says: str, wood_mm: float | None) -> str:
    """The same line, and for what wood it holds."""
    if wood_mm is None:
        return say("check.tonight.as_air", says=says)
    return say("check.tonight.thick", says=says, thickness=figure(wood_mm, 0))


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
        clock = scene.ages.clock(place, gate.response, told.stance, scene.wood_in(place))
        latest_us, ruled_by = int(clock.latest_start(by_us, told.need_us)), "gate"
        if cold_us is not None and cold_us < latest_us:
            latest_us, ruled_by = cold_us, "cold"
        if never:
            latest_us, ruled_by = now_us - 1, "cold"
        ends_us = opens_us(scene, place, gate, now_us)
        latest = moment_of(latest_us) if latest_us >= now_us else None
        takes_h = None if ends_us is None else round((ends_us - now_us) / HOUR_US, 3)
        yield LatestFor(gate.kind.key, to_minute(latest, opens=False), ruled_by, takes_h)
