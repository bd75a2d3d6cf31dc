"""A large pot heats itself: once more was mixed than the label speaks of, its own clock says so."""

from typing import Any

import pytest

from cureclock.waits.models import Suspicion
from cureclock.waits.rebuild import differences
from tests.api.door import paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db

EPOXY = {"pot_life": 0.5, "pot_mass_g": 100}  # half an hour for 100 g at 20 degC: invented


def glued(*pots: tuple[str, float | None]) -> Cast:
    """A joint at 24 degC, with the pots that were mixed for it."""
    cast = Cast.open()
    cast.place()
    cast.material("Epoxy", "epoxy_slow", EPOXY)
    cast.piece("L-01")
    cast.read("Mon 08:00", 24.0)
    cast.spread("G1", ["L-01"], "Mon 08:07", label="Epoxy label")
    for at, mass_g in pots:
        cast.do("mixed", at, glue_up=cast.id("G1"), mass_g=mass_g)
    return cast


def pot_life(cast: Cast, at: str = "Mon 08:10") -> dict[str, Any]:
    told = paired(cast).get(f"groups/{cast.id('G1')}", at).json()
    return next(one for one in told["waits"][0]["why"] if one["kind"] == "pot_life")


@pytest.mark.parametrize(
    ("pots", "until"),
    [
        # 30 min x 100/180 / 2^0.4 = 12.6 min; the label's mass or less: 22.7 min
        ([("Mon 08:05", 180)], "08:17"),
        ([("Mon 08:05", 100)], "08:27"),
        ([("Mon 08:05", 40)], "08:27"),
        ([("Mon 08:05", None)], "08:27"),
        # of two pots the first is the older and the second the hotter
        ([("Mon 08:05", 40), ("Mon 08:06", 180)], "08:17"),
    ],
)
def test_the_pot_runs_out_as_the_check_foretold(
    pots: list[tuple[str, float | None]], until: str
) -> None:
    cast = glued(*pots)
    assert pot_life(cast)["figures"]["bare"] == f"2026-02-02T{until}:00Z"
    assert differences(cast.workshop, when("Mon 08:10")) == []


def test_the_sum_says_that_the_pot_was_full() -> None:
    told = pot_life(glued(("Mon 08:05", 180)))
    assert told["factors"] == [{"name": "pot", "value": 0.5556}]
    assert told["need_h"] == pytest.approx(0.5 * 100 / 180)
    assert pot_life(glued(("Mon 08:05", 100)))["factors"] == []


@pytest.mark.parametrize(("mass_g", "doubted"), [(180, ["pot_life_over"]), (100, [])])
def test_glue_from_a_pot_that_had_run_out_is_doubted(mass_g: float, doubted: list[str]) -> None:
    cast = glued(("Mon 08:05", mass_g))
    cast.press("G1", "Mon 08:22")
    assert list(Suspicion.objects.values_list("cause", flat=True)) == doubted


def test_a_mass_told_late_counts_from_the_mixing_on() -> None:
    cast = glued()
    cast.press("G1", "Mon 08:22")
    cast.do("mixed", "Mon 08:05", arrived="Mon 09:00", glue_up=cast.id("G1"), mass_g=180)
    assert [one.cause for one in Suspicion.objects.all()] == ["pot_life_over"]
    assert differences(cast.workshop, when("Mon 09:00")) == []
