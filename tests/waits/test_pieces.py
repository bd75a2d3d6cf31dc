"""Pieces: doubt comes up from every part, and coats are counted as they lie."""

import pytest

from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.shop.models import Piece
from cureclock.waits.one_piece import OnePiece, one_piece
from cureclock.waits.pieces import PieceShown, pieces_shown
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def shed() -> Cast:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.material("Oil", "shellac", {})
    cast.read("Mon 07:00", 20.0)
    for tag in ("H-1", "H-2"):
        cast.piece(tag)
    zones = (ZoneSaid(cast.id("drum"), "drum"), ZoneSaid(cast.id("tenon"), "tenon", keep_bare=True))
    made_from = (cast.id("H-1"), cast.id("H-2"))
    whole = PieceSaid(cast.id("L-1"), "L-1", "lantern", zones, made_from)
    cast.do("pieces_made", "Mon 07:30", pieces=(whole,), batch=cast.id("Batch L"), batch_name="L")
    cast.spread("G1", ["H-1"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    return cast


def shown(cast: Cast) -> dict[str, PieceShown]:
    return {piece.tag: piece for piece in pieces_shown(cast.workshop).pieces}


def full(cast: Cast, tag: str = "L-1", at: str = "Tue 08:00") -> OnePiece:
    return one_piece(cast.workshop, Piece.objects.get(tag=tag), when(at))


def coat(cast: Cast, name: str, at: str) -> None:
    cast.do(
        "coat_began",
        at,
        coat=cast.id(name),
        name=name,
        label=cast.id("Oil label"),
        place=cast.id("Shed"),
        zones=(cast.id("drum"),),
    )
    cast.do("coat_ended", at, coat=cast.id(name))


def test_doubt_comes_up_from_a_part_and_does_not_go_down_or_across() -> None:
    cast = shed()
    assert shown(cast)["L-1"].suspect is None
    cast.read("Mon 08:30", 5.0)
    assert {tag: piece.suspect for tag, piece in shown(cast).items()} == {
        "H-1": "cold",
        "H-2": None,
        "L-1": "cold",
    }


def test_a_lost_piece_is_shown_no_more_nor_what_was_held_on_it() -> None:
    cast = shed()
    cast.do("hold_on", "Mon 09:00", hold=cast.id("tape"), piece=cast.id("H-2"), what="tape")
    assert [hold.what for hold in pieces_shown(cast.workshop).holds] == ["tape"]
    told = cast.do("piece_lost", "Mon 09:10", piece=cast.id("H-2"), why="cracked")
    assert "H-2" not in shown(cast)
    assert pieces_shown(cast.workshop).holds == ()
    cast.do("struck_out", "Mon 09:11", target=told.id)
    assert "H-2" in shown(cast)


def test_coats_are_counted_as_they_lie_on_the_zone() -> None:
    cast = shed()
    assert [(zone.name, zone.coats) for zone in shown(cast)["L-1"].zones] == [
        ("drum", 0),
        ("tenon", 0),
    ]
    coat(cast, "C1", "Mon 09:00")
    coat(cast, "C2", "Mon 14:00")
    assert shown(cast)["L-1"].zones[0].coats == 2
    cast.do("coat_stripped", "Mon 15:00", coat=cast.id("C2"))
    assert shown(cast)["L-1"].zones[0].coats == 1


def test_a_piece_in_full_carries_the_joints_of_all_its_parts() -> None:
    told = full(shed())
    assert [(joint.name, joint.piece.tag, joint.gone) for joint in told.joints] == [
        ("G1 H-1", "H-1", False)
    ]
    assert told.joints[0].spin is not None
    assert [part.tag for part in told.made_from] == ["H-1", "H-2"]
    assert told.batch is not None
    assert told.batch.name == "L"
    assert not told.joints_declared


def test_its_coats_stand_in_order_and_only_the_last_is_open() -> None:
    cast = shed()
    coat(cast, "C1", "Mon 09:00")
    coat(cast, "C2", "Mon 14:00")
    drum, tenon = full(cast).zones
    assert [(one.coat.name, one.open) for one in drum.coats] == [("C1", False), ("C2", True)]
    assert (tenon.keep_bare, tenon.coats) == (True, ())


def test_a_struck_happening_keeps_its_line() -> None:
    cast = shed()
    told = cast.do("joints_declared", "Mon 09:00", piece=cast.id("L-1"))
    cast.do("struck_out", "Mon 09:05", target=told.id)
    lines = {line.id: line for line in full(cast).history}
    assert lines[told.id].struck
    assert lines[told.id].person == "Owner of Slipway shed"
    assert not full(cast).joints_declared
    kinds = [line.kind for line in full(cast).history]
    assert kinds[0] == "struck_out"
    assert "spread_began" in kinds


def test_a_joint_that_opened_is_gone() -> None:
    cast = shed()
    cast.do("joint_opened", "Mon 12:00", glue_up=cast.id("G1"), why="split")
    assert [joint.gone for joint in full(cast).joints] == [True]
