"""The night until it has set: what the expected air does to it, and until when it is still good."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from cureclock.core.clock import NEVER
from cureclock.core.gates import Gate, Name
from cureclock.core.ladder import ladder
from cureclock.core.materials.label import Label
from cureclock.core.timeline import GRID_US
from cureclock.core.units import HOUR_US, MINUTE_US, moment_of
from cureclock.core.wording.say import say
from cureclock.shop.models import LabelVersion, Place
from cureclock.waits.check.said import CheckLine, GateAhead, Instead, Word, figure
from cureclock.waits.check.scene import Scene
from cureclock.waits.foretold import StartForetold, spoiled, starts_foretold
from cureclock.waits.minute import to_minute

CLOSE_US = 30 * MINUTE_US  # so near the latest good time is no place to be; our choice
HOURS_AHEAD = 36
SET_BY = ("clamps_off", "clamps_off_stressed", "recoat_opens", "touch")


@dataclass(frozen=True)
class Night:
    """What becomes of it, begun in one place at one moment.

    Attributes:
        cause: what is against it: cold, below_min, asleep, rows, unread; empty: nothing.
        at_us: when that sets in; None where it is so already.
        latest_us: until when it is still good; None: no more, or without an end.
        sets_us: when its first gate after pressing opens; None where that is out of reach.
    """

    word: Word
    cause: str
    at_us: int | None = None
    latest_us: int | None = None
    sets_us: int | None = None


def night_of(
    scene: Scene, place: Place, label: Label, gates: Sequence[Gate], press_us: int
) -> Night:
    """Whether something pressed in a place at a moment sets before the air is against it."""
    sets = _sets_us(scene, place, gates, press_us)
    temp_c = scene.air(place, press_us).temp_c
    if any(bool(gate.response.outside_rows(temp_c)) for gate in gates):
        return Night(Word.NOT_NOW, "rows", sets_us=sets)
    wood = scene.wood_in(place)
    foretold = starts_foretold(scene.foresight, place, label, gates, press_us, wood=wood)
    told = {one.cause: one for one in foretold}
    cold = told.get("cold")
    below = label.min_c is not None and temp_c < label.min_c
    if cold is not None and cold.latest_good_us is None:
        return Night(Word.NOT_NOW, "below_min" if below else "cold", cold.at_us, None, sets)
    if below:
        word = Word.NOT_NOW if label.spoils else Word.CARE
        return Night(word, "below_min", sets_us=sets)
    if scene.ages.air(place).last_us is None:
        return Night(Word.CARE, "unread", sets_us=sets)
    return _good_for_a_while(told, sets, press_us)


def _good_for_a_while(told: Mapping[str, StartForetold], sets: int | None, press_us: int) -> Night:
    """What the night brings to something begun while it is still good."""
    cold, asleep = told.get("cold"), told.get("asleep")
    if cold is not None:
        assert cold.latest_good_us is not None
        near = cold.latest_good_us - press_us < CLOSE_US
        return Night(Word.CARE if near else Word.GO, "cold", cold.at_us, cold.latest_good_us, sets)
    if asleep is not None:
        word = Word.CARE if asleep.latest_good_us is None else Word.GO
        return Night(word, "asleep", asleep.at_us, asleep.latest_good_us, sets)
    return Night(Word.GO, "", sets_us=sets)


def _sets_us(scene: Scene, place: Place, gates: Sequence[Gate], press_us: int) -> int | None:
    first = next((gate for gate in gates if gate.kind.key in SET_BY), None)
    return None if first is None else opens_us(scene, place, first, press_us)


def opens_us(
    scene: Scene, place: Place, gate: Gate, from_us: int, name: Name | None = None
) -> int | None:
    """When a figure of a gate comes, begun at a moment; the one that acts where none is named."""
    acting = (Name.SURE,) if gate.kind.hurts else (Name.NOT_BEFORE, Name.NOT_AFTER)
    wanted = acting if name is None else (name,)
    figure_of = next((one for one in gate.figures() if one.name in wanted), None)
    if figure_of is None:
        return None
    clock = scene.ages.clock(place, gate.response, figure_of.stance, scene.wood_in(place))
    us = int(clock.earliest(clock.age_at(from_us) + figure_of.need_us))
    return None if us == NEVER else us


def gates_ahead(
    scene: Scene, place: Place, gates: Sequence[Gate], from_us: int
) -> tuple[GateAhead, ...]:
    """Every gate that is told, with the figure that acts and the pencil's."""
    found = []
    for gate in gates:
        if gate.kind.silent:
            continue
        opens = gate.kind.opens
        acts, bare = (opens_us(scene, place, gate, from_us, name) for name in (None, Name.BARE))
        told = [
            None if us is None else to_minute(moment_of(us), opens=opens) for us in (acts, bare)
        ]
        found.append(GateAhead(gate.kind.key, opens, *told))
    return tuple(found)


