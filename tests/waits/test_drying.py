"""Wood in store: forecasts out of readings and weights, and what was struck never was.

Figures of the plank and the bowl: worked by hand in the shop's own job description (invented).
"""

from datetime import timedelta

import pytest

from cureclock.core.refusal import Refused
from cureclock.shop.refusals import Refusal
from cureclock.waits.drying import LotShown, lots_shown
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db

BOWL_G = (1840, 1712, 1622, 1559, 1515)


def store() -> Cast:
    cast = Cast.open()
    cast.place()
    cast.place("Rack")
    return cast


def taken_in(cast: Cast, name: str = "Rowan", **said: object) -> None:
    cast.do("lot_taken_in", "Mon 00:00", lot=cast.id(name), name=name, **said)


def lot(cast: Cast, at: str = "+60 12:00", name: str = "Rowan") -> LotShown:
    return next(one for one in lots_shown(cast.workshop, when(at)) if one.name == name)


def plank(wanted_pct: float) -> Cast:
    """24 % on day 0, 18 % on day 60, in a rack that leads to 12 %."""
    cast = store()
    taken_in(cast, place=cast.id("Rack"), emc_pct=12.0, wanted_pct=wanted_pct)
    cast.do("metered", "Mon 00:00", lot=cast.id("Rowan"), mc_pct=24.0)
    cast.do("metered", "+60 00:00", lot=cast.id("Rowan"), mc_pct=18.0)
    return cast


@pytest.mark.parametrize(("wanted_pct", "day"), [(15.0, 120), (14.0, 155), (13.0, 215)])
def test_a_plank_dries_by_its_readings(wanted_pct: float, day: int) -> None:
    told = lot(plank(wanted_pct))
    assert told.word == "not_yet"
    assert told.forecast is not None
    assert round(told.forecast.halves_days) == 60
    likely, earliest, latest = told.forecast.likely, told.forecast.earliest, told.forecast.latest
    assert likely is not None
    assert abs((likely - when("Mon 00:00")) / timedelta(days=1) - day) < 1
    assert earliest is not None
    assert latest is not None
    assert earliest < likely < latest


def test_it_never_gets_drier_than_its_place() -> None:
    told = lot(plank(12.0))
    assert (told.word, told.forecast and told.forecast.likely) == ("never", None)


def test_a_forecast_is_no_reading_but_asks_for_one() -> None:
    cast = plank(15.0)
    assert lot(cast, "+150 12:00").word == "meter_again"
    cast.do("metered", "+150 12:00", lot=cast.id("Rowan"), mc_pct=13.0, core_pct=15.5)
    assert lot(cast, "+150 13:00").word != "dry"  # its core is wetter than its face
    cast.do("metered", "+160 12:00", lot=cast.id("Rowan"), mc_pct=13.0, core_pct=14.5)
    assert lot(cast, "+160 13:00").word == "dry"


def test_the_next_metering_is_when_it_should_have_fallen_by_twice_the_meters_error() -> None:
    told = lot(plank(15.0))
    assert told.look_again_at is not None
    assert (told.look_again_at - when("Mon 00:00")).days == 88


def test_a_bowl_settles_by_its_losses() -> None:
    cast = store()
    taken_in(cast, "R-1")
    for week, weight in enumerate(BOWL_G):
        cast.do("weighed", f"{7 * week} 09:00", lot=cast.id("R-1"), weight_g=float(weight))
    told = lot(cast, "+30 12:00", "R-1")
    assert told.settles is not None
    assert told.settles.settles_g == pytest.approx(1413, abs=3)
    assert told.look_again_at == when("35 09:00")


def test_two_weighings_or_weights_that_do_not_fall_say_nothing() -> None:
    cast = store()
    taken_in(cast, "R-1")
    for week, weight in enumerate((1500, 1501, 1500)):
        assert lot(cast, "+30 12:00", "R-1").settles is None
        cast.do("weighed", f"{7 * week} 09:00", lot=cast.id("R-1"), weight_g=float(weight))
    assert lot(cast, "+30 12:00", "R-1").settles is None


def test_readings_from_before_a_move_say_nothing_of_the_new_place() -> None:
    cast = plank(15.0)
    cast.do("moved_place", "+61 08:00", place=cast.id("Shed"), lot=cast.id("Rowan"))
    told = lot(cast, "+62 08:00")
    assert (told.place, told.forecast, told.emc_pct, told.mc_pct) == ("Shed", None, None, 18.0)


def test_what_a_place_leads_to_comes_from_its_air_where_nobody_says() -> None:
    cast = store()
    for day in range(10):
        at = when("Mon 12:00") + timedelta(days=day)
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=20.0, rh_pct=65.0)
    taken_in(cast, place=cast.id("Shed"), wanted_pct=14.0)
    told = lot(cast, "9 13:00")
    assert told.emc_pct == pytest.approx(12.0, abs=0.1)  # Wood Handbook table 4-2: 20 degC, 65 %
    assert told.emc_from == "air"


def test_a_cold_meter_reads_too_low_and_is_put_right() -> None:
    cast = store()
    taken_in(cast, wanted_pct=9.2)
    cast.do("metered", "Mon 08:00", lot=cast.id("Rowan"), mc_pct=9.0, wood_c=15.5556)
    told = lot(cast)
    assert told.mc_pct == pytest.approx(9.5, abs=0.01)  # Wood Handbook (2010) ch. 13
    assert told.word == "not_yet"


def test_a_struck_reading_leaves_the_lot_as_if_it_had_never_been() -> None:
    cast = plank(15.0)
    before = lot(cast)
    wrong = cast.id("wrong")
    cast.do("metered", "+60 10:00", lot=cast.id("Rowan"), mc_pct=6.5, ident=wrong)
    assert lot(cast).word == "dry"
    cast.do("struck_out", "+60 10:05", target=wrong)
    assert lot(cast) == before


def test_a_lot_whose_taking_in_is_struck_is_not_there() -> None:
    cast = store()
    ident = cast.id("telling")
    cast.do("lot_taken_in", "Mon 00:00", ident=ident, lot=cast.id("X"), name="X")
    cast.do("struck_out", "Mon 00:05", target=ident)
    assert lots_shown(cast.workshop, when("Mon 01:00")) == ()


@pytest.mark.parametrize(
    ("verb", "said"),
    [
        ("metered", {"mc_pct": 0.5}),
        ("metered", {"mc_pct": float("nan")}),
        ("metered", {"mc_pct": 12.0, "core_pct": 101.0}),
        ("weighed", {"weight_g": 0.0}),
        ("weighed", {"weight_g": float("inf")}),
    ],
)
def test_impossible_figures_are_refused(verb: str, said: dict[str, float]) -> None:
    cast = store()
    taken_in(cast)
    with pytest.raises(Refused):
        cast.do(verb, "Mon 08:00", lot=cast.id("Rowan"), **said)


def test_another_workshops_lot_is_not_here() -> None:
    cast, other = store(), Cast.open("Another")
    taken_in(cast)
    with pytest.raises(Refusal, match="nothing here"):
        other.do("metered", "Mon 08:00", lot=cast.id("Rowan"), mc_pct=12.0)
    assert lots_shown(other.workshop, when("Tue 00:00")) == ()
