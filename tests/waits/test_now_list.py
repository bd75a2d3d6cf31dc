"""Now: what is soon, allowed, wrong and not yet, by figures and never by a tick that may be late."""

from datetime import timedelta
from typing import Any

import pytest

from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.shop.models import Conflict
from cureclock.waits.begun import begun, begun_shown
from cureclock.waits.current import current
from cureclock.waits.foretold import Foresight
from cureclock.waits.groups import group_shown, groups_of
from cureclock.waits.line import Line, NowList
from cureclock.waits.now_list import now_list
from tests.cast import PVA_G, Cast, when

pytestmark = pytest.mark.django_db


def shed(*tags: str, **label: Any) -> Cast:
    cast = Cast.open()
    cast.place()
    cast.material(values={**PVA_G, **label})
    cast.read("Mon 07:00", 20.0)
    for tag in tags or ("L-01",):
        cast.piece(tag)
    return cast


def pressed(*tags: str, **label: Any) -> Cast:
    cast = shed(*tags, **label)
    cast.spread("G1", list(tags or ("L-01",)), "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    return cast


def lists(cast: Cast, at: str) -> NowList:
    found = current(cast.workshop, when(at))
    groups = groups_of(found)
    foresight = Foresight(found.ages)
    shown = {group.id: group_shown(found, foresight, group) for group in groups}
    shown |= {one.subject.id: begun_shown(one) for one in begun(cast.workshop, when(at))}
    return now_list(found, groups, shown, list(Conflict.objects.filter(settled_by=None)))


def acts(lines: tuple[Line, ...]) -> list[str]:
    return [line.act for line in lines]


def line(lines: tuple[Line, ...], act: str) -> Line:
    found = [one for one in lines if one.act == act]
    assert len(found) == 1, acts(lines)
    return found[0]


def test_open_time_that_runs_is_soon_from_its_first_second() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    soon = line(lists(cast, "Mon 08:01").soon, "total_assembly")
    assert soon.until == when("Mon 08:12")
    assert soon.group == cast.id("G1")
    assert (soon.pieces, soon.place) == (("L-01",), "Shed")


def test_what_was_never_pressed_in_time_has_gone_wrong() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    told = lists(cast, "Mon 08:13")
    assert "total_assembly" not in acts(told.soon)
    assert line(told.wrong, "total_assembly").reason == "shut"


def test_clamps_may_come_off_once_their_figure_is_past_and_until_somebody_says_so() -> None:
    cast = pressed()
    assert acts(lists(cast, "Mon 08:49").may) == []
    assert line(lists(cast, "Mon 08:49").not_yet, "clamps_off").at == when("Mon 08:50")
    may = line(lists(cast, "Mon 08:50").may, "clamps_off")
    assert may.at == when("Mon 08:50")
    assert may.forbidden is not None
    assert (may.forbidden.kind, may.forbidden.until) == ("light", when("Mon 12:05"))
    cast.do("clamps_off", "Mon 09:00", glue_up=cast.id("G1"))
    assert acts(lists(cast, "Mon 09:01").may) == []


def test_nothing_is_machined_while_it_is_in_its_clamps() -> None:
    cast = pressed()
    assert acts(lists(cast, "Mon 13:00").may) == ["clamps_off"]
    cast.do("clamps_off", "Mon 13:01", glue_up=cast.id("G1"))
    assert acts(lists(cast, "Mon 13:02").may) == ["light"]


def test_only_the_furthest_permission_is_worth_a_line() -> None:
    cast = pressed()
    cast.do("clamps_off", "Mon 09:00", glue_up=cast.id("G1"))
    assert acts(lists(cast, "Mon 20:06").may) == ["heavy"]
    forbidden = line(lists(cast, "Mon 20:06").may, "heavy").forbidden
    assert forbidden is not None
    assert forbidden.kind == "spin"


def test_of_a_group_only_the_pieces_that_are_ready_are_named() -> None:
    cast = shed("L-01", "L-02")
    cast.spread("G1", ["L-01", "L-02"], "Mon 08:00")
    cast.press("G1", "Mon 08:05", joints=(cast.id("G1/L-01"),))
    cast.press("G1", "Mon 08:11", joints=(cast.id("G1/L-02"),))
    told = lists(cast, "Mon 08:52")
    assert line(told.may, "clamps_off").pieces == ("L-01",)
    assert line(told.not_yet, "clamps_off").pieces == ("L-02",)


def test_a_joint_that_was_too_cold_is_wrong_and_permits_nothing() -> None:
    cast = pressed()
    cast.read("Mon 08:30", 5.0)
    told = lists(cast, "Tue 20:00")
    wrong = line(told.wrong, "suspect")
    assert wrong.reason == "suspect_cold"
    assert wrong.forbidden is not None
    assert (wrong.forbidden.kind, wrong.forbidden.until) == ("spin", None)
    assert told.may == ()
    assert told.not_yet == ()


def test_cold_that_is_coming_is_told_with_the_time_left() -> None:
    cast = shed()
    cast.read("Mon 17:00", 14.0)
    said = {"outside_low_c": 0.0, "half_gap_h": 4.0, "heater_off": True}
    cast.do("air_expected", "Mon 17:00", place=cast.id("Shed"), **said)
    cast.spread("G1", ["L-01"], "Mon 17:00")
    cast.press("G1", "Mon 17:05")
    cold = line(lists(cast, "Mon 17:06").wrong, "cold")
    assert cold.until is not None
    assert when("Mon 18:30") < cold.until < when("Mon 19:30")  # 14 x 0.5^(t/4) = 10 at 1.94 h
    assert cold.reason == "foretold_cold"


def test_a_place_that_fell_silent_is_told_since_when() -> None:
    cast = pressed()
    assert "read_temperature" not in acts(lists(cast, "Mon 18:59").wrong)
    silent = line(lists(cast, "Mon 19:01").wrong, "read_temperature")
    assert (silent.place, silent.at, silent.reason) == ("Shed", when("Mon 07:00"), "no_word")


def test_a_place_in_which_nothing_waits_may_be_silent() -> None:
    cast = pressed()
    cast.place("Attic")
    places = [one.place for one in lists(cast, "Mon 19:01").wrong if one.act == "read_temperature"]
    assert places == ["Shed"]


def test_a_contradiction_is_there_until_it_is_settled() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.do("clamps_off", "Mon 08:02", glue_up=cast.id("G1"))
    cast.press("G1", "Mon 08:05")
    settle = line(lists(cast, "Mon 08:06").wrong, "settle")
    assert (settle.reason, settle.group) == ("off_before_pressure", cast.id("G1"))
    cast.do("conflict_settled", "Mon 08:07", conflict=Conflict.objects.get().id)
    assert "settle" not in acts(lists(cast, "Mon 08:08").wrong)


def test_an_early_release_is_suspect() -> None:
    cast = pressed()
    cast.do("clamps_off", "Mon 08:30", glue_up=cast.id("G1"))
    assert line(lists(cast, "Mon 08:31").wrong, "suspect").reason == "suspect_off_early"


def read_hourly(cast: Cast, since: str, until: str) -> None:
    at = when(since)
    while at <= when(until):
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=20.0)
        at += timedelta(hours=4)


