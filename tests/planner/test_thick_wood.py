"""A plan counts the wood of a joint where its thickness is known, and says so where it is not."""

from collections.abc import Iterator
from typing import Any

import pytest

from cureclock.actions.route_told import AfterSaid, StepSaid
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US
from cureclock.planner.shown import plan_shown
from tests.cast import Cast, when
from tests.planner.batch import planned, routed

pytestmark = pytest.mark.django_db


def shop() -> Cast:
    """A shed at 12 degC for two days and at 20 since a minute; 75 mm wood is still cold."""
    cast = Cast.open()
    cast.place()
    cast.material()
    for at in ("Mon 00:00", "Mon 12:00", "Tue 00:00", "Tue 07:58"):
        cast.read(at, 12.0, 50.0)
    cast.read("Tue 07:59", 20.0, 50.0)
    cast.do("air_expected", "Tue 07:59", place=cast.id("Shed"), day=_level(), half_gap_h=1 / 6)
    pieces = tuple(_piece(cast, f"B-{n}") for n in (1, 2))
    cast.do("pieces_made", "Mon 06:00", pieces=pieces, batch=cast.id("boxes"), batch_name="boxes")
    return cast


def _level() -> Any:
    from cureclock.actions.air_expected import DayPoint

    return (DayPoint("00:00", 20.0), DayPoint("12:00", 20.0))


def _piece(cast: Cast, tag: str) -> Any:
    from cureclock.actions.pieces_made import PieceSaid

    return PieceSaid(cast.id(tag), tag)


def planed(cast: Cast, thickness_mm: float | None = None) -> dict[str, Any]:
    """The plan of one box: glued at eight, planed as soon as it may be."""
    glue = StepSaid(
        "glue",
        hands_min=20,
        place=cast.id("Shed"),
        material=cast.id("PVA-G"),
        thickness_mm=thickness_mm,
    )
    steps = (glue, StepSaid("plane", hands_min=10, after=(AfterSaid("glue", "light"),)))
    routed(cast, at="Tue 07:59", steps=steps, done=(), count=1)
    body: dict[str, Any] = planned(cast, "Tue 08:00").body
    return body


def waited_h(body: dict[str, Any]) -> float:
    (wait,) = body["waits"]
    return (wait["to_us"] - wait["from_us"]) / HOUR_US


def glued(cast: Cast, tag: str, thickness_mm: float | None) -> Cast:
    cast.spread(tag, [tag], "Mon 20:00", thickness_mm=thickness_mm)
    cast.press(tag, "Mon 20:05")
    return cast


def woods(cast: Cast) -> Iterator[tuple[str, float]]:
    return ((one.wood, one.lag_h) for one in plan_shown(cast.workshop, when("Tue 08:00")).waits)


def test_a_step_told_to_glue_thick_wood_waits_for_the_wood_to_warm():
    by_air, by_wood = waited_h(planed(shop())), waited_h(planed(shop(), 75.0))
    assert by_wood > by_air + 0.75


def test_wood_that_was_glued_in_the_batch_before_tells_how_thick_the_next_is():
    told = waited_h(planed(shop(), 75.0))
    assert waited_h(planed(glued(shop(), "B-1", 75.0))) == pytest.approx(told, abs=0.01)
    assert waited_h(planed(glued(shop(), "B-1", None))) < told - 0.75


def test_wood_of_a_billet_that_a_piece_of_the_batch_was_sawn_from_tells_it_too():
    cast = shop()
    cast.piece("billet")
    glued(cast, "billet", 75.0)
    assert waited_h(planed(cast)) < waited_h(planed(shop(), 75.0)) - 0.75
    cast.do("made_from", "Mon 22:00", piece=cast.id("B-2"), made_from=(cast.id("billet"),))
    assert waited_h(planned(cast, "Tue 08:00").body) == waited_h(planed(shop(), 75.0))


def test_the_plan_says_of_what_wood_it_waits():
    cast = shop()
    planed(cast)
    assert list(woods(cast)) == [("unknown", 0.0)]
    cast = shop()
    planed(cast, 75.0)
    assert list(woods(cast)) == [("lags", 4.0)]


def test_a_thickness_that_no_wood_has_is_refused_by_name():
    with pytest.raises(Refused, match="thickness"):
        StepSaid("glue", thickness_mm=900.0)
