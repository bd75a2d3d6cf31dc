"""May these be glued to each other, by their wood? The core counts, and doubt is said as doubt."""

import pytest

from cureclock.actions.pieces_made import PieceSaid
from cureclock.shop.models import LabelVersion
from cureclock.waits.wood_fit import WoodAnswer, wood_answer
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def pieces(**lots: float | None) -> Cast:
    """A piece of each lot, metered on Monday, glued with an adhesive for wood of 6 to 12 %."""
    cast = Cast.open()
    cast.material()
    for name, mc_pct in lots.items():
        cast.do("lot_taken_in", "Mon 08:00", lot=cast.id(name), name=name)
        if mc_pct is not None:
            cast.do("metered", "Mon 09:00", lot=cast.id(name), mc_pct=mc_pct)
        cast.piece(f"P-{name}", at="Mon 10:00", lot=cast.id(name))
    return cast


def asked(cast: Cast, *tags: str, at: str = "Tue 10:00") -> WoodAnswer:
    label = LabelVersion.objects.select_related("material").get(id=cast.id("PVA-G label"))
    return wood_answer(cast.workshop, [cast.id(tag) for tag in tags], label, when(at))


@pytest.mark.parametrize(
    ("lots", "word", "keys"),
    [
        ({"a": 10.0, "b": 11.0}, "go", []),
        ({"a": 11.0, "b": 13.5}, "care", ["too_wet", "unlike"]),  # within the meter's own doubt
        ({"a": 11.0, "b": 22.0}, "no", ["too_wet", "unlike"]),
        ({"a": 6.5, "b": 11.9}, "no", ["unlike"]),
        ({"a": 5.0}, "care", ["too_dry"]),
        ({"a": 10.0, "b": None}, "unknown", ["not_metered"]),
        ({"a": 16.0, "b": None}, "no", ["too_wet", "not_metered"]),
    ],
)
def test_wood(lots: dict[str, float | None], word: str, keys: list[str]) -> None:
    found = asked(pieces(**lots), *(f"P-{name}" for name in lots))
    assert (found.word, [one.key for one in found.reasons]) == (word, keys)


def test_the_core_counts_not_the_face() -> None:
    cast = pieces(a=11.0, b=11.0)
    cast.do("metered", "Mon 12:00", lot=cast.id("b"), mc_pct=19.0, core_pct=22.0)
    found = asked(cast, "P-a", "P-b")
    assert found.word == "no"
    assert {one.mc_pct for one in found.reasons} == {22.0}


def test_lots_can_be_asked_about_before_anything_is_made_of_them() -> None:
    cast = pieces(a=11.0, b=22.0)
    lots = [cast.id("a"), cast.id("b")]
    found = wood_answer(cast.workshop, [], None, when("Tue 10:00"), lots=lots)
    assert (found.word, [one.key for one in found.reasons]) == ("no", ["unlike"])
    alone = wood_answer(cast.workshop, [], None, when("Tue 10:00"), lots=lots[:1])
    assert alone.word == "go"


def test_wood_of_unknown_source_is_unknown() -> None:
    cast = Cast.open()
    cast.material()
    cast.piece("P-1")
    assert asked(cast, "P-1").word == "unknown"


def test_an_old_metering_is_asked_for_anew() -> None:
    found = asked(pieces(a=10.0), "P-a", at="+40 10:00")
    assert (found.word, [one.key for one in found.reasons]) == ("care", ["stale"])


def test_the_wood_of_every_part_counts() -> None:
    cast = pieces(a=10.0, b=20.0)
    whole = PieceSaid(cast.id("W"), "W", "", (), (cast.id("P-a"), cast.id("P-b")))
    cast.do("pieces_made", "Mon 13:00", pieces=(whole,))
    assert asked(cast, "W").word == "no"