def test_the_lathe_is_asked_for_each_piece_by_itself() -> None:
    cast = pressed("L-01", "L-02")
    cast.do("clamps_off", "Mon 09:00", glue_up=cast.id("G1"))
    read_hourly(cast, "Mon 11:00", "Wed 11:00")
    cast.do("joints_declared", "Mon 09:10", piece=cast.id("L-01"))
    told = lists(cast, "Wed 12:00")
    spin = line(told.may, "spin")
    assert (spin.pieces, spin.cautions) == (("L-01",), ("lathe",))
    undeclared = [one for one in told.not_yet if one.act == "spin"]
    assert [(one.pieces, one.reason) for one in undeclared] == [(("L-02",), "joints_not_declared")]


def test_no_piece_may_spin_before_sure_however_it_looks() -> None:
    cast = pressed()
    cast.do("joints_declared", "Mon 09:10", piece=cast.id("L-01"))
    read_hourly(cast, "Mon 11:00", "Wed 11:00")
    assert "spin" not in acts(lists(cast, "Tue 12:50").may)  # 28 h 45: bare 24, sure 28.8
    assert "spin" in acts(lists(cast, "Tue 12:54").may)


def test_a_part_is_asked_for_as_the_whole_it_was_made_into() -> None:
    cast = pressed("L-01", "L-02")
    whole = PieceSaid(cast.id("B-1"), "B-1", made_from=(cast.id("L-01"), cast.id("L-02")))
    cast.do("pieces_made", "Mon 10:00", pieces=(whole,))
    cast.do("joints_declared", "Mon 10:10", piece=cast.id("B-1"))
    read_hourly(cast, "Mon 11:00", "Wed 11:00")
    spin = [one for one in lists(cast, "Wed 12:00").may if one.act == "spin"]
    assert [one.pieces for one in spin] == [("B-1",)]


def test_a_whole_with_a_suspect_part_is_on_no_list_for_the_lathe() -> None:
    cast = pressed("L-01", "L-02")
    cast.do(
        "override",
        "Mon 09:00",
        act="heavy",
        reason="late",
        glue_up=cast.id("G1"),
        joints=(cast.id("G1/L-02"),),
    )
    whole = PieceSaid(cast.id("B-1"), "B-1", made_from=(cast.id("L-01"), cast.id("L-02")))
    cast.do("pieces_made", "Mon 10:00", pieces=(whole,))
    cast.do("joints_declared", "Mon 10:10", piece=cast.id("B-1"))
    read_hourly(cast, "Mon 11:00", "Wed 11:00")
    told = lists(cast, "Wed 12:00")
    assert "spin" not in acts(told.may)
    assert line(told.wrong, "suspect").pieces == ("L-02",)


