"""Readings in order of several places move their clocks together, and just as one by one."""

from collections.abc import Callable
from datetime import datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from cureclock.actions import follow
from cureclock.shop.air import Told
from cureclock.shop.models import Reading
from cureclock.waits.due import DueClocks
from cureclock.waits.in_order import move_in_order
from cureclock.waits.models import Clock, Gate, Suspicion
from cureclock.waits.rebuild import differences
from cureclock.waits.reread import Change
from tests.cast import Cast, when
from tests.draws import drawn

pytestmark = pytest.mark.django_db
PLACES = ("Shed", "Loft", "Cellar")


def glued(name: str = "Slipway shed") -> Cast:
    """A glue-up in each place, begun before the last reading there."""
    cast = Cast.open(name)
    cast.material()
    cast.material("Oil", "oil_varnish_blend", {})
    for number, place in enumerate(PLACES):
        cast.place(place)
        read(cast, place, "Mon 07:00", 20.0 - number)
        cast.piece(f"{place} 1")
        cast.spread(f"G {place}", [f"{place} 1"], "Mon 08:00", place=place)
        cast.press(f"G {place}", "Mon 08:05")
        read(cast, place, "Mon 08:30", 19.0 - number)
    return cast


def read(cast: Cast, place: str, at: str, temp_c: float) -> None:
    cast.do("reading_taken", at, place=cast.id(place), temp_c=temp_c, rh_pct=55.0)


def estimates(cast: Cast) -> dict[str, Any]:
    """All that a reading may write, by names and not by keys."""
    clocks = Clock.objects.filter(workshop=cast.workshop).values_list(
        *("place__name", "response_hash", "stance", "lag_s", "read_at", "age_us", "rate"),
        *("corrected", "corrections", "next_threshold_us", "next_due_at"),
    )
    gates = Gate.objects.filter(workshop=cast.workshop).values_list(
        *("wait__piece__tag", "kind", "state", "bare_us", "act_us", "warn_us", "sure_us", "placed")
    )
    doubts = Suspicion.objects.filter(workshop=cast.workshop)
    return {
        "clocks": sorted(clocks, key=str),
        "gates": sorted(gates, key=str),
        "doubts": sorted(doubts.values_list("wait__piece__tag", "cause", "at", "temp_c"), key=str),
    }


def moments(chance: Random) -> list[tuple[Any, ...]]:
    """What is told through a day and a half: mostly readings, some late, some cold; and the acts
    that a reading may have to look back to."""
    told: list[tuple[Any, ...]] = []
    at = when("Mon 08:30")
    for number in range(14):
        at += timedelta(minutes=chance.choice([5, 45, 200]))
        place, temp_c = chance.choice(PLACES), chance.choice([4.0, 14.0, 18.0, 23.0])
        late = at - timedelta(minutes=chance.choice([0, 0, 0, 0, 0, 90]))
        told.append(("read", place, late, at, temp_c))
        act = chance.choice(["", "", "", "glue", "off", "move", "lowest", "expect"])
        if act:
            then = at + timedelta(minutes=2)
            told.append((act, place, then, chance.choice(PLACES), number))
    return told


def tell(cast: Cast, told: list[tuple[Any, ...]]) -> None:
    for act, place, at, other, more in told:
        here = cast.id(place)
        if act == "read":
            cast.do("reading_taken", at, arrived=other, place=here, temp_c=more, rh_pct=55.0)
        elif act == "glue":
            cast.piece(f"P{more}", at=at)
            cast.spread(f"N{more}", [f"P{more}"], at, place=place)
            cast.press(f"N{more}", at)
        elif act == "off":
            cast.do("clamps_off", at, glue_up=cast.id(f"G {place}"))
        elif act == "move":
            cast.do("moved_place", at, piece=cast.id(f"{place} 1"), place=cast.id(other))
        elif act == "lowest":
            cast.do("lowest_last_night", at, place=here, temp_c=8.0)
        else:
            cast.do("air_expected", at, place=here, outside_low_c=2.0, heater_off=True)


