"""Cold night: a gate of 24 label-hours pressed at 16:00, and the temperatures of one night.

By pencil, with the ramp mean (r1 - r2)/ln(r1/r2) of the doubling rule and the label at 20 degC:
16-20 h 4 x 0.8451, 20-02 h 6 x 0.5602, 02-08 h 6 x 0.4065, 08-10 h 2 x 0.6400: 10.46 label-hours
by 10:00; the other 13.54 run at 1, so the gate opens at 23:32.
"""

from datetime import datetime, timedelta
from itertools import permutations
from uuid import UUID, uuid5

import pytest

from cureclock.core.stance import Stance
from cureclock.core.units import HOUR_US, instant_us
from cureclock.shop.models import Place
from cureclock.waits.ages import Ages, response_of
from cureclock.waits.clocks import effective
from cureclock.waits.figures import figures_of
from cureclock.waits.models import Clock, Gate
from cureclock.waits.rebuild import differences
from tests.cast import Cast, when

NIGHT = [
    ("Mon 16:00", 20.0),
    ("Mon 20:00", 15.0),
    ("Tue 02:00", 8.0),
    ("Tue 08:00", 6.0),
    ("Tue 10:00", 20.0),
]
pytestmark = pytest.mark.django_db


def pressed() -> Cast:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    cast.spread("G1", ["L-01"], "Mon 15:50")
    cast.press("G1", "Mon 16:00")
    return cast


def bare(kind: str, at: str) -> datetime:
    gates = Gate.objects.with_clocks().filter(kind=kind)
    found = figures_of(list(gates), Ages(when("Mon 15:00"), when(at)))
    (instants,) = found.values()
    assert instants.bare is not None
    return instants.bare


def read_all(cast: Cast, order: tuple[int, ...], arrived: str = "Tue 10:00") -> None:
    for number in order:
        at, temp_c = NIGHT[number]
        ident = uuid5(UUID(int=0), at)
        cast.read(at, temp_c, arrived=max(when(at), when(arrived)), ident=ident)


def rows() -> list[tuple[object, ...]]:
    """Every gate and clock, ages counted from the last reading (only differences mean anything)."""
    gates = Gate.objects.with_clocks().order_by("kind")
    found: list[tuple[object, ...]] = []
    for gate in gates:
        for name in ("bare", "act", "sure"):
            row: Clock | None = getattr(gate, f"{name}_clock")
            if row is not None:
                threshold = getattr(gate, f"{name}_us")
                left = effective(row, threshold, gate.placed, gate.stay_at) - row.age_us
                found.append((gate.kind, name, row.read_at, row.next_due_at, left))
    return found


def test_10_46_label_hours_are_banked_by_ten() -> None:
    read_all(pressed(), (0, 1, 2, 3, 4))
    clock = Clock.objects.select_related("place__workshop").get(stance="likely")
    banked = Ages(when("Mon 15:00"), when("Tue 10:00")).between(
        Place.objects.get(),
        response_of(clock.response),
        Stance.LIKELY,
        instant_us(when("Mon 16:00")),
        instant_us(when("Tue 10:00")),
    )
    assert banked / HOUR_US == pytest.approx(10.46, abs=0.005)


def test_spin_opens_at_2332_the_next_day() -> None:
    read_all(pressed(), (0, 1, 2, 3, 4))
    assert abs(bare("spin", "Tue 10:00") - when("Tue 23:32")) < timedelta(minutes=1)


def test_any_order_gives_the_same_rows() -> None:
    told = []
    for order in [(0, 1, 2, 3, 4), *list(permutations(range(5)))[7::23]]:
        cast = pressed()
        read_all(cast, order)
        told.append(rows())
        assert differences(cast.workshop, when("Tue 10:00")) == []
        cast.workshop.delete()
    assert len(told) > 5
    assert all(one == told[0] for one in told)


def test_a_reading_taken_twice_changes_nothing() -> None:
    cast = pressed()
    read_all(cast, (0, 1, 2, 3, 4))
    before = rows()
    read_all(cast, (2, 0, 4))
    assert rows() == before


def test_readings_as_they_came_or_all_at_ten_give_the_same_rows() -> None:
    one, other = pressed(), None
    read_all(one, (0, 1, 2, 3, 4), arrived="Mon 16:00")
    before = rows()
    one.workshop.delete()
    other = pressed()
    read_all(other, (0, 1, 2, 3, 4))
    assert rows() == before
