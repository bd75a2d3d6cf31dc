"""The promise of the demo: the maker asks, and the plan says when, what rules it and what helps."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta

import pytest

from cureclock.core.planning.solve import Effort
from cureclock.demo.teller import Story
from cureclock.planner.models import Plan
from cureclock.planner.resolve import Work, claim, resolve
from cureclock.shop.happening import Teller
from tests.api.door import at_the_clock, paired
from tests.cast import Cast

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
WORK = Work(Effort(limit_s=2), Effort(limit_s=1), Effort(limit_s=0.3))


@pytest.mark.embedded
def test_asked_for_a_date_the_plan_says_likely_safe_what_rules_it_and_what_would_help(
    week: Story,
) -> None:
    at = week.when("Sun 20:00")
    claim(week.workshop.id, at)
    resolve(week.workshop, at, WORK)
    maker: Teller = week.people["Maker"]
    door = paired(Cast(week.workshop, maker, week.people["Helper 1"], maker))
    batch = str(week.id("Batch L"))
    with at_the_clock(at):
        plan = door.get("plan", at).json()
    assert (plan["trouble"], plan["conflicts"]) == ("", [])
    (own,) = [one for one in plan["batches"] if one["batch"]["id"] == batch]
    assert own["likely"] < own["safe"]
    # What rules it is the wait to wrap of the film on the drums: no clamp, no hand, no machine.
    assert (own["rules"]["ruler"], own["rules"]["name"]) == ("wait", "wrap")
    likely = date.fromisoformat(own["likely"][:10])
    ask = f"plan/by-day?batch={batch}&day="
    early = door.get(f"{ask}{likely - timedelta(days=2)}", at).json()
    late = door.get(f"{ask}{likely + timedelta(days=60)}", at).json()
    assert early["kept"] in ("doubtful", "late")
    assert early["done_likely"] < 24
    assert late["kept"] == "sure"
    rows = door.get("plan/what-if", at).json()["rows"]
    cupboard = [
        row
        for row in rows
        if (row["change"]["kind"], row["change"]["name"]) == ("place", "Cupboard")
        and row["change"]["step"] == "Varnish-W"
    ]
    stands = [own for row in cupboard for own in row["batches"] if own["batch"]["id"] == batch]
    assert max(own["sooner_h"] for own in stands) > 24
    # The first act is one that can be done now or next, in hands that are there.
    assert any(one["today"] for one in plan["people"])


def test_what_was_done_in_the_week_stands_in_the_plan(week: Story) -> None:
    at = week.when("Sun 20:00")
    claim(week.workshop.id, at)
    resolve(week.workshop, at, replace(WORK, each=None))
    acts = Plan.objects.get(workshop=week.workshop).body["acts"]
    done: Counter[str] = Counter()
    for act in acts:
        if act["pinned"]:
            done[act["step"]] += act["pieces"]
    assert done["glue half-rings"] == 24
    assert done["glue drums"] == 23
    assert done["glue waste blocks"] == 16
    assert done["glue panels"] == 4
    assert done["rim out"] == 5