@pytest.mark.parametrize("seed", drawn(range(6)))
def test_the_short_way_leaves_the_rows_that_the_long_one_leaves(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    told, ways = moments(Random(seed)), []

    def noted(changes: list[Change], at: datetime) -> set[UUID]:
        ways.append(len(moved := move_in_order(changes, at)))
        return moved

    monkeypatch.setattr(follow, "move_in_order", noted)
    short = glued()
    tell(short, told)
    assert any(ways), "the story tries the long way alone"
    assert differences(short.workshop, when("+3 00:00")) == []
    monkeypatch.setattr(follow, "move_in_order", lambda changes, at: set())  # noqa: ARG005
    long = glued("Another shed")
    tell(long, told)
    assert estimates(short) == estimates(long)


def test_a_plain_reading_of_each_of_many_places_is_the_short_ways_with_the_same_questions() -> None:
    def asked(places: int) -> int:
        cast = glued(f"Shop of {places}")
        changes = []
        for place in PLACES[:places]:
            found = cast.workshop.places.get(name=place)
            read_of = Told.of(
                Reading.objects.create(
                    place=found,
                    at=when("Mon 09:00"),
                    arrived_at=when("Mon 09:00"),
                    temp_c=18.0,
                    rh_pct=50.0,
                    mark=Reading.Mark.TYPED,
                )
            )
            changes.append(Change(found, added=[read_of]))
        with CaptureQueriesContext(connection) as queries:
            assert move_in_order(changes, when("Mon 09:00")) == {c.place.id for c in changes}
        read = Clock.objects.filter(place__in=[change.place for change in changes])
        assert set(read.values_list("read_at", flat=True)) == {when("Mon 09:00")}
        return len(queries)

    assert asked(1) == asked(3)


def due_off(cast: Cast) -> datetime:
    """When the clamps in the shed may come off by the air that is expected."""
    off = Gate.objects.with_clocks().get(wait__place__name="Shed", kind="clamps_off")
    assert off.act_clock is not None
    assert off.act_clock.next_due_at is not None
    return off.act_clock.next_due_at


def test_air_below_the_floor_of_a_film_that_sets_is_left_to_the_long_way() -> None:
    cast = glued()
    read(cast, "Shed", "Mon 09:00", 9.0)
    assert Suspicion.objects.get().wait.place.name == "Shed"
    assert differences(cast.workshop, when("Mon 09:00")) == []


def test_a_gate_that_was_reached_on_expected_air_is_taken_back_by_a_colder_reading() -> None:
    cast = glued()
    off = Gate.objects.get(wait__place__name="Shed", kind="clamps_off")
    due = due_off(cast)
    with transaction.atomic():
        DueClocks().take(due + timedelta(minutes=1))
    off.refresh_from_db()
    assert off.state == Gate.State.REACHED
    later = due + timedelta(minutes=2)
    cast.do("reading_taken", later, place=cast.id("Shed"), temp_c=12.0, rh_pct=55.0)
    off.refresh_from_db()
    assert off.state == Gate.State.WAITING
    assert differences(cast.workshop, later) == []


def moved_away(cast: Cast, at: datetime) -> None:
    """One of two that wait there."""
    cast.piece("Shed 2")
    cast.spread("G more", ["Shed 2"], "Mon 08:10")
    cast.press("G more", "Mon 08:15")
    cast.do("moved_place", at, piece=cast.id("Shed 1"), place=cast.id("Loft"))


def checked(cast: Cast, at: datetime) -> None:
    told = {"glue_up": cast.id("G Shed"), "gate": "clamps_off"}
    cast.do("checked", at, result="soft", **told)


def unclamped(cast: Cast, at: datetime) -> None:
    cast.do("clamps_off", at, glue_up=cast.id("G Shed"))


def unclamped_too_soon(cast: Cast, at: datetime) -> None:
    cast.do("clamps_off", at - timedelta(minutes=2), glue_up=cast.id("G Shed"))


TOLD = [moved_away, checked, unclamped, unclamped_too_soon]


@pytest.mark.parametrize("before", TOLD)
@pytest.mark.parametrize("temp_c", [11.0, 30.0])
def test_what_was_told_since_the_last_reading_is_gone_through_again(
    before: Callable[[Cast, datetime], None], temp_c: float
) -> None:
    cast = glued()
    at = due_off(cast) + timedelta(minutes=1)
    before(cast, at)
    cast.do("reading_taken", at + timedelta(minutes=2), place=cast.id("Shed"), temp_c=temp_c)
    assert differences(cast.workshop, at + timedelta(minutes=2)) == []


def test_wood_that_lags_is_read_on_by_air_from_long_before() -> None:
    cast = glued()
    cast.piece("T 1")
    cast.spread("G thick", ["T 1"], "Mon 08:10", thickness_mm=75.0)
    cast.press("G thick", "Mon 08:15")
    for at, temp_c in (("Mon 09:00", 12.0), ("Mon 10:00", 24.0), ("Mon 11:00", 12.0)):
        read(cast, "Shed", at, temp_c)
        assert differences(cast.workshop, when(at)) == []
