"""Groups: what opens counts from the last piece, what closes from the first; states by figures."""

from typing import Any

import pytest

from cureclock.actions.verb import Done
from cureclock.waits.begun import begun, begun_shown
from cureclock.waits.current import current
from cureclock.waits.foretold import Foresight
from cureclock.waits.groups import group_shown, groups_of
from cureclock.waits.models import Gate
from cureclock.waits.shown import GateShown, GroupShown
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def shed(*tags: str) -> Cast:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.read("Mon 07:00", 20.0)
    for tag in tags or ("L-01",):
        cast.piece(tag)
    return cast


def seen(cast: Cast, at: str) -> list[GroupShown]:
    found = current(cast.workshop, when(at))
    foresight = Foresight(found.ages)
    waiting = [group_shown(found, foresight, group) for group in groups_of(found)]
    return waiting + [begun_shown(one) for one in begun(cast.workshop, when(at))]


def only(cast: Cast, at: str) -> GroupShown:
    (group,) = seen(cast, at)
    return group


def gate(group: GroupShown, kind: str) -> GateShown:
    return next(one for one in group.gates if one.kind == kind)


def test_a_glue_up_is_spread_closed_pressed_and_at_rest() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    assert only(cast, "Mon 08:01").state == "spreading"
    cast.do("closed", "Mon 08:04", glue_up=cast.id("G1"))
    assert only(cast, "Mon 08:05").state == "closed"
    cast.press("G1", "Mon 08:06")
    assert only(cast, "Mon 08:07").state == "pressed"
    cast.do("clamps_off", "Mon 09:00", glue_up=cast.id("G1"))
    assert only(cast, "Mon 09:01").state == "resting"


def test_a_struck_closing_leaves_it_spreading() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    told = cast.do("closed", "Mon 08:04", glue_up=cast.id("G1"))
    cast.do("struck_out", "Mon 08:05", target=told.id)
    assert only(cast, "Mon 08:06").state == "spreading"


def test_a_group_is_as_far_as_its_least_piece() -> None:
    cast = shed("L-01", "L-02")
    cast.spread("G1", ["L-01", "L-02"], "Mon 08:00")
    cast.press("G1", "Mon 08:05", joints=(cast.id("G1/L-01"),))
    assert only(cast, "Mon 08:06").state == "spreading"
    assert gate(only(cast, "Mon 08:06"), "total_assembly").of == 1


def test_what_opens_counts_from_the_last_and_what_closes_from_the_first() -> None:
    cast = shed("L-01", "L-02")
    cast.spread("G1", ["L-01", "L-02"], "Mon 08:00")
    cast.press("G1", "Mon 08:05", joints=(cast.id("G1/L-01"),))
    cast.press("G1", "Mon 08:35", joints=(cast.id("G1/L-02"),))
    off = gate(only(cast, "Mon 08:40"), "clamps_off")
    assert (off.acts.first, off.acts.last) == (when("Mon 08:50"), when("Mon 09:20"))
    assert (off.state, off.reached, off.of) == ("waiting", 0, 2)
    later = gate(only(cast, "Mon 09:00"), "clamps_off")
    assert (later.state, later.reached, later.of) == ("partly", 1, 2)
    assert gate(only(cast, "Mon 09:21"), "clamps_off").state == "reached"


def test_states_follow_the_figures_not_the_last_tick() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    assert set(Gate.objects.values_list("state", flat=True)) <= {"waiting", "over"}
    assert gate(only(cast, "Mon 12:10"), "light").state == "reached"
    assert gate(only(cast, "Mon 12:04"), "light").state == "waiting"


def test_a_gate_that_can_hurt_is_never_shown_as_open() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    cast.read("Tue 20:00", 20.0)
    later = gate(only(cast, "Wed 08:00"), "spin")
    assert later.state == "ask"
    assert later.hurts


def test_a_closing_gate_runs_is_warned_of_and_shuts() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")  # total assembly 12 minutes, warned from 9:36
    assert gate(only(cast, "Mon 08:09"), "total_assembly").state == "running"
    assert gate(only(cast, "Mon 08:10"), "total_assembly").state == "warned"
    assert gate(only(cast, "Mon 08:13"), "total_assembly").state == "shut"
    cast.press("G1", "Mon 08:11")
    assert gate(only(cast, "Mon 08:13"), "total_assembly").state == "over"


def test_the_next_gate_is_the_first_to_come_and_never_a_silent_one() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    following = only(cast, "Mon 08:06").next
    assert following is not None
    assert (following.kind, following.at) == ("clamps_off", when("Mon 08:50"))
    following = only(cast, "Mon 10:00").next
    assert following is not None
    assert following.kind == "light"


def test_what_is_longer_past_than_a_week_is_no_longer_shown() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    cast.do("clamps_off", "Mon 10:00", glue_up=cast.id("G1"))
    at = when("+9 08:00")
    Gate.objects.exclude(state="over").update(state="reached", reached_at=at)
    assert only(cast, "+12 08:00").gates
    assert seen(cast, "+17 08:00") == []


