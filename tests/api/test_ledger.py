"""The ledger: a thing is free when somebody says so, not when its gate opens."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cureclock.actions.counted import ThingCount
from cureclock.core.refusal import Refused
from cureclock.shop.refusals import NotHere
from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast

pytestmark = pytest.mark.django_db


def shed() -> Cast:
    """36 F-clamps, 14 bands, 24 hooks in the shed, at the label's temperature."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.material("Oil", "oil_varnish_blend", {})
    own(cast, "F-clamps", 36, kind="clamp", sort="f_clamp", force_kn=4.0, reach_mm=600.0)
    own(cast, "Bands", 14, kind="band")
    own(cast, "Hooks", 24, kind="hook", place=cast.id("Shed"))
    cast.read("Mon 08:00", 20.0, 50.0)
    return cast


def own(cast: Cast, name: str, count: int, at: str = "Mon 07:00", **more: Any) -> None:
    cast.do("things_owned", at, thing=cast.id(name), name=name, count=count, **more)


def things(cast: Cast, **counts: int) -> tuple[ThingCount, ...]:
    return tuple(ThingCount(cast.id(name.replace("_", "-")), n) for name, n in counts.items())


def press(cast: Cast, name: str, tags: list[str], at: str, **counts: int) -> None:
    for tag in tags:
        if tag not in cast.named:
            cast.piece(tag)
    cast.spread(name, tags, at)
    cast.press(name, at, things=things(cast, **counts))


def lines(phone: PhoneAtDoor, at: str) -> dict[str, dict[str, Any]]:
    answer = phone.get("ledger", at)
    assert answer.status_code == 200, answer.content
    return {line["name"]: line for line in answer.json()["lines"]}


def test_33_of_36_clamps_hold_6_billets_and_could_come_off_once_their_gate_has_opened() -> None:
    cast = shed()
    phone = paired(cast)
    press(cast, "Billets", ["A-1", "A-2", "A-3", "A-4", "A-5", "A-6"], "Mon 12:30", F_clamps=33)
    early = lines(phone, "Mon 13:00")["F-clamps"]
    assert (early["count"], early["held"], early["free"]) == (36, 33, 3)
    assert early["could_come_off"] == 0
    assert early["free_at"] == [{"at": "2026-02-02T13:15:00Z", "free": 36}]
    assert early["holders"][0]["name"] == "Billets"
    late = lines(phone, "Mon 14:00")["F-clamps"]
    assert (late["free"], late["could_come_off"], late["free_at"]) == (3, 33, [])
    cast.do("clamps_off", "Mon 14:05", glue_up=cast.id("Billets"))
    off = lines(phone, "Mon 14:06")["F-clamps"]
    assert (off["held"], off["free"], off["holders"]) == (0, 36, [])


def test_a_struck_off_holds_again() -> None:
    cast = shed()
    phone = paired(cast)
    press(cast, "Ring", ["R-1"], "Mon 12:30", Bands=1)
    cast.do("clamps_off", "Mon 13:30", glue_up=cast.id("Ring"), ident=cast.id("off"))
    assert lines(phone, "Mon 13:31")["Bands"]["free"] == 14
    cast.do("struck_out", "Mon 13:32", target=cast.id("off"))
    assert lines(phone, "Mon 13:33")["Bands"]["free"] == 13


def test_joints_taken_off_one_by_one_free_their_share_a_part_of_one_counted_as_held() -> None:
    cast = shed()
    phone = paired(cast)
    press(cast, "Billets", ["A-1", "A-2", "A-3", "A-4"], "Mon 12:30", F_clamps=22)
    first = (cast.id("Billets/A-1"),)
    cast.do("clamps_off", "Mon 13:30", glue_up=cast.id("Billets"), joints=first)
    assert lines(phone, "Mon 13:31")["F-clamps"]["held"] == 17