def oiled(
    cast: Cast, family: str = "oil_varnish_blend", values: dict[str, Any] | None = None
) -> None:
    cast.material("Oil", family, values or {})
    cast.do(
        "pieces_made",
        "Mon 07:10",
        pieces=(PieceSaid(cast.id("T-1"), "T-1", zones=(ZoneSaid(cast.id("top"), "top"),)),),
    )
    cast.do(
        "coat_began",
        "Mon 09:00",
        coat=cast.id("C1"),
        name="Panel",
        label=cast.id("Oil label"),
        place=cast.id("Shed"),
        zones=(cast.id("top"),),
    )


def test_a_coat_that_goes_on_has_to_be_ended() -> None:
    cast = shed()
    oiled(cast)
    assert line(lists(cast, "Mon 09:05").soon, "end_coat").group == cast.id("C1")
    cast.do("coat_ended", "Mon 09:10", coat=cast.id("C1"))
    assert "end_coat" not in acts(lists(cast, "Mon 09:11").soon)


def test_wiping_off_is_soon_and_done_when_it_is_wiped() -> None:
    cast = shed()
    oiled(cast)
    cast.do("coat_ended", "Mon 09:02", coat=cast.id("C1"))
    assert "wipe_off" in acts(lists(cast, "Mon 09:05").soon)
    cast.do("wiped", "Mon 09:08", coat=cast.id("C1"))
    assert "wipe_off" not in acts(lists(cast, "Mon 09:09").soon)


def test_rags_come_first_until_somebody_says_where_they_are() -> None:
    cast = shed()
    oiled(cast)
    cast.do("coat_ended", "Mon 09:02", coat=cast.id("C1"))
    soon = lists(cast, "Mon 09:05").soon
    assert soon[0].act == "rags"
    assert soon[0].cautions == ("rags",)
    assert lists(cast, "Wed 09:05").soon[0].act == "rags"
    placed = cast.do("rag_placed", "Wed 09:06", coat=cast.id("C1"), where="under_water")
    assert "rags" not in acts(lists(cast, "Wed 09:07").soon)
    cast.do("struck_out", "Wed 09:08", target=placed.id)
    assert "rags" in acts(lists(cast, "Wed 09:09").soon)


def test_a_finish_that_does_not_heat_up_asks_for_no_rags() -> None:
    cast = shed()
    oiled(cast, "shellac")
    cast.do("coat_ended", "Mon 09:02", coat=cast.id("C1"))
    assert "rags" not in acts(lists(cast, "Mon 09:05").soon)


VARNISH: dict[str, Any] = {
    "dust_free": 2,
    "touch": 4,
    "recoat_opens": 8,
    "handle": 12,
    "recoat_closes": {"hours": 24, "by_wall": True},
    "response_kind": "doubling",
}


def test_a_window_is_open_until_it_shuts_and_then_it_is_scuffed_first() -> None:
    cast = shed()
    oiled(cast, "water_acrylic_pu", VARNISH)
    cast.do("coat_ended", "Mon 09:00", coat=cast.id("C1"))
    recoat = line(lists(cast, "Mon 18:00").may, "recoat_opens")
    assert (recoat.at, recoat.until) == (when("Mon 17:00"), when("Tue 09:00"))
    late = lists(cast, "Tue 09:01")
    assert "recoat_opens" not in acts(late.may)
    assert line(late.wrong, "recoat_closes").reason == "shut"
    before = lists(cast, "Tue 08:45")
    assert line(before.soon, "recoat_closes").until == when("Tue 09:00")


def test_lines_stand_by_act_and_then_by_place() -> None:
    cast = shed("L-01", "L-02", "L-03")
    cast.place("Box")
    cast.read("Mon 07:00", 20.0, place="Box")
    for name, tag, place in (("G1", "L-01", "Shed"), ("G2", "L-02", "Box"), ("G3", "L-03", "Shed")):
        cast.spread(name, [tag], "Mon 08:00", place=place)
        cast.press(name, "Mon 08:05")
    cast.do("clamps_off", "Mon 12:00", glue_up=cast.id("G3"))
    may = lists(cast, "Mon 12:30").may
    assert [(one.act, one.place) for one in may] == [
        ("clamps_off", "Box"),
        ("clamps_off", "Shed"),
        ("light", "Shed"),
    ]


def test_a_running_gate_in_air_the_label_does_not_cover_is_to_be_acted_on_now() -> None:
    cast = shed(total_assembly={"rows": [[15, 0.5], [20, 0.3], [30, 0.2]]})
    cast.read("Mon 07:55", 8.0)
    cast.spread("G1", ["L-01"], "Mon 08:00")
    soon = line(lists(cast, "Mon 08:01").soon, "total_assembly")
    assert (soon.at, soon.reason) == (when("Mon 08:01"), "outside_label_rows")
