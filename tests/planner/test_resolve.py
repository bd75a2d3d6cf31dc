"""From what was told to a plan that was verified and saved."""

import re
from dataclasses import replace

import pytest
from django.utils import timezone

from cureclock.actions.route_told import AfterSaid, StepSaid
from cureclock.core.planning.conflict import Clash, Conflict
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US, instant_us
from cureclock.planner.models import Plan
from cureclock.planner.names import spoken
from cureclock.planner.resolve import claim, due, resolve_due
from cureclock.shop.refusals import Refusal
from tests.cast import when
from tests.planner.batch import QUICK, planned, routed, shop, steps

pytestmark = pytest.mark.django_db


def starts(plan, step):
    return sorted(act["start_us"] for act in plan.body["acts"] if act["step"] == step)


def test_a_route_becomes_a_plan_that_waits_for_its_gates():
    plan = planned(routed(shop()))
    assert plan.made_at == when("Mon 08:00")
    assert starts(plan, "glue")[0] == instant_us(when("Mon 08:00"))
    glued = max(act["end_us"] for act in plan.body["acts"] if act["step"] == "glue")
    assert starts(plan, "clamps off")[-1] >= glued + 0.75 * HOUR_US
    # 24 label-hours to spin, a fifth more for a material nobody has tried here, and more in doubt.
    assert starts(plan, "turn")[0] > instant_us(when("Tue 12:00"))
    assert plan.body["conflicts"] == []


def test_likely_comes_before_safe_and_something_rules_the_date():
    cast = routed(shop())
    own = planned(cast).body["batches"][str(cast.id("boxes"))]
    assert own["done_us"] <= own["safe_us"]
    assert own["likely_us"] < own["safe_us"]
    assert (own["rules"]["ruler"], own["rules"]["name"]) == ("wait", "wrap")


def test_a_colder_shed_never_finishes_sooner():
    warm, cold = routed(shop()), routed(shop())
    cold.read("Mon 07:30", 12.0, 50.0)
    done = [
        planned(cast).body["batches"][str(cast.id("boxes"))]["done_us"] for cast in (warm, cold)
    ]
    assert done[1] > done[0]


def test_a_verb_marks_the_plan_stale_and_it_is_made_anew_once():
    cast = routed(shop())
    assert due(when("Mon 07:00")) == []  # taps come in bursts
    assert resolve_due(when("Mon 08:00"), QUICK) == [cast.workshop.id]
    assert due(when("Mon 08:01")) == []
    cast.read("Mon 08:02", 19.0, 50.0)
    assert due(when("Mon 08:03")) == [cast.workshop.id]
    assert resolve_due(when("Mon 08:03"), QUICK) == [cast.workshop.id]
    assert resolve_due(when("Mon 08:04"), QUICK) == []


def test_what_changes_while_it_is_made_makes_it_stale_again():
    cast = routed(shop())
    assert claim(cast.workshop.id, when("Mon 08:00"))
    assert not claim(cast.workshop.id, when("Mon 08:01"))
    cast.read("Mon 08:01", 19.0, 50.0)
    planned(cast)
    assert Plan.objects.get(workshop=cast.workshop).stale_since == when("Mon 08:01")


def test_whoever_died_at_it_is_followed_by_another():
    cast = routed(shop())
    claim(cast.workshop.id, when("Mon 08:00"))
    assert due(when("Mon 08:04")) == []
    assert due(when("Mon 08:06")) == [cast.workshop.id]


def test_what_should_long_have_begun_is_looked_at():
    cast = routed(shop())
    resolve_due(when("Mon 08:00"), QUICK)
    assert due(when("Mon 08:20")) == []
    assert due(when("Mon 08:31")) == [cast.workshop.id]


def test_a_step_that_was_begun_stands_and_what_comes_before_is_taken_as_done():
    cast = routed(shop())
    cast.do("step_started", "Thu 09:00", go=cast.id("go"), batch=cast.id("boxes"), step="turn")
    cast.do("step_finished", "Thu 09:40", go=cast.id("go"))
    plan = planned(cast, "Thu 10:00")
    pinned = {(act["step"], act["pieces"]) for act in plan.body["acts"] if act["pinned"]}
    assert pinned == {("turn", 1), ("clamps off", 1), ("glue", 1)}


def test_an_end_told_before_its_beginning_and_one_that_was_struck_out():
    cast = routed(shop())
    cast.do("step_finished", "Mon 09:00", go=cast.id("go"))
    cast.do("step_started", "Mon 08:00", arrived="Mon 09:10", go=cast.id("go"),
            batch=cast.id("boxes"), step="glue", ident=cast.id("begun"))  # fmt: skip
    act = next(act for act in planned(cast, "Mon 10:00").body["acts"] if act["pinned"])
    assert act["end_us"] == instant_us(when("Mon 09:00"))
    cast.do("struck_out", "Mon 10:00", target=cast.id("begun"), reason="not this one")
    assert not any(act["pinned"] for act in planned(cast, "Mon 10:05").body["acts"])


