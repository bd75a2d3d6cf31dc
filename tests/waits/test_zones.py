"""Parts of a piece that are told later than the piece: they can be coated from then on."""

from typing import Any
from uuid import UUID, uuid4

import pytest

from cureclock.actions.zones_made import PartSaid
from cureclock.shop.models import Zone
from cureclock.shop.refusals import NotHere, Refusal
from cureclock.waits.models import Gate
from cureclock.waits.pieces import pieces_shown
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> Cast:
    cast = Cast.open()
    cast.place()
    cast.material("Varnish", "varnish_wiping", {"states_rule": True})
    cast.read("Mon 08:00", 20.0, 50.0)
    cast.piece("A-1")
    return cast


def tell(cast: Cast, name: str = "whole", tag: str = "A-1", **more: Any) -> UUID:
    ident = uuid4()
    part = PartSaid(cast.id(f"{tag} {name}"), cast.id(tag), name)
    cast.do("zones_made", "Mon 08:30", parts=(part,), ident=ident, **more)
    return ident


def zones(cast: Cast) -> list[str]:
    (shown,) = pieces_shown(cast.workshop).pieces
    return [zone.name for zone in shown.zones]


def coat(cast: Cast) -> None:
    said = {"coat": cast.id("C"), "name": "C", "label": cast.id("Varnish label")}
    where = {"place": cast.id("Shed"), "zones": (cast.id("A-1 whole"),)}
    cast.do("coat_began", "Mon 09:00", **said, **where)
    cast.do("coat_ended", "Mon 09:10", coat=cast.id("C"))


def test_a_part_told_later_can_be_coated(cast: Cast) -> None:
    tell(cast)
    coat(cast)
    assert Gate.objects.filter(wait__zone=cast.id("A-1 whole"), kind="recoat_opens").exists()


def test_told_by_two_phones_it_is_one_part(cast: Cast) -> None:
    tell(cast)
    tell(cast)
    assert zones(cast) == ["whole"]


def test_two_parts_of_one_name_are_refused(cast: Cast) -> None:
    tell(cast)
    part = PartSaid(uuid4(), cast.id("A-1"), "whole")
    with pytest.raises(Refusal, match="A-1 has a part called whole"):
        cast.do("zones_made", "Mon 08:40", parts=(part,))
    assert Zone.objects.count() == 1


def test_a_part_of_a_piece_that_is_not_here_is_refused(cast: Cast) -> None:
    stranger = Cast.open("Other shed")
    stranger.piece("B-1")
    part = PartSaid(uuid4(), stranger.id("B-1"), "whole")
    with pytest.raises(NotHere):
        cast.do("zones_made", "Mon 08:40", parts=(part,))


def test_struck_out_it_is_gone_and_may_be_told_again(cast: Cast) -> None:
    told = tell(cast)
    cast.do("struck_out", "Mon 08:35", target=told, reason="wrong piece")
    assert zones(cast) == []
    tell(cast)
    assert zones(cast) == ["whole"]
