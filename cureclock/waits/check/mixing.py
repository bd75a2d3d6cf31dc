"""How much glue to pour or mix, in how many pots, and until when a pot can be used."""

from collections.abc import Iterable

from cureclock.core.joint.assembly import heat_factor
from cureclock.core.joint.mix import glue_needed_g, pots_needed
from cureclock.core.joint.pot import largest_pot_g, pot_life_s
from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.label import Label
from cureclock.core.units import HOUR_US, SECOND_US
from cureclock.core.wording.say import say
from cureclock.waits.check.asked import GlueUpAsked
from cureclock.waits.check.said import CheckLine, Word, clock_of, figure
from cureclock.waits.check.shape import Shape

HOUR_S = HOUR_US / SECOND_US
USUAL_LOSS = 0.2  # pot, brush and squeeze-out; common practice, no source


def mixing(
    asked: GlueUpAsked,
    label: Label,
    known: Adhesive | None,
    shape: Shape | None,
    *,
    temp_c: float,
    using_s: float | None,
) -> Iterable[CheckLine]:
    """Lines about glue to mix.

    Args:
        known: its family in the library.
        temp_c: the warmer of air and wood.
        using_s: how long one load takes to spread; None where no dry run was timed.
    """
    needed = asked.mix_g
    if needed is None and shape is not None:
        poured = _pour(asked, known, shape)
        if poured is not None:
            yield poured
            needed = poured.values["glue_g"]
    if label.gate("pot_life") is not None and needed is not None:
        yield from _pots(label, needed, temp_c, using_s)


def spread_of(asked: GlueUpAsked, known: Adhesive | None) -> tuple[float | None, bool]:
    """Glue on each square metre, as told or as usual for its kind; and whether it is the usual."""
    if asked.spread_g_m2 is None and known is not None and known.spread_g_m2 is not None:
        return known.spread_g_m2.value, True
    return asked.spread_g_m2, False


def _pour(asked: GlueUpAsked, known: Adhesive | None, shape: Shape) -> CheckLine | None:
    spread, typical = spread_of(asked, known)
    if spread is None:
        return None
    faces = shape.thirsty * (2 if known is not None and known.both_faces else 1)
    loss = USUAL_LOSS if asked.loss is None else asked.loss
    area = shape.area_m2 * asked.many
    grams = float(glue_needed_g(area, spread, loss, faces))
    sums = [
        say(
            "check.sum.glue",
            area=figure(area, 4),
            spread=figure(spread),
            faces=figure(faces, 2),
            loss=figure(1 + loss, 2),
            grams=figure(grams, 0),
        )
    ]
    if typical:
        sums.append(say("check.typical"))
    values = {"glue_g": grams, "area_m2": area, "spread_g_m2": spread}
    return CheckLine(
        "glue", Word.NOTE, say("check.glue", grams=figure(grams, 0)), tuple(sums), values=values
    )


def _pots(label: Label, needed: float, temp_c: float, using_s: float | None) -> Iterable[CheckLine]:
    """How long one pot of it all would last, and in how many it has to be mixed to be used up."""
    gate = label.gate("pot_life")
    assert gate is not None
    life_s, mass_g = gate.hours * HOUR_S, label.pot_mass_g
    like = {"label_temp_c": label.label_temp_c, "q": label.q}
    if mass_g is None:
        lasts = life_s * float(heat_factor(temp_c, label.label_temp_c, label.q))
        most = needed
    else:
        lasts = float(pot_life_s(life_s, mass_g, needed, temp_c, **like))
        most = (
            needed
            if using_s is None
            else float(largest_pot_g(life_s, mass_g, max(using_s, 1.0), temp_c, **like))
        )
    told = {
        "label": clock_of(life_s),
        "mass": say("check.mass_unsaid") if mass_g is None else f"{figure(mass_g)} g",
        "grams": figure(needed, 0),
        "temp": figure(temp_c),
        "lasts": clock_of(lasts),
    }
    values = {"pot_life_s": lasts, "mixed_g": needed}
    sums = (say("check.sum.pot", **told),)
    if most <= 0:
        yield CheckLine("pots", Word.NOT_NOW, say("check.pots.never", **told), sums, values=values)
        return
    pots = int(pots_needed(needed, max(most, 1.0)))
    heats = mass_g is not None and needed > mass_g
    if pots > 1:
        word, says = Word.CARE, say("check.pots.split", count=pots, **told)
    elif heats or (using_s is not None and using_s > lasts):
        word, says = Word.CARE, say("check.pots.heats", **told)
    else:
        word, says = Word.NOTE, say("check.pots.one", **told)
    yield CheckLine("pots", word, says, sums, values={**values, "pots": float(pots)})