def test_what_was_said_with_the_pressure_counts_not_the_plan_before_it() -> None:
    cast = shed()
    phone = paired(cast)
    cast.piece("A-1")
    joint = cast.id("one joint")
    from cureclock.actions.spread_began import JointSaid

    cast.do(
        "spread_began",
        "Mon 12:00",
        glue_up=cast.id("G"),
        name="G",
        label=cast.id("PVA-G label"),
        place=cast.id("Shed"),
        joints=(JointSaid(joint, cast.id("A-1"), "A-1"),),
        things=things(cast, F_clamps=11),
    )
    assert lines(phone, "Mon 12:01")["F-clamps"]["held"] == 11
    cast.press("G", "Mon 12:05", things=things(cast, F_clamps=9))
    assert lines(phone, "Mon 12:06")["F-clamps"]["held"] == 9
    cast.do("things_held", "Mon 12:07", about=cast.id("G"), things=things(cast, F_clamps=2))
    assert lines(phone, "Mon 12:08")["F-clamps"]["held"] == 11
    cast.do("things_freed", "Mon 12:09", about=cast.id("G"), things=things(cast, F_clamps=4))
    assert lines(phone, "Mon 12:10")["F-clamps"]["held"] == 7


def test_hooks_are_free_when_taken_down_carried_away_or_counted_once_by_the_next_coat() -> None:
    cast = shed()
    cast.place("Cupboard")
    phone = paired(cast)
    tags = [f"ST-{n}" for n in range(1, 13)]
    coat(cast, "coat 1", tags, "Mon 10:00", Hooks=12)
    assert lines(phone, "Mon 10:01")["Hooks"]["free"] == 12
    coat(cast, "coat 2", tags[:6], "Tue 10:00", Hooks=6)
    assert lines(phone, "Tue 10:01")["Hooks"]["held"] == 12
    cast.do("moved_place", "Tue 12:00", coat=cast.id("coat 2"), place=cast.id("Cupboard"))
    assert lines(phone, "Tue 12:01")["Hooks"]["held"] == 6
    cast.do("things_freed", "Tue 13:00", about=cast.id("coat 1"))
    assert lines(phone, "Tue 13:01")["Hooks"]["free"] == 24


def coat(cast: Cast, name: str, tags: list[str], at: str, **counts: int) -> None:
    from cureclock.actions.pieces_made import ZoneSaid

    for tag in tags:
        if tag not in cast.named:
            cast.piece(tag, zones=(ZoneSaid(cast.id(f"{tag} stem"), "stem"),))
    cast.do(
        "coat_began",
        at,
        coat=cast.id(name),
        name=name,
        label=cast.id("Oil label"),
        place=cast.id("Shed"),
        zones=tuple(cast.id(f"{tag} stem") for tag in tags),
        things=things(cast, **counts),
    )


def test_more_held_than_owned_is_kept_and_shown() -> None:
    cast = shed()
    phone = paired(cast)
    press(cast, "Load 1", ["R-1"], "Mon 12:30", Bands=10)
    press(cast, "Load 2", ["R-2"], "Mon 12:40", Bands=10)
    told = lines(phone, "Mon 12:41")["Bands"]
    assert (told["free"], told["over"]) == (0, 6)


def test_no_clamp_none_at_all_twice_or_unknown_is_refused() -> None:
    cast = shed()
    with pytest.raises(Refused):
        ThingCount(cast.id("Bands"), 0)
    cast.piece("R-1")
    cast.spread("Ring", ["R-1"], "Mon 12:30")
    twice = things(cast, Bands=1) * 2
    with pytest.raises(Refused):
        cast.press("Ring", "Mon 12:31", things=twice)
    with pytest.raises(NotHere):
        cast.press("Ring", "Mon 12:31", things=(ThingCount(cast.id("never told"), 1),))
    with pytest.raises(NotHere):
        cast.do("things_freed", "Mon 12:31", about=cast.id("no group"))


def test_things_of_another_workshop_are_neither_taken_nor_shown() -> None:
    cast = shed()
    other = Cast.open("Other")
    own(other, "Theirs", 9, kind="clamp")
    cast.piece("R-1")
    cast.spread("Ring", ["R-1"], "Mon 12:30")
    with pytest.raises(NotHere):
        cast.press("Ring", "Mon 12:31", things=(ThingCount(other.id("Theirs"), 1),))
    assert "Theirs" not in lines(paired(cast), "Mon 13:00")


def test_the_number_of_queries_does_not_grow_with_what_is_held() -> None:
    def asked(groups: int) -> int:
        cast = shed()
        phone = paired(cast)
        for number in range(groups):
            press(cast, f"G{number}", [f"R-{number}"], "Mon 12:30", Bands=1, F_clamps=2)
        with CaptureQueriesContext(connection) as queries:
            told = lines(phone, "Mon 12:50")
        assert told["Bands"]["held"] == groups
        return len(queries)

    assert asked(2) == asked(12)
