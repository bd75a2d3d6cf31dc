"""What shares the air with a coat: sanding, flames, and films that are still wet."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from cureclock.core.clock import NEVER
from cureclock.core.gates import Gate as CoreGate
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.library import library
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us
from cureclock.core.wording.say import say
from cureclock.shop.models import Place
from cureclock.waits.check.said import CheckLine, Word
from cureclock.waits.check.scene import Scene
from cureclock.waits.figures import figures_of
from cureclock.waits.ledger import acting_only
from cureclock.waits.models import Gate

DUST_FREE = "dust_free"


def shared_air(
    scene: Scene,
    place: Place,
    known: Finish | None,
    gates: Sequence[CoreGate],
    *,
    sanding_at: datetime | None,
    dry_us: int | None,
) -> Iterable[CheckLine]:
    """Lines about dust and vapour.

    Args:
        dry_us: when the coat is touch dry, which is looked to where its label says nothing of
            dust.
    """
    yield from _dust(scene, place, gates, sanding_at, dry_us)
    wet = _wet_here(scene, place)
    solvents = known is not None and "solvents" in known.cautions
    if solvents:
        box = any(one.kind == "box" and one.place == place.id for one in scene.ledger.lines)
        word = Word.NOT_NOW if box else Word.CARE
        says = say("check.vapour.box" if box else "check.vapour.flame", place=place.name)
        yield CheckLine("vapour", word, says)
    elif any("solvents" in _cautions(gate) for gate in wet):
        yield CheckLine("vapour", Word.CARE, say("check.vapour.others", place=place.name))


def _dust(
    scene: Scene,
    place: Place,
    gates: Sequence[CoreGate],
    sanding_at: datetime | None,
    dry_us: int | None,
) -> Iterable[CheckLine]:
    """No sanding where anything is not dust-free."""
    gate = next((one for one in gates if one.kind.key == DUST_FREE), None)
    clear_us = dry_us
    if gate is not None:
        clock = scene.ages.clock(place, gate.response, Stance.SLOW)
        us = int(clock.earliest(clock.age_at(scene.start_us) + gate.need_us))
        clear_us = None if us == NEVER else us
    told = {"place": place.name, "at": scene.reader.opens(clear_us)}
    if sanding_at is None:
        yield CheckLine("dust", Word.NOTE, say("check.dust.none_before", **told))
        return
    told["sanding"] = scene.reader.closes(instant_us(sanding_at))
    into_wet = clear_us is None or instant_us(sanding_at) < clear_us
    if into_wet and sanding_at >= scene.start:
        yield CheckLine("dust", Word.NOT_NOW, say("check.dust.conflict", **told))
    else:
        yield CheckLine("dust", Word.GO, say("check.dust.clear", **told))


def _wet_here(scene: Scene, place: Place) -> list[Gate]:
    """Gates to dust-free that are still to come in this place."""
    rows = Gate.objects.filter(
        workshop=scene.workshop, kind=DUST_FREE, wait__open=True, wait__place=place
    ).exclude(state__in=(Gate.State.REACHED, Gate.State.OVER))
    gates = list(rows.select_related("wait__label__material"))
    acting_only(gates)
    times = figures_of(gates, scene.ages)
    return [gate for gate in gates if (act := times[gate.id].act) is None or act > scene.start]


def _cautions(gate: Gate) -> tuple[str, ...]:
    known = library().families.get(gate.wait.label.material.family)
    return known.cautions if known else ()