def test_what_still_waits_for_hands_is_shown_however_long() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    Gate.objects.exclude(state="over").update(state="reached", reached_at=when("Tue 08:00"))
    off = gate(only(cast, "+30 08:00"), "clamps_off")
    assert (off.state, off.acts.last) == ("reached", None)  # longer past than is worth showing


def coated(cast: Cast, *tags: str) -> Done:
    return cast.do(
        "coat_began",
        "Mon 10:30",
        coat=cast.id("C1"),
        name="Stems",
        label=cast.id("Varnish label"),
        place=cast.id("Shed"),
        zones=tuple(cast.id(f"{tag} stem") for tag in tags),
    )


def stems(*tags: str) -> Cast:
    from cureclock.actions.pieces_made import ZoneSaid

    cast = Cast.open()
    cast.place()
    values = {"dust_free": 2, "touch": 4, "recoat_opens": 8, "handle": 12}
    closes = {"hours": 24, "by_wall": True}
    cast.material(
        "Varnish",
        "water_acrylic_pu",
        {**values, "recoat_closes": closes, "response_kind": "doubling"},
    )
    cast.read("Mon 07:00", 20.0, 50.0)
    for tag in tags:
        cast.piece(tag, zones=(ZoneSaid(cast.id(f"{tag} stem"), "stem"),))
    return cast


def test_a_coat_is_going_on_paused_and_drying() -> None:
    cast = stems("1", "2")
    coated(cast, "1", "2")
    assert only(cast, "Mon 10:31").state == "coating"
    cast.do("coat_paused", "Mon 10:40", coat=cast.id("C1"))
    assert only(cast, "Mon 10:41").state == "paused"
    cast.do("coat_resumed", "Mon 10:50", coat=cast.id("C1"))
    assert only(cast, "Mon 10:51").state == "coating"
    cast.do("coat_ended", "Mon 11:25", coat=cast.id("C1"))
    assert only(cast, "Mon 11:26").state == "drying"


def test_a_coat_that_was_struck_out_never_began() -> None:
    cast = stems("1")
    told = coated(cast, "1")
    cast.do("struck_out", "Mon 10:32", target=told.id)
    assert seen(cast, "Mon 10:33") == []


def test_a_coats_window_opens_after_the_last_piece_and_shuts_after_the_first() -> None:
    cast = stems("1", "2", "3")
    coated(cast, "1", "2", "3")
    cast.do("coat_ended", "Mon 11:30", coat=cast.id("C1"))
    group = only(cast, "Mon 12:00")
    opens, shuts = gate(group, "recoat_opens"), gate(group, "recoat_closes")
    assert opens.acts.last == when("Mon 19:30")
    assert opens.acts.first == when("Mon 18:30")
    assert shuts.acts.first == when("Tue 10:30")
    assert shuts.bare == when("Tue 10:30")
    assert opens.between


def test_a_cleared_doubt_stands_apart_with_who_cleared_it() -> None:
    cast = shed()
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    cast.read("Mon 08:30", 5.0)
    assert [doubt.cause for doubt in only(cast, "Mon 08:31").suspect] == ["cold"]
    told = cast.do("witness", "Mon 20:00", glue_up=cast.id("G1"), torn_tenths=9)
    group = only(cast, "Mon 20:01")
    assert group.suspect == ()
    assert [doubt.cleared_by for doubt in group.cleared] == [told.id]


def test_why_the_figures_are_less_than_certain_is_said() -> None:
    cast = Cast.open()
    cast.place()
    cast.material("Bare", "pva_interior", {})
    cast.piece("L-01")
    cast.spread("G1", ["L-01"], "Mon 08:00", label="Bare label")
    cast.press("G1", "Mon 08:05")
    assert only(cast, "Mon 08:06").unsure == ("label_temperature_assumed", "unread_label")
    cast.read("Mon 08:10", 20.0)
    assert only(cast, "Mon 20:00").unsure == ("unread_label",)
    assert only(cast, "Mon 20:11").unsure == ("no_word", "unread_label")


@pytest.mark.parametrize(
    ("family", "values", "temp_c", "reason"),
    [
        ("water_acrylic_pu", {}, 20.0, "damp_not_measured"),
        ("urea_powder", {}, 5.0, "out_of_reach"),
        ("urea_powder", {"clamps_off": {"rows": [[15, 8], [20, 5]]}}, 12.0, "outside_label_rows"),
    ],
)
def test_doubt_about_air_and_label_is_named(
    family: str, values: dict[str, Any], temp_c: float, reason: str
) -> None:
    from cureclock.actions.pieces_made import ZoneSaid

    cast = Cast.open()
    cast.place()
    cast.material("X", family, values)
    cast.piece("L-01", zones=(ZoneSaid(cast.id("L-01 stem"), "stem"),))
    cast.read("Mon 07:00", temp_c)
    if family == "water_acrylic_pu":
        cast.named["Varnish label"] = cast.id("X label")
        coated(cast, "L-01")
        cast.do("coat_ended", "Mon 10:40", coat=cast.id("C1"))
    else:
        cast.spread("G1", ["L-01"], "Mon 10:35", label="X label")
        cast.press("G1", "Mon 10:40")
    assert reason in only(cast, "Mon 10:50").unsure
