"""The plan through the door: today's list, dates, what if, can it be promised, the day on paper."""

from dataclasses import replace

import pytest

from cureclock.core.planning.solve import Effort
from cureclock.planner.resolve import resolve
from tests.api.door import paired
from tests.cast import when
from tests.planner.batch import QUICK, planned, routed, shop

pytestmark = pytest.mark.django_db

WITH_TABLE = replace(QUICK, each=Effort(limit_s=0))


def told(cast, path="plan", at="Mon 08:00"):
    answer = paired(cast).get(path, at)
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_without_a_route_there_is_an_empty_plan():
    plan = told(shop())
    assert (plan["acts"], plan["batches"], plan["made_at"], plan["stale"]) == ([], [], None, False)


def test_today_is_listed_for_each_pair_of_hands_with_what_to_do_now_and_why():
    cast = routed(shop())
    planned(cast)
    plan = told(cast)
    own = next(one for one in plan["people"] if one["today"])
    first = own["today"][own["now"]]
    assert (first["step"], first["batch"]["name"], first["pieces"]) == ("glue", "boxes", 1)
    assert (first["why"]["key"], first["why"]["name"]) == ("leaves", "clamps_off")
    assert first["starts"] == "2026-02-02T08:00:00Z"
    assert own["idle"]


def test_what_is_glued_before_leaving_is_marked():
    cast = routed(shop(), at="Mon 15:30")
    planned(cast, "Mon 16:00")
    plan = told(cast, at="Mon 16:00")
    listed = [own["today"][number] for own in plan["people"] for number in own["before_home"]]
    assert {act["step"] for act in listed} <= {"glue", "clamps off"}


def test_dates_say_what_rules_them_and_whether_a_promise_is_kept():
    cast = routed(shop())
    cast.do("promise_made", "Mon 07:30", batch=cast.id("boxes"), day=when("+3 00:00").date())
    planned(cast)
    (own,) = told(cast)["batches"]
    assert own["kept"] == "late"
    assert own["promised"] == "2026-02-05"
    assert (own["rules"]["ruler"], own["rules"]["name"]) == ("wait", "wrap")
    assert own["by_promise"] == 0


def test_a_plan_that_is_being_made_anew_says_so():
    cast = routed(shop())
    planned(cast)
    assert told(cast)["stale"] is False
    cast.read("Mon 08:01", 19.0, 50.0)
    assert told(cast, at="Mon 08:02")["stale"] is True


def test_what_if_is_a_table_with_what_is_changed_in_names():
    cast = routed(shop())
    resolve(cast.workshop, when("Mon 08:00"), WITH_TABLE)
    rows = told(cast, "plan/what-if")["rows"]
    kinds = {row["change"]["kind"] for row in rows}
    assert {"more_things", "machine", "place", "coat_less"} <= kinds
    gains = [row["sooner_h"] for row in rows]
    assert gains == sorted(gains, reverse=True)
    cupboard = next(
        r for r in rows if r["change"]["kind"] == "place" and r["change"]["step"] == "Varnish"
    )
    assert cupboard["change"]["name"] == "Cupboard"
    assert cupboard["sooner_h"] > 0
    less = next(row for row in rows if row["change"]["kind"] == "coat_less")
    assert (less["change"]["step"], less["sooner_h"] > 0) == ("coat 2", True)


def test_can_it_be_promised_says_how_many_and_what_would_help():
    cast = routed(shop())
    resolve(cast.workshop, when("Mon 08:00"), WITH_TABLE)
    ask = f"plan/by-day?batch={cast.id('boxes')}&day="
    soon, far = told(cast, f"{ask}2026-02-11"), told(cast, f"{ask}2026-03-20")
    assert (soon["kept"], far["kept"]) == ("late", "sure")
    assert (soon["done_likely"], far["done_likely"]) == (0, 4)
    assert soon["rules"]["name"] == "wrap"
    assert any(one["change"]["name"] == "Cupboard" for one in soon["better"])


@pytest.mark.parametrize(
    ("query", "status"),
    [("batch=x&day=2026-02-13", 422), ("day=2026-02-13", 422), ("batch={batch}&day=soon", 422)],
)
def test_a_question_that_is_none_is_refused_by_its_field(query, status):
    cast = routed(shop())
    planned(cast)
    answer = paired(cast).get(f"plan/by-day?{query.format(batch=cast.id('boxes'))}", "Mon 08:00")
    assert answer.status_code == status


def test_a_stranger_and_another_workshop_see_nothing_of_it():
    cast, other = routed(shop()), shop()
    planned(cast)
    assert told(other)["acts"] == []
    answer = paired(other).get(f"plan/by-day?batch={cast.id('boxes')}&day=2026-02-13", "Mon 08:00")
    assert answer.status_code in (404, 422)
    from django.test import Client

    assert Client().get("/api/plan").status_code == 401


def test_a_step_is_begun_and_ended_by_the_phone_and_its_minutes_stand_beside_the_planned():
    cast = routed(shop())
    phone = paired(cast)
    batch, go = str(cast.id("boxes")), str(cast.id("go"))
    begun = phone.tap("step_started", "Mon 08:00", go=go, batch=batch, step="glue", pieces=1)
    assert phone.tell(begun, at="Mon 08:00")[0]["outcome"] == "applied"
    planned(cast, "Mon 08:05")
    plan = told(cast, at="Mon 08:05")
    assert [(one["go"], one["step"]) for one in plan["under_way"]] == [(go, "glue")]
    ended = phone.tap("step_finished", "Mon 08:27", go=go)
    assert phone.tell(ended, at="Mon 08:27")[0]["outcome"] == "applied"
    plan = told(cast, at="Mon 08:30")
    assert plan["under_way"] == []
    glue = next(one for one in plan["minutes"] if one["step"] == "glue")
    assert (glue["planned_min"], glue["actual_min"], glue["times"]) == (20, 27, 1)


def test_the_day_on_paper_has_a_page_for_each_who_has_anything_to_do():
    cast = routed(shop())
    planned(cast)
    answer = paired(cast).get("plan/day-sheet", "Mon 08:00")
    assert answer["Content-Type"] == "application/pdf"
    import pypdfium2

    paper = pypdfium2.PdfDocument(answer.content)
    words = "".join(page.get_textpage().get_text_range() for page in paper)
    busy = [one["person"]["name"] for one in told(cast)["people"] if one["today"]]
    assert len(paper) == len(busy)
    assert all(name in words for name in busy)
    assert "glue: boxes, 1" in words
    assert "Then it waits until" in words


def test_what_can_hurt_says_that_a_planned_time_is_no_yes():
    cast = routed(shop())
    planned(cast)
    asks = {act["step"]: act["ask"] for act in told(cast)["acts"]}
    assert asks["turn"] is True
    assert asks["glue"] is False


def test_gaps_too_short_to_use_are_not_told():
    cast = routed(shop())
    planned(cast)
    from datetime import datetime, timedelta

    gaps = [gap for own in told(cast)["people"] for gap in own["idle"]]
    lengths = [datetime.fromisoformat(g["to"]) - datetime.fromisoformat(g["from"]) for g in gaps]
    assert lengths
    assert min(lengths) >= timedelta(minutes=15)
