"""A large group whose waits are alike is loaded once, and nothing is shown otherwise for it."""

from random import Random

import pytest

from cureclock.actions.pieces_made import ZoneSaid
from cureclock.shop.models import Conflict
from cureclock.waits import alike
from cureclock.waits.current import Current, current
from cureclock.waits.foretold import Foresight
from cureclock.waits.groups import group_shown, groups_of
from cureclock.waits.line import NowList
from cureclock.waits.models import Gate, Leg, Suspicion, Wait
from cureclock.waits.now_list import now_list
from cureclock.waits.shown import GroupShown
from tests.cast import Cast, when
from tests.draws import drawn

pytestmark = pytest.mark.django_db
TAGS = [f"L-{number:02}" for number in range(alike.MANY)]


def glued(tags: list[str]) -> Cast:
    cast = Cast.open()
    cast.place()
    cast.place("Loft")
    cast.material()
    cast.read("Mon 07:00", 20.0, 60.0)
    for tag in tags:
        cast.piece(tag, zones=(ZoneSaid(cast.id(f"{tag} stem"), "stem"),))
    cast.spread("G1", tags, "Mon 08:00")
    return cast


def seen(cast: Cast, at: str) -> tuple[Current, list[GroupShown], NowList]:
    found = current(cast.workshop, when(at))
    groups = groups_of(found)
    foresight = Foresight(found.ages)
    shown = {group.id: group_shown(found, foresight, group) for group in groups}
    lists = now_list(found, groups, shown, list(Conflict.objects.filter(settled_by=None)))
    return found, sorted(shown.values(), key=lambda group: group.name), lists


def test_one_wait_stands_for_a_group_of_alike_ones_and_every_piece_is_named() -> None:
    cast = glued(TAGS)
    cast.press("G1", "Mon 08:05")
    found, (group,), lists = seen(cast, "Mon 09:00")
    assert len(found.waits) == 1
    assert [piece.tag for piece in group.pieces] == TAGS
    (members,) = found.members.values()
    assert {one.wait for one in members} == set(Wait.objects.values_list("id", flat=True))
    (may,) = lists.may
    assert (may.act, list(may.pieces)) == ("clamps_off", TAGS)
    assert {(gate.reached, gate.of) for gate in group.gates if not gate.over} == {
        (len(TAGS), len(TAGS)),
        (0, len(TAGS)),
    }


def test_a_group_of_a_few_is_loaded_as_it_stands() -> None:
    cast = glued(TAGS[1:])
    cast.press("G1", "Mon 08:05")
    assert len(seen(cast, "Mon 09:00")[0].waits) == len(TAGS) - 1


@pytest.mark.parametrize("other", ["gate", "leg", "wait", "doubt"])
def test_one_that_is_other_keeps_its_whole_group_apart(other: str) -> None:
    cast = glued(TAGS)
    cast.press("G1", "Mon 08:05")
    one = Wait.objects.order_by("piece__tag")[3]
    if other == "gate":
        Gate.objects.filter(wait=one, kind="light").update(act_us=1)
    elif other == "leg":
        Leg.objects.filter(wait=one).update(began_at=when("Mon 08:01"))
    elif other == "wait":
        Wait.objects.filter(id=one.id).update(floor_c=1.0)
    else:
        Suspicion.objects.create(
            workshop=cast.workshop, wait=one, cause="override", at=when("Mon 08:06")
        )
    assert len(seen(cast, "Mon 09:00")[0].waits) == len(TAGS)


def told(cast: Cast, drawn: Random) -> None:
    """A morning of a shop: glued, pressed at once or not, freed, carried, coated, chilled."""
    several = TAGS[: drawn.choice([3, 5])]
    cast.press("G1", "Mon 08:05", **_some(cast, several, drawn))
    if drawn.random() < 0.4:
        cast.press("G1", "Mon 08:11")
    if drawn.random() < 0.5:
        cast.read("Mon 08:30", drawn.choice([5.0, 15.0, 24.0]), 50.0)
    if drawn.random() < 0.5:
        cast.do("clamps_off", "Mon 09:00", glue_up=cast.id("G1"), **_some(cast, several, drawn))
    if drawn.random() < 0.3:
        cast.do("moved_place", "Mon 09:30", piece=cast.id(TAGS[0]), place=cast.id("Loft"))
    cast.material("Oil", "oil_varnish_blend", {})
    zones = tuple(cast.id(f"{tag} stem") for tag in TAGS)
    said = {"coat": cast.id("C1"), "name": "C1", "label": cast.id("Oil label"), "zones": zones}
    cast.do("coat_began", "Mon 10:00", place=cast.id("Loft"), **said)
    if drawn.random() < 0.7:
        cast.do("coat_ended", drawn.choice(["Mon 10:00", "Mon 10:40"]), coat=cast.id("C1"))
    cast.read("Mon 20:00", drawn.choice([6.0, 18.0]), 55.0)


def _some(cast: Cast, tags: list[str], drawn: Random) -> dict[str, tuple[object, ...]]:
    """These alone, or all of them."""
    return {"joints": tuple(cast.id(f"G1/{tag}") for tag in tags)} if drawn.random() < 0.3 else {}


@pytest.mark.parametrize("seed", drawn(range(8)))
def test_all_that_is_shown_is_the_same_as_of_waits_loaded_one_by_one(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    cast = glued(TAGS)
    told(cast, Random(seed))
    for at in ("Mon 10:05", "Mon 12:30", "Mon 20:10", "Wed 10:00"):
        monkeypatch.setattr(alike, "MANY", 2)
        found, groups, lists = seen(cast, at)
        monkeypatch.setattr(alike, "MANY", 1000)
        each, groups_of_each, lists_of_each = seen(cast, at)
        assert groups == groups_of_each
        assert lists == lists_of_each
        assert len(each.waits) == sum(len(members) for members in found.members.values())
