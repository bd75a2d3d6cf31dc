"""What checks taught of a material in a place counts in the plan, as it does in the next wait."""

import pytest

from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.actions.route_told import AfterSaid, StepSaid
from cureclock.core.units import HOUR_US
from cureclock.planner.labels import Wait, labels_of
from cureclock.planner.routes import wait_of
from tests.cast import Cast, when
from tests.planner.batch import planned, routed, shop

pytestmark = pytest.mark.django_db


def glue_then_plane(cast: Cast) -> tuple[StepSaid, ...]:
    glue = StepSaid("glue", hands_min=20, place=cast.id("Shed"), material=cast.id("PVA-G"))
    return (glue, StepSaid("plane", hands_min=10, after=(AfterSaid("glue", "light"),)))


def shortest_wait_h(cast: Cast) -> float:
    acts = planned(routed(cast, steps=glue_then_plane(cast), done=(), count=1)).body["acts"]
    by_step = {act["step"]: act for act in acts}
    return (by_step["plane"]["start_us"] - by_step["glue"]["end_us"]) / HOUR_US


def a_trial_that_was_soft_at_five_hours(cast: Cast) -> Cast:
    cast.piece("trial")
    cast.spread("T", ["trial"], "Mon 00:50")
    cast.press("T", "Mon 01:00")
    for at, result in (("Mon 06:00", "tacky"), ("Mon 06:30", "ready")):
        cast.do("checked", at, glue_up=cast.id("T"), gate="light", result=result)
    return cast


def test_the_next_step_is_planned_for_when_it_was_found_ready_here_not_for_the_label():
    assert 4.0 <= shortest_wait_h(shop()) < 4.2
    assert 5.5 <= shortest_wait_h(a_trial_that_was_soft_at_five_hours(shop())) < 5.7


def test_a_first_coat_teaches_first_coats_and_here_only():
    cast = shop()
    bowl = PieceSaid(cast.id("bowl"), "bowl", zones=(ZoneSaid(cast.id("zone"), "outside"),))
    cast.do("pieces_made", "Mon 00:30", pieces=(bowl,))
    said = {"label": cast.id("Varnish label"), "place": cast.id("Shed"), "name": "C"}
    cast.do("coat_began", "Mon 00:40", coat=cast.id("C"), zones=(cast.id("zone"),), **said)
    cast.do("coat_ended", "Mon 00:45", coat=cast.id("C"))
    cast.do("checked", "Mon 15:45", coat=cast.id("C"), gate="recoat_opens", result="tacky")
    varnish, shed = cast.id("Varnish"), cast.id("Shed")
    labels = labels_of(cast.workshop, [varnish, cast.id("PVA-G")], when("Mon 16:00"))

    def need_h(wait: Wait) -> float:
        gate = labels.gate(wait)
        assert gate is not None
        return gate.need_us / HOUR_US

    printed = need_h(Wait(varnish, cast.id("Cupboard"), "recoat_opens"))
    assert need_h(Wait(varnish, shed, "recoat_opens")) == 15.0 > printed
    assert need_h(Wait(varnish, shed, "recoat_opens", over=(cast.id("PVA-G"),))) == 15.0
    assert need_h(Wait(varnish, shed, "recoat_opens", over=(varnish,))) == printed


def test_a_step_lies_over_all_that_comes_before_it_each_once():
    ids = {name: f"00000000-0000-0000-0000-00000000000{n}" for n, name in enumerate("pgv", 1)}
    steps = {
        "glue": {"key": "glue", "material": ids["g"], "place": ids["p"]},
        "one": {"key": "one", "material": ids["v"], "place": ids["p"], "after": [{"step": "glue"}]},
        "two": {
            "key": "two",
            "material": ids["v"],
            "place": ids["p"],
            "after": [{"step": "one"}, {"step": "glue"}],
        },
    }
    wait = wait_of(steps["two"], steps, "wrap")
    assert wait is not None
    assert sorted(str(one) for one in wait.over) == [ids["g"], ids["v"]]