def test_more_pieces_than_there_are_count_as_all():
    cast = routed(shop())
    cast.do(
        "step_started", "Mon 08:00", go=cast.id("go"), batch=cast.id("boxes"), step="glue", pieces=9
    )
    acts = planned(cast, "Mon 09:00").body["acts"]
    assert sum(act["pieces"] for act in acts if act["step"] == "glue") == 4


def test_a_plan_is_kept_to_when_little_has_changed():
    cast = routed(shop())
    first = planned(cast)
    cast.read("Mon 08:30", 20.0, 50.0)
    again = planned(cast, "Mon 08:00")
    assert [act["start_us"] for act in again.body["acts"]] == [
        act["start_us"] for act in first.body["acts"]
    ]


def test_a_promise_is_held_against_the_dates_and_goes_when_struck_out():
    cast = routed(shop())
    by = when("+18 00:00").date()
    cast.do("promise_made", "Mon 07:30", batch=cast.id("boxes"), day=by, ident=cast.id("promise"))
    own = planned(cast).body["batches"][str(cast.id("boxes"))]
    assert own["promise_us"] == instant_us(when("+19 00:00"))
    cast.do("struck_out", "Mon 07:35", target=cast.id("promise"))
    assert planned(cast).body["batches"][str(cast.id("boxes"))]["promise_us"] is None


# What cannot be


def test_a_route_with_a_circle_is_refused_and_named():
    with pytest.raises(Refused, match="a -> b -> a"):
        routed(
            shop(),
            steps=(StepSaid("a", after=(AfterSaid("b"),)), StepSaid("b", after=(AfterSaid("a"),))),
            done=(),
        )


def test_a_gate_the_label_does_not_have_is_refused_with_those_it_has():
    cast = shop()
    glue = replace(steps(cast)[0], takes=())
    bad = (glue, StepSaid("coat", after=(AfterSaid("glue", "recoat_opens"),)))
    with pytest.raises(Refusal, match=r"says nothing of recoat_opens; one of .*clamps_off"):
        routed(cast, steps=bad, done=())


def test_a_machine_that_was_never_told_is_refused():
    cast = shop()
    with pytest.raises(Refusal, match=r"steps\.machine"):
        routed(cast, steps=(StepSaid("rout", hands_min=5, machine=cast.id("router")),), done=())


def test_a_machine_that_is_gone_is_named():
    cast = routed(shop())
    cast.do("machine_told", "Mon 07:10", machine=cast.id("lathe"), name="lathe", count=0)
    plan = planned(cast)
    assert plan.body["acts"] == []
    assert plan.body["conflicts"][0]["says"] == "turn (boxes) needs a lathe, and the shop has none."


def test_nobody_ever_there_is_named():
    cast = routed(shop())
    cast.do("shop_told", "Mon 07:10", hours=())
    says = planned(cast).body["conflicts"][0]["says"]
    assert says == "Nobody who can do glue (boxes) is here in that time."


def test_more_pieces_than_fit_is_said_and_planned_all_the_same():
    cast = shop()
    long = (StepSaid("carve", hands_min=590),)
    plan = planned(routed(cast, steps=long, done=(), count=200))
    (told,) = plan.body["given_up"]
    assert told["clash"] == "horizon"
    assert re.fullmatch(
        r"Only \d+ of 200 pieces fit in by \w{3} \d+ \w{3} \d\d:\d\d\.", told["says"]
    )


def test_what_stands_in_the_way_of_a_change_is_said_by_its_names():
    cast = shop()
    wrong = Conflict(Clash.MACHINE, str(cast.id("boxes")), "turn", str(cast.id("lathe")))
    names = {str(cast.id("boxes")): "boxes", str(cast.id("lathe")): "lathe"}
    said = spoken(wrong, names, cast.workshop, when("Mon 08:00")).says
    assert said == "turn (boxes) needs a lathe, and the shop has none."


def test_a_promise_in_the_past_is_planned_and_seen_to_be_late():
    cast = routed(shop())
    cast.do(
        "promise_made",
        "Mon 07:30",
        batch=cast.id("boxes"),
        day=when("Mon 00:00").date().replace(year=2025),
    )
    cast.do("plan_wished", "Mon 07:31", aim="slack")
    own = planned(cast).body["batches"][str(cast.id("boxes"))]
    assert own["likely_us"] > own["promise_us"]


def test_a_glue_that_never_sets_in_this_cold_is_no_crash():
    cast = routed(shop())
    cast.read("Mon 07:50", -15.0, 60.0)
    plan = planned(cast)
    assert plan.body.get("given_up") or plan.body.get("conflicts") or plan.body.get("acts")


def test_no_batch_on_a_route_is_an_empty_plan_that_says_so():
    cast = routed(shop())
    cast.do("batch_routed", "Mon 07:20", batch=cast.id("boxes"), count=4)
    assert planned(cast).body == {}


def test_the_time_is_never_read_here(monkeypatch):
    monkeypatch.setattr(timezone, "now", lambda: pytest.fail("read the time"))
    planned(routed(shop()))
