"""The coat check: the air until it is dry, dust, solvents, finish to pour, coats before a date."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from cureclock.core.clock import NEVER
from cureclock.core.coat.before_date import CoatRoute, coats_before, latest_first_coat_us
from cureclock.core.coat.coverage import USUAL_LOSS, litres
from cureclock.core.coat.film import wet_film_of_rate_um
from cureclock.core.coat.shop_hours import NO_LONGER, ReadyTable
from cureclock.core.gates import Gate, Name
from cureclock.core.ladder import ladder
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.library import library
from cureclock.core.reminding.wall import Weekly
from cureclock.core.timeline import GRID_US
from cureclock.core.units import DAY_US, MINUTE_US, instant_us, moment_of
from cureclock.core.wording.say import say
from cureclock.shop.models import Place, Workshop
from cureclock.shop.refusals import Refusal
from cureclock.waits.check.airing import airing
from cureclock.waits.check.asked import CoatAsked, WoodAsked
from cureclock.waits.check.glue_up import Nouns, of_air, ruled
from cureclock.waits.check.hanging import hanging
from cureclock.waits.check.night import gates_ahead
from cureclock.waits.check.said import CheckLine, CheckTold, Word, figure
from cureclock.waits.check.scene import Scene
from cureclock.waits.check.shared_air import shared_air
from cureclock.waits.check.wooden import wood_then
from cureclock.waits.minute import to_minute

ROLES = ("finish", "stain", "filler")
MOST_AHEAD = timedelta(days=60)  # a date further on is not counted to; our choice


def check_coat(
    workshop: Workshop, asked: CoatAsked, of: Nouns, many: int, at: datetime
) -> CheckTold:
    """Go, go with care, or not now; for a coat on so many pieces."""
    scene = Scene(workshop, at, asked.at or at)
    label = of.label.label
    if label.role not in ROLES:
        raise Refusal("label", "is no finish", "choose a finish")
    found = library().families.get(of.label.material.family)
    known = found if isinstance(found, Finish) else None
    gates = ladder(label)
    wood = wood_then(
        scene, of.place, WoodAsked(thickness_mm=asked.thickness_mm, temp_c=asked.wood_c), None
    )
    air = airing(scene, of.place, label, gates, wood)
    lines, takes = hanging(scene.ledger, asked.thing, of.place, many, reader=scene.reader, at=at)
    dry_us = None if air.wet_us is None else scene.start_us + air.wet_us
    told = [
        *air.lines,
        *of_air(of.place, scene.air(of.place)),
        *_unread(of),
        *shared_air(scene, of.place, known, gates, sanding_at=asked.sanding_at, dry_us=dry_us),
        *_pour(asked, known),
        *lines,
        *_before(scene, of.place, gates, asked),
    ]
    return ruled(
        CheckTold(
            word=Word.GO,
            says="",
            blame="",
            start=scene.start,
            answered_at=at,
            lines=tuple(told),
            gates=gates_ahead(scene, of.place, gates, scene.start_us),
            instead=(),
            largest_load=None,
            loads=None,
            things=takes,
            cautions=() if known is None else known.cautions,
        )
    )


def _unread(of: Nouns) -> Iterable[CheckLine]:
    if of.label.read_by_id is None:
        says = say("check.label.unread", name=of.label.material.name)
        yield CheckLine("label", Word.CARE, says)


def _pour(asked: CoatAsked, known: Finish | None) -> Iterable[CheckLine]:
    """Finish for all the areas named, each with its own coats."""
    rate, typical = asked.coverage_m2_l, False
    if rate is None and known is not None and known.coverage_m2_l is not None:
        rate, typical = known.coverage_m2_l.lowest, True
    if not asked.areas or rate is None:
        return
    loss = USUAL_LOSS if asked.loss is None else asked.loss
    each = litres(
        [one.area_m2 for one in asked.areas],
        [one.coats for one in asked.areas],
        rate,
        pieces=[one.pieces for one in asked.areas],
        loss_fraction=loss,
    )
    total = float(each.sum())
    sums = [
        say(
            "check.sum.pour",
            pieces=one.pieces,
            area=figure(one.area_m2, 4),
            coats=one.coats,
            rate=figure(rate),
            loss=figure(1 + loss, 2),
            litres=figure(float(own), 3),
        )
        for one, own in zip(asked.areas, each, strict=True)
    ]
    sums.append(say("check.sum.film", film=figure(float(wet_film_of_rate_um(rate)), 0)))
    if typical:
        sums.append(say("check.typical"))
    says = say("check.coat.pour", litres=figure(total, 2))
    yield CheckLine("finish", Word.NOTE, says, tuple(sums), values={"litres": total})


def _before(
    scene: Scene, place: Place, gates: Sequence[Gate], asked: CoatAsked
) -> Iterable[CheckLine]:
    """How many coats fit before the date, here; and how many in each other place."""
    if asked.due is None or asked.minutes is None:
        return
    if not scene.start < asked.due <= scene.start + MOST_AHEAD:
        raise Refusal("due", "is not within two months of the start", "name a nearer date")
    by_kind = {gate.kind.key: gate for gate in gates}
    missing = [key for key in ("recoat_opens", "wrap") if key not in by_kind]
    if missing:
        says = say("check.before.unoffered", gate=say(f"gate.{missing[0]}.name"))
        yield CheckLine("before_date", Word.CARE, says)
        return
    yield _fits(scene, place, by_kind, asked, own=True)
    for other in scene.places:
        if other.id != place.id and scene.ages.air(other).last_us is not None:
            yield _fits(scene, other, by_kind, asked, own=False)


def _fits(
    scene: Scene, place: Place, by_kind: dict[str, Gate], asked: CoatAsked, *, own: bool
) -> CheckLine:
    assert asked.due is not None
    assert asked.minutes is not None
    due_us = instant_us(asked.due)
    tables = {
        key: _table(scene, place, by_kind[key], due_us)
        for key in ("recoat_opens", "wrap", "recoat_closes")
        if key in by_kind
    }
    hands_us = round(asked.minutes * MINUTE_US)
    route = CoatRoute(hands_us, tables["recoat_opens"], tables["wrap"], tables.get("recoat_closes"))
    days = (asked.due - scene.start).days + 2
    hours = Weekly.of(scene.workshop.hours).spells(scene.workshop.tz, scene.start_us, days)
    if hours is None:
        return CheckLine("before_date", Word.CARE, say("check.before.nobody"))
    found = coats_before(route, hours, from_us=scene.start_us, due_us=due_us)
    reader, end_us = scene.reader, found.last_end_by_us
    told: dict[str, Any] = {
        "place": place.name,
        "count": found.coats,
        "wanted": asked.coats,
        "end": reader.closes(None if end_us == NO_LONGER else end_us),
    }
    values = {"coats": float(found.coats), "wanted": float(asked.coats)}
    if not own:
        return CheckLine(
            f"before_date_{place.id}", Word.NOTE, say("check.before.there", **told), values=values
        )
    sums = [
        say(
            "check.sum.coat_turn",
            number=number,
            begins=reader.opens(int(b)),
            ends=reader.opens(int(e)),
        )
        for number, (b, e) in enumerate(zip(found.begins_us, found.ends_us, strict=True), 1)
    ]
    fits = found.coats >= asked.coats
    at = None
    if fits:
        latest_us = latest_first_coat_us(route, hours, coats=asked.coats, due_us=due_us)
        at = None if latest_us == NO_LONGER else to_minute(moment_of(latest_us), opens=False)
        told["latest"] = reader.closes(None if at is None else instant_us(at))
        says = say("check.before.fits", **told)
    else:
        says = say("check.before.too_few", **told)
    word = Word.GO if fits else Word.CARE
    return CheckLine("before_date", word, says, tuple(sums), at, values)


def _table(scene: Scene, place: Place, gate: Gate, due_us: int) -> ReadyTable:
    """When a wait begun at each half hour is over, as far as the date."""
    count = (due_us - scene.start_us) // GRID_US + 2
    starts = scene.start_us // GRID_US * GRID_US + np.arange(count + 1, dtype=np.int64) * GRID_US
    wanted = Name.NOT_BEFORE if gate.kind.opens else Name.NOT_AFTER
    figure_of = next(one for one in gate.figures() if one.name == wanted)
    clock = scene.ages.clock(place, gate.response, figure_of.stance)
    ends = clock.earliest(clock.age_at(starts) + figure_of.need_us)
    far = starts[-1] + 400 * DAY_US
    return ReadyTable(starts, np.minimum(np.where(ends == NEVER, far, ends), far))
