"""The glue-up check: one answer from the shop's own state, each reason with its sum."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from cureclock.core.ladder import ladder
from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.library import library
from cureclock.core.units import SECOND_US
from cureclock.core.wording.say import say
from cureclock.shop.models import LabelVersion, Place, Workshop
from cureclock.shop.refusals import Refusal
from cureclock.waits.check.asked import GlueUpAsked
from cureclock.waits.check.mixing import mixing
from cureclock.waits.check.night import gates_ahead, instead_of, night_line, night_of
from cureclock.waits.check.pressing import density_of, pressing
from cureclock.waits.check.said import (
    CheckLine,
    CheckTold,
    Word,
    figure,
    in_order,
    worst,
)
from cureclock.waits.check.scene import AirThen, Scene
from cureclock.waits.check.shape import Shape, shape_of
from cureclock.waits.check.timing import timing
from cureclock.waits.check.water import water
from cureclock.waits.check.wooden import wood_then, wooden
from cureclock.waits.wood import binned_us, own_lag_us

MM = 1000


@dataclass(frozen=True)
class Nouns:
    """What was asked about, found to be of this workshop."""

    label: LabelVersion
    place: Place


def check_glue_up(workshop: Workshop, asked: GlueUpAsked, of: Nouns, at: datetime) -> CheckTold:
    """Go, go with care, or not now."""
    scene = Scene(workshop, at, asked.at or at)
    label = of.label.label
    if label.role != "adhesive":
        raise Refusal("label", "is no glue", "choose a glue")
    found = library().families.get(of.label.material.family)
    known = found if isinstance(found, Adhesive) else None
    shape = None if asked.shape is None else shape_of(asked.shape)
    air = scene.air(of.place)
    density = density_of(asked.wood)
    wood = wood_then(scene, of.place, asked.wood, density)
    if asked.wood.thickness_mm is not None:
        scene.lag_us = binned_us(own_lag_us(asked.wood.thickness_mm, density))
        scene.lies = None if asked.wood.temp_c is not None else asked.wood.from_place or of.place.id
    press = pressing(asked, known, shape, scene.ledger, reader=scene.reader, at=at)
    timed = timing(label, air, wood.temp_c, asked.hands, asked.many, clamps=press.each)
    warmer = max(air.temp_c, wood.temp_c)
    lines = [
        *timed.lines,
        *mixing(asked, label, known, shape, temp_c=warmer, using_s=timed.spread_s),
        *of_shape(shape),
        *water(asked, known, shape, density_kg_m3=density, temp_c=air.temp_c),
        *press.lines,
        *of_air(of.place, air),
        *wooden(scene, of.label, asked.wood, wood, air, pieces=asked.pieces),
        *of_label(of.label, known, stressed=asked.stressed),
    ]
    gates = ladder(label, stressed=asked.stressed)
    press_us = scene.start_us + int((timed.oldest_s or 0) * SECOND_US)
    night = night_of(scene, of.place, label, gates, press_us)
    lines.append(night_line(scene, of.place, night))
    return ruled(
        CheckTold(
            word=Word.GO,
            says="",
            blame="",
            start=scene.start,
            answered_at=at,
            lines=tuple(lines),
            gates=gates_ahead(scene, of.place, gates, press_us),
            instead=tuple(instead_of(scene, of.place, of.label, press_us, stressed=asked.stressed)),
            largest_load=timed.largest,
            loads=timed.loads,
            things=press.takes,
            cautions=() if known is None else known.cautions,
        )
    )


def of_shape(shape: Shape | None) -> Iterable[CheckLine]:
    """What has to be sawn or built for it."""
    if shape is not None and shape.ring is not None:
        mitre, edge = shape.ring.mitre_deg, shape.ring.outside_edge_m * MM
        says = say("check.shape.ring", mitre=figure(mitre, 2), edge=figure(edge))
        values = {"mitre_deg": mitre, "outside_edge_mm": edge}
        yield CheckLine("saw", Word.NOTE, says, values=values)
    if shape is not None and shape.bend is not None:
        radius = shape.bend.form_radius_m * MM
        says = say("check.shape.bend", radius=figure(radius))
        yield CheckLine("form", Word.NOTE, says, values={"form_radius_mm": radius})


def of_air(place: Place, air: AirThen) -> Iterable[CheckLine]:
    """Whether the temperature of the place is known at all, and lately."""
    if not air.ever:
        says = say("check.air.never", place=place.name)
        yield CheckLine("air", Word.CARE, says)
    elif not air.known:
        says = say("check.air.old", place=place.name)
        yield CheckLine("air", Word.CARE, says)


def of_label(label: LabelVersion, known: Adhesive | None, *, stressed: bool) -> Iterable[CheckLine]:
    """Whether anybody read the label; whether such a glue holds under stress."""
    if label.read_by_id is None:
        says = say("check.label.unread", name=label.material.name)
        yield CheckLine("label", Word.CARE, says)
    if stressed and known is not None and known.creeps:
        yield CheckLine("creeps", Word.CARE, say("check.label.creeps", name=label.material.name))


def ruled(found: CheckTold) -> CheckTold:
    """The answer with its word, by the line that rules."""
    ruling = worst(found.lines)
    word = Word.GO if ruling is None else Word(ruling.word)
    says = {
        Word.GO: say("check.word.go"),
        Word.CARE: say("check.word.care"),
        Word.NOT_NOW: say("check.word.not_now"),
    }[word]
    blame = "" if ruling is None else ruling.key
    return replace(found, word=word, says=says, blame=blame, lines=in_order(found.lines))
