"""Which one is this, and was its number moved? One question a hand-over, until it is answered."""

import pytest

from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.shop.refusals import Refusal
from cureclock.waits.handover import handovers
from cureclock.waits.who_am_i import Looked, WhoAmI, who_am_i
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def shed() -> Cast:
    """A billet sawn into two stems, and a ring glued of two halves."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.material("Oil", "shellac", {})
    for tag in ("A-1", "H-1", "H-2"):
        cast.piece(tag)
    stems = tuple(
        PieceSaid(
            cast.id(tag), tag, "stem", (ZoneSaid(cast.id(f"{tag}/z"), "stem"),), (cast.id("A-1"),)
        )
        for tag in ("S-1", "S-2")
    )
    cast.do("pieces_made", "Mon 08:00", pieces=stems, batch=cast.id("B"), batch_name="B")
    ring = PieceSaid(cast.id("R-1"), "R-1", "ring", (), (cast.id("H-1"), cast.id("H-2")))
    cast.do("pieces_made", "Mon 09:00", pieces=(ring,))
    return cast


def asked(cast: Cast, at: str = "Mon 20:00") -> dict[str, list[str]]:
    return {
        one.moment: [tag.tag for tag in one.pieces] for one in handovers(cast.workshop, when(at))
    }


def coat(cast: Cast, at: str, *tags: str) -> None:
    cast.do(
        "coat_began",
        at,
        coat=cast.id(at),
        name=at,
        label=cast.id("Oil label"),
        place=cast.id("Shed"),
        zones=tuple(cast.id(f"{tag}/z") for tag in tags),
    )
    cast.do("coat_ended", at, coat=cast.id(at))


def test_sawn_and_glued_pieces_are_asked_for_until_it_is_said_where_their_number_is() -> None:
    cast = shed()
    assert asked(cast) == {"sawn": ["S-1", "S-2"], "glued": ["R-1"]}
    cast.do("number_moved", "Mon 09:05", pieces=(cast.id("S-1"), cast.id("S-2")), where="tenon")
    assert asked(cast) == {"glued": ["R-1"]}


def test_each_later_hand_over_asks_once_more() -> None:
    cast = shed()
    cast.do("number_moved", "Mon 09:05", pieces=(cast.id("S-1"), cast.id("S-2")), where="tenon")
    coat(cast, "Mon 10:00", "S-1")
    assert asked(cast) == {"hung": ["S-1"], "glued": ["R-1"]}


def test_a_block_parted_off_takes_the_number_with_it() -> None:
    cast = shed()
    cast.do("number_moved", "Mon 09:05", pieces=(cast.id("R-1"),), where="waste_block")
    cast.do("hold_on", "Mon 10:00", hold=cast.id("h"), piece=cast.id("R-1"), what="waste block")
    assert asked(cast) == {"sawn": ["S-1", "S-2"]}
    cast.do("hold_off", "Mon 11:00", hold=cast.id("h"))
    assert asked(cast) == {"parted_off": ["R-1"], "sawn": ["S-1", "S-2"]}


def test_nobody_is_asked_for_a_lost_piece_nor_after_a_week() -> None:
    cast = shed()
    cast.do("piece_lost", "Mon 12:00", piece=cast.id("R-1"))
    assert asked(cast) == {"sawn": ["S-1", "S-2"]}
    assert asked(cast, "+8 08:00") == {}


def test_a_number_can_only_be_where_a_number_can_be() -> None:
    cast = shed()
    with pytest.raises(Refusal, match="no place"):
        cast.do("number_moved", "Mon 10:00", pieces=(cast.id("S-1"),), where="bin")


def looked(cast: Cast, **seen: object) -> WhoAmI:
    return who_am_i(cast.workshop, Looked(**seen))  # type: ignore[arg-type]


def tags(found: WhoAmI) -> list[str]:
    return [one.tag for one in found.candidates]


def test_candidates_are_those_that_fit_what_is_seen() -> None:
    cast = shed()
    coat(cast, "Mon 10:00", "S-1")
    assert tags(looked(cast, batch=cast.id("B"))) == ["S-1", "S-2"]
    assert tags(looked(cast, what="STEM", zone="stem", coats=1)) == ["S-1"]
    assert tags(looked(cast, zone="stem", coats=0)) == ["S-2"]
    assert tags(looked(cast, what="bowl")) == []


def test_a_hold_and_a_doubt_are_seen() -> None:
    cast = shed()
    cast.do("hold_on", "Mon 10:00", hold=cast.id("h"), piece=cast.id("R-1"), what="tape")
    assert tags(looked(cast, hold=True)) == ["R-1"]
    assert "R-1" not in tags(looked(cast, hold=False))
    cast.read("Mon 11:00", 5.0)
    cast.spread("G1", ["H-1"], "Mon 12:00")
    cast.press("G1", "Mon 12:05")
    cast.read("Mon 13:00", 5.0)
    assert tags(looked(cast, suspect=True)) == ["R-1"]  # its part H-1 is held by nobody


def test_what_tells_two_apart_is_said_and_what_is_alike_is_not() -> None:
    cast = shed()
    cast.read("Mon 09:30", 20.0)
    cast.spread("G1", ["S-1", "S-2"], "Mon 10:00")
    cast.press("G1", "Mon 10:05")
    cast.do("joint_opened", "Mon 12:00", glue_up=cast.id("G1"), joints=(cast.id("G1/S-2"),))
    found = looked(cast, what="stem")
    apart = {one.tag: [(trait.key, trait.name) for trait in one.apart] for one in found.candidates}
    assert apart["S-1"] == [("glued_in", "G1"), ("place", "Shed")]
    assert apart["S-2"] == [("glued_anew", "G1")]
    assert ("what", "stem") in [(trait.key, trait.name) for trait in found.alike]


def test_another_workshops_pieces_are_never_candidates() -> None:
    shed()
    assert looked(Cast.open("Another")).of == 0
