"""The week walked from Monday morning to Sunday: plans, counts and promises come out of it."""

from datetime import datetime, timedelta

import pytest

from cureclock.core.units import DAY_US, instant_us
from cureclock.demo.teller import Story
from cureclock.planner.models import Plan
from cureclock.reminders.kinds import DATE
from cureclock.reminders.models import Alert
from tests.demo.living import PLANNED_EVERY, Life, Planned

pytestmark = pytest.mark.django_db
LATE_ON_MONDAY = "Mon 16:00"


def last_before(life: Life, at: datetime) -> Planned:
    return [one for one in life.plans if one.at <= at][-1]


def done(plan: Planned) -> dict[tuple[str, str], int]:
    found: dict[tuple[str, str], int] = {}
    for act in plan.body.get("acts", ()):
        if act["pinned"]:
            key = act["batch"], act["step"]
            found[key] = found.get(key, 0) + act["pieces"]
    return found


def test_the_plan_is_made_anew_all_week_and_never_without_an_answer(week: Story, life: Life):
    assert life.plans[0].at <= week.when("Mon 08:00")
    assert life.plans[-1].at >= week.when("Sun 10:00")
    routed = [one for one in life.plans if one.at > week.when(LATE_ON_MONDAY)]
    assert len(routed) >= 12
    for one in routed:
        assert not one.body.get("trouble"), one.at
        assert one.body["conflicts"] == [], one.at
        assert set(one.body["batches"]) == {str(week.id("Batch L")), str(week.id("Batch T"))}


def test_nothing_is_planned_for_the_past_or_for_when_nobody_is_there(week: Story, life: Life):
    for one in life.plans:
        for act in one.body.get("acts", ()):
            if act["pinned"]:
                continue
            assert act["start_us"] >= instant_us(one.at)
            for person in act["people"]:
                assert any(
                    there[0] <= act["start_us"] and act["end_us"] <= there[1]
                    for there in one.body["there"][person]
                ), (one.at, act)


def test_what_was_done_stands_in_every_plan_after_it(week: Story, life: Life):
    stands, trays = str(week.id("Batch L")), str(week.id("Batch T"))
    for earlier, later in zip(life.plans, life.plans[1:], strict=False):
        now = done(later)
        assert all(now.get(key, 0) >= count for key, count in done(earlier).items()), later.at
    assert done(last_before(life, week.when("Tue 08:00")))[stands, "glue half-rings"] == 24
    sunday = done(last_before(life, week.when("Sun 10:00")))
    assert sunday[stands, "glue drums"] == 23  # one was lost
    assert sunday[trays, "rim out"] == 5


def test_eight_spoilt_drums_move_the_date_and_who_minds_the_shop_hears_of_it(
    week: Story, life: Life
):
    stands = str(week.id("Batch L"))
    before = last_before(life, week.when("Wed 18:02"))
    after = next(one for one in life.plans if one.at > week.when("Thu 10:40"))
    moved_us = (
        after.body["batches"][stands]["likely_us"] - before.body["batches"][stands]["likely_us"]
    )
    assert timedelta(microseconds=moved_us) > timedelta(days=1)
    told = Alert.objects.filter(about=week.id("Batch L"), kind=DATE)
    stood = after.at + timedelta(days=1) + PLANNED_EVERY
    assert any(one.made_at <= stood for one in told)


def test_at_most_a_day_and_a_night_late_who_minds_the_shop_knows_the_date_within_a_day(
    week: Story, life: Life
):
    """Told once or twice as the air is learned, and not with every reading of the night."""
    last = life.plans[-1]
    kept = Plan.objects.get(workshop=week.workshop).told
    for name in ("Batch L", "Batch T"):
        ident = str(week.id(name))
        apart_us = abs(kept[ident]["likely_us"] - last.body["batches"][ident]["likely_us"])
        moved_us = kept[ident].get("moved_us") or instant_us(last.at)
        waited = timedelta(microseconds=instant_us(last.at) - moved_us)
        assert apart_us < DAY_US or waited < timedelta(days=1), name
        told = Alert.objects.filter(about=week.id(name), kind=DATE)
        assert told.count() <= len(life.plans) / 4, name


def test_the_promise_of_the_fourth_week_can_still_be_kept_on_sunday(week: Story, life: Life):
    own = last_before(life, week.when("Sun 10:00")).body["batches"]
    for name, days in (("Batch L", 27), ("Batch T", 28)):
        batch = own[str(week.id(name))]
        assert batch["promise_us"] == instant_us(week.when("Mon 00:00") + timedelta(days=days))
        assert batch["likely_us"] < batch["promise_us"]


def test_clamps_are_counted_as_they_are_tied_up_and_come_off(life: Life):
    assert life.held["Mon 12:30"]["F-clamps"] == (33, 3)
    assert life.held["Mon 13:40"]["F-clamps"] == (0, 36)
    assert life.held["Tue 09:30"]["band clamps"] == (14, 0)  # the ten other rings have to wait
    assert life.held["Tue 11:45"]["band clamps"] == (10, 4)
    assert life.held["Wed 18:10"]["press columns"] == (2, 0)
    assert life.held["Wed 18:10"]["tray form"] == (1, 0)
    assert all(held == 0 for held, _free in life.held["Sun 10:00"].values())