def night_line(scene: Scene, place: Place, night: Night) -> CheckLine:
    """The night in one line."""
    reader, at_us = scene.reader, night.at_us or scene.start_us
    told = {"place": place.name, "at": reader.closes(at_us)}
    at = None if night.latest_us is None else to_minute(moment_of(night.latest_us), opens=False)
    if night.latest_us is not None:
        told["latest"] = reader.closes(night.latest_us)
    says = _night_says(night, told)
    sums = () if night.cause in ("", "rows") else (_night_sum(scene, place, at_us),)
    return CheckLine("night", night.word, says, sums, at)


def _night_says(night: Night, told: dict[str, str]) -> str:
    if night.cause == "cold" and night.latest_us is not None:
        return say("check.night.good_until", **told)
    if night.cause == "asleep":
        return say("check.night.asleep", **told)
    by_cause = {
        "": "check.night.go",
        "cold": "check.night.cold",
        "below_min": "check.night.below",
        "rows": "check.night.rows",
        "unread": "check.night.unread",
    }
    return say(by_cause[night.cause], **told)


def _night_sum(scene: Scene, place: Place, at_us: int) -> str:
    """The air now, at the bad moment, and at its coldest in the next day."""
    line = scene.line(place)
    hours = scene.start_us + np.arange(25, dtype=np.int64) * HOUR_US
    temps = line.temp_at(hours)
    coldest = int(np.argmin(temps))
    return say(
        "check.sum.night",
        now=figure(float(line.temp_at(scene.start_us))),
        then=figure(float(line.temp_at(at_us))),
        at=scene.reader.closes(at_us),
        low=figure(float(temps[coldest])),
        low_at=scene.reader.closes(int(hours[coldest])),
    )


def instead_of(
    scene: Scene,
    place: Place,
    version: LabelVersion,
    press_us: int,
    *,
    stressed: bool,
) -> Iterable[Instead]:
    """What another place, adhesive or hour would change."""
    gates = ladder(version.label, stressed=stressed)
    for other in scene.places:
        if other.id != place.id:
            night = night_of(scene, other, version.label, gates, press_us)
            yield _instead(scene, "place", other.id, other.name, night)
    for row in scene.labels:
        if row.material_id != version.material_id and row.label.role == version.label.role:
            theirs = ladder(row.label, stressed=stressed)
            night = night_of(scene, place, row.label, theirs, press_us)
            yield _instead(scene, "adhesive", row.id, row.material.name, night)
    hour = _next_good_us(scene, place, version.label, gates, press_us)
    if hour is not None:
        night = night_of(scene, place, version.label, gates, hour)
        at = scene.reader.opens(hour)
        yield _instead(scene, "hour", None, at, night, from_us=hour)


def _instead(
    scene: Scene, what: str, ident: object, name: str, night: Night, *, from_us: int | None = None
) -> Instead:
    reader, latest = scene.reader, night.latest_us
    told = {"name": name, "at": "" if latest is None else reader.closes(latest)}
    sets = reader.opens(night.sets_us)
    if what == "hour":
        says = say("check.instead.hour", name=name, sets=sets)
    elif night.word == Word.NOT_NOW:
        says = say("check.instead.no", **told)
    elif latest is not None:
        says = say("check.instead.until", sets=sets, **told)
    elif night.cause == "asleep":
        says = say("check.instead.asleep", **told)
    else:
        says = say("check.instead.any", sets=sets, **told)
    until = None if latest is None else to_minute(moment_of(latest), opens=False)
    opens = night.sets_us if from_us is None else from_us
    opens_at = None if opens is None else to_minute(moment_of(opens), opens=True)
    return Instead(what, ident, name, night.word, says, until, opens_at)  # type: ignore[arg-type]


def _next_good_us(
    scene: Scene, place: Place, label: Label, gates: Sequence[Gate], press_us: int
) -> int | None:
    """The first half hour from then on at which it would be good; None where it is good now."""
    if label.min_c is None:
        return None
    starts = (press_us // GRID_US + np.arange(1, 2 * HOURS_AHEAD, dtype=np.int64)) * GRID_US
    good = scene.line(place).temp_at(starts) >= label.min_c
    keep_warm = next((gate for gate in gates if gate.kind.key == "keep_warm"), None)
    first = np.array([press_us], dtype=np.int64)
    if label.spoils and keep_warm is not None:
        asked, wood = np.concatenate([first, starts]), scene.wood_in(place)
        every = spoiled(scene.foresight, place, label, keep_warm, asked, wood=wood)
        good &= ~np.array(every[1:])
        now = not every[0]
    else:
        now = True
    if now and scene.air(place, press_us).temp_c >= label.min_c:
        return None
    found = np.flatnonzero(good)
    return int(starts[found[0]]) if len(found) else None
