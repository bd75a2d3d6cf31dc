"""Why the figures of a group are less than certain, by key."""

from collections.abc import Iterable, Sequence
from uuid import UUID

import numpy as np

from cureclock.core.timeline import HAND_REACH_US, SENSOR_REACH
from cureclock.core.units import instant_us
from cureclock.shop.air import PlaceAir
from cureclock.shop.models import Place
from cureclock.waits.ages import response_of
from cureclock.waits.current import Current, Rung
from cureclock.waits.group_gates import crosses_rows


def unsure_of(found: Current, rungs: Sequence[Rung]) -> tuple[str, ...]:
    """What makes the figures of a group doubtful, each reason once."""
    pending = [rung for rung in rungs if not rung.over and not rung.reached(found.at)]
    return tuple(dict.fromkeys(_reasons(found, pending)))


def _reasons(found: Current, pending: Sequence[Rung]) -> Iterable[str]:
    for place in {rung.wait.place_id: rung.wait.place for rung in pending}.values():
        yield from _of_air(found, place, pending)
    for rung in pending:
        if crosses_rows(found, rung):
            yield "outside_label_rows"
        if rung.gate.opens and rung.acts is None:
            yield "out_of_reach"
    if any(_unread(rung) for rung in pending):
        yield "unread_label"


def _of_air(found: Current, place: Place, pending: Sequence[Rung]) -> Iterable[str]:
    air = found.ages.air(place)
    if not len(air.readings):
        yield "label_temperature_assumed"
        return
    if silent_since(air, instant_us(found.at)) is not None:
        yield "no_word"
    if np.isnan(air.readings.rh_pct[-1]) and any(
        _needs_damp(rung) for rung in pending if rung.wait.place_id == place.id
    ):
        yield "damp_not_measured"


def silent_since(air: PlaceAir, now_us: int) -> int | None:
    """The last word from a place that should have spoken since [us]; None while it is heard of.

    A sensor is missed after three times its rhythm, a hand after twelve hours.
    """
    if not len(air.readings):
        return None
    rhythm = int(air.readings.rhythm_us[-1])
    reach = SENSOR_REACH * rhythm if rhythm else HAND_REACH_US
    last = int(air.readings.at_us[-1])
    return last if now_us - last > reach else None


def places_waiting(found: Current) -> dict[UUID, Place]:
    """Places in which something still waits."""
    return {
        rung.wait.place_id: rung.wait.place
        for rungs in found.rungs.values()
        for rung in rungs
        if not rung.over and not rung.reached(found.at)
    }


def _needs_damp(rung: Rung) -> bool:
    row = rung.gate.act_clock
    return row is not None and response_of(row.response).needs_humidity


def _unread(rung: Rung) -> bool:
    gates = rung.wait.label.values["gates"]
    return any(gate["name"] == rung.gate.kind and not gate["read"] for gate in gates)
