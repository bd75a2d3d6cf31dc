"""The water that the glue brings into the wood, and how long it takes to even out."""

from collections.abc import Iterable

from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.wood.glue_water import HANDBOOK_C, evening_out, glue_water_points
from cureclock.core.wood.lag import USUAL_KG_M3
from cureclock.core.wording.say import say
from cureclock.waits.check.asked import GlueUpAsked
from cureclock.waits.check.mixing import spread_of
from cureclock.waits.check.said import CheckLine, Word, figure
from cureclock.waits.check.shape import Shape

MM = 1000


def water(
    asked: GlueUpAsked,
    known: Adhesive | None,
    shape: Shape | None,
    *,
    density_kg_m3: float | None,
    temp_c: float,
) -> Iterable[CheckLine]:
    """How many points of moisture it adds to wood glued of layers, and the days of rest.

    Nothing where the shape has no layers, or nobody knows how much water is in the glue.
    """
    if shape is None or shape.wood_m is None or known is None or known.water_fraction is None:
        return
    spread, typical = spread_of(asked, known)
    if spread is None:
        return
    spread *= 2 if known.both_faces else 1
    density = USUAL_KG_M3 if density_kg_m3 is None else density_kg_m3
    part = known.water_fraction.value
    points = float(glue_water_points(spread, part, shape.wood_m, density, lines=shape.lines))
    days = float(evening_out(min(temp_c, HANDBOOK_C[-1])).expert_days)
    told = {"points": figure(points), "days": figure(days, 0), "temp": figure(temp_c)}
    sums = [
        say(
            "check.sum.water",
            lines=str(shape.lines),
            spread=figure(spread),
            part=figure(100 * part, 0),
            thickness=figure(shape.wood_m * MM),
            density=figure(density, 0),
            **told,
        )
    ]
    if typical or density_kg_m3 is None:
        sums.append(say("check.typical"))
    values = {"points": points, "rest_days": days}
    yield CheckLine("water", Word.NOTE, say("check.water", **told), tuple(sums), values=values)
