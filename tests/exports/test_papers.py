"""Batch sheet and care card: what stands on the paper is what the records say, in any script."""

from datetime import timedelta
from typing import Any

import pytest

from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.exports.batch_sheet import batch_sheet
from cureclock.exports.care_card import cards_of, print_cards
from cureclock.exports.review.scope import of_batch
from cureclock.shop.models import Batch, Piece
from cureclock.shop.refusals import Refusal
from tests.cast import Cast, when
from tests.exports.pages import sizes_mm, words

pytestmark = pytest.mark.django_db
COAT = {"wipe_off": None, "wrap": 24, "full_cure": 48, "states_rule": True}


def shop(what: str = "bowl") -> Cast:
    """A bowl of two halves, oiled on Tuesday, at the label's own temperature all the time."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.material("Oil-W", "varnish_wiping", COAT)
    for hour in range(0, 200, 6):
        at = when("Mon 00:00") + timedelta(hours=hour)
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=20.0, rh_pct=50.0)
    zones = (ZoneSaid(cast.id("z"), "inside"),)
    bowl = PieceSaid(cast.id("B-1"), "B-1", what, zones)
    cast.do("pieces_made", "Mon 07:00", pieces=(bowl,), batch=cast.id("B"), batch_name=f"{what} 7")
    cast.spread("G1", ["B-1"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    return cast


def oiled(cast: Cast) -> None:
    said: dict[str, Any] = {"label": cast.id("Oil-W label"), "place": cast.id("Shed")}
    cast.do("coat_began", "Tue 08:00", coat=cast.id("C"), name="C", zones=(cast.id("z"),), **said)
    cast.do("coat_ended", "Tue 08:00", coat=cast.id("C"))


def card(cast: Cast, at: str = "+8 08:00") -> Any:
    (found,) = cards_of(cast.workshop, list(Piece.objects.filter(tag="B-1")), when(at))
    return found


def sheet(cast: Cast) -> bytes:
    batch = Batch.objects.get(id=cast.id("B"))
    return batch_sheet(batch, of_batch(batch, when("+8 08:00")))


def test_it_is_not_in_use_before_the_slowest_is_past_on_the_safe_side() -> None:
    cast = shop()
    oiled(cast)
    found = card(cast)
    # The joint's load: 72 h x 1.2 from Monday 08:05, so Thursday 22:29; the film: 48 h and its
    # margin from Tuesday 08:00, so Thursday too. The first whole day after both is Friday.
    assert found.used_from == when("Fri 00:00").date()
    assert found.finishes == ("Oil-W",)
    told = words(print_cards(cast.workshop, [found]))
    assert "Not in use before" in told
    assert "6 Feb 2026" in told
    assert "Oil-W" in told


def test_no_card_for_what_is_in_doubt() -> None:
    cast = shop()
    cast.do("override", "Mon 09:00", glue_up=cast.id("G1"), act="spin", reason="in a hurry")
    with pytest.raises(Refusal, match="in doubt"):
        card(cast)


def test_no_card_where_nobody_can_say() -> None:
    cast = Cast.open()
    cast.piece("B-1")
    with pytest.raises(Refusal, match="nobody can say"):
        card(cast)


def test_a_card_is_a_sheet_of_a6_each() -> None:
    cast = shop()
    oiled(cast)
    one = card(cast)
    assert sizes_mm(print_cards(cast.workshop, [one, one])) == [(105.0, 148.0)] * 2


def test_the_sheet_has_every_stage_with_its_figures_and_what_went_otherwise() -> None:
    cast = shop()
    oiled(cast)
    cast.do("override", "Mon 09:00", glue_up=cast.id("G1"), act="spin", reason="in a hurry")
    told = words(sheet(cast))
    for part in ("G1", "PVA-G", "spin", "Oil-W", "in a hurry", "B-1", "clamps off", "Air in Shed"):
        assert part in told, part


@pytest.mark.parametrize("what", ["x" * 78, "עץ אלון", "خشب", "🪵 oak 😀"])
def test_any_name_is_printed_and_breaks_nothing(what: str) -> None:
    cast = shop(what)
    oiled(cast)
    assert words(sheet(cast))
    assert words(print_cards(cast.workshop, [card(cast)]))


def test_the_same_records_give_the_same_bytes() -> None:
    cast = shop()
    assert sheet(cast) == sheet(cast)
