"""Fire: what comes due becomes one alert, whatever happens around it."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import transaction

from cureclock.actions.air_expected import DayPoint
from cureclock.reminders.models import Alert, Delivery
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import set_next
from cureclock.waits.due import DueClocks
from cureclock.waits.models import Clock, Gate
from tests.cast import PVA_G, when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db


def pressed() -> Stage:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01", "L-02"], "Mon 09:00")
    return stage


def one_after_the_other(second: str) -> Stage:
    """A group of two, the first pressed at 09:00, with an adhesive that leaves time for it."""
    stage = Stage.open()
    stage.cast.material("Slow", values={**PVA_G, "total_assembly": None})
    stage.cast.read("Mon 08:00", 20.0)
    for tag in ("L-01", "L-02"):
        stage.cast.piece(tag)
    stage.cast.spread("G1", ["L-01", "L-02"], "Mon 08:55", label="Slow label")
    stage.cast.press("G1", "Mon 09:00", joints=(stage.cast.id("G1/L-01"),))
    stage.cast.press("G1", second, joints=(stage.cast.id("G1/L-02"),))
    return stage


def test_a_gate_that_opens_is_told_once() -> None:
    stage = pressed()
    assert stage.tick("Mon 09:44") == []
    (message,) = stage.tick("Mon 09:45")
    assert message.title.startswith("Take clamps off – G1 L-01, 02")
    assert "Not the lathe" in message.body or "no plane" in message.body.lower()
    assert stage.tick("Mon 09:46") == []
    assert stage.tick("Mon 12:00") == []


def test_nothing_is_told_before_it_is_due() -> None:
    stage = pressed()
    stage.tick(when("Mon 09:45") - timedelta(seconds=1))
    assert not Alert.objects.filter(gate="clamps_off").exists()


def test_the_alert_is_marked_with_its_gate_in_one_transaction() -> None:
    stage = pressed()
    from cureclock.reminders import points
    from cureclock.reminders.fire import Firing

    def fail(point: str) -> None:
        if point == "fire.promised":
            raise RuntimeError(point)

    over = points.listen(fail)
    stage.clock.move_to(when("Mon 09:45"))
    with pytest.raises(RuntimeError):
        Firing().fire(stage.clock.now())
    over()
    assert not Alert.objects.filter(gate="clamps_off").exists()
    assert not Gate.objects.filter(kind="clamps_off", state="reached").exists()
    assert len(stage.tick()) == 1


def test_silent_gates_are_marked_and_not_told() -> None:
    stage = pressed()
    stage.tick("Mon 11:30")
    assert Gate.objects.filter(kind="keep_warm", state="reached").count() == 2
    assert not Alert.objects.filter(gate="keep_warm").exists()


def test_an_act_that_is_done_before_its_time_is_not_told() -> None:
    stage = pressed()
    stage.cast.do("clamps_off", "Mon 09:50", glue_up=stage.cast.id("G1"))
    assert all("clamps" not in message.title for message in stage.tick("Mon 09:51"))


def test_an_act_done_between_firing_and_sending_is_not_told() -> None:
    stage = pressed()
    from cureclock.reminders.fire import Firing

    stage.clock.move_to(when("Mon 09:45"))
    Firing().fire_all(stage.clock.now())
    stage.cast.do("clamps_off", "Mon 09:45", glue_up=stage.cast.id("G1"))
    assert stage.tick() == []
    assert Delivery.objects.get(alert__gate="clamps_off").state == Delivery.State.SUPERSEDED


def test_pieces_of_a_group_within_half_an_hour_share_an_alert() -> None:
    stage = one_after_the_other("Mon 09:20")
    assert stage.tick("Mon 09:50") == []
    (message,) = stage.tick("Mon 10:06")
    assert "L-01, 02" in message.title


def test_pieces_farther_apart_take_the_next_number() -> None:
    stage = one_after_the_other("Mon 09:31")
    (first,) = stage.tick("Mon 09:45")
    (second,) = stage.tick("Mon 10:16")
    assert "L-01" in first.title
    assert "L-02" not in first.title
    assert "L-02" in second.title
    assert first.tag != second.tag
    seqs = Alert.objects.filter(gate="clamps_off").values_list("seq", flat=True)
    assert sorted(seqs) == [0, 1]


def test_a_piece_dropped_from_a_group_alert_is_told_by_the_next() -> None:
    """It was to pass with the others; a colder reading made it late."""
    stage = one_after_the_other("Mon 09:25")
    assert stage.tick("Mon 09:46") == []
    stage.cast.read("Mon 10:00", 14.0)
    (first,) = stage.tick("Mon 10:11")
    assert "L-01" in first.title
    assert "02" not in first.title
    told = [message for minute in range(12, 60, 4) for message in stage.tick(f"Mon 10:{minute}")]
    assert ["02" in message.title for message in told] == [True]


def test_an_alert_of_which_nothing_is_true_is_told_when_it_is() -> None:
    stage = pressed()
    from cureclock.reminders.fire import Firing

    stage.clock.move_to(when("Mon 09:45"))
    Firing().fire_all(stage.clock.now())
    stage.cast.read("Mon 09:45", 12.0)
    assert stage.tick() == []
    told = [message for minute in range(46, 60) for message in stage.tick(f"Mon 09:{minute}")]
    told += [message for minute in range(60) for message in stage.tick(f"Mon 10:{minute:02d}")]
    assert len(told) == 1


def test_a_start_told_late_fires_at_once() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.clock.move_to(when("Mon 12:00"))
    stage.cast.piece("L-01")
    stage.cast.spread("G1", ["L-01"], "Mon 08:55")
    stage.cast.press("G1", "Mon 09:00", arrived="Mon 12:00")
    told = stage.tick("Mon 12:00")
    assert any(message.title.startswith("Take clamps off") for message in told)
    due = Alert.objects.get(gate="clamps_off").due_at
    assert abs(due - when("Mon 09:45")) < timedelta(seconds=2)
    assert stage.tick("Mon 12:01") == []


def test_a_poisonous_clock_holds_up_no_other() -> None:
    from cureclock.reminders.models import Trouble

    stage = pressed()
    stage.cast.place("Box")
    stage.cast.read("Mon 08:00", 20.0, place="Box")
    stage.cast.piece("B-1")
    stage.cast.spread("G2", ["B-1"], "Mon 08:55", place="Box")
    stage.cast.press("G2", "Mon 09:00")
    Clock.objects.filter(place__name="Box").update(response={"kind": "bogus"})
    (message,) = stage.tick("Mon 09:45")
    assert "G1" in message.title
    shown = Trouble.objects.get(what="clock")
    assert shown.again_at > stage.clock.now()
    assert "bogus" in shown.why


def test_many_due_clocks_take_as_many_questions_as_one(django_assert_max_num_queries: Any) -> None:
    from cureclock.reminders.fire import Firing

    asked = []
    for places in (1, 5):
        stage = Stage.open()
        for number in range(places):
            shed = f"Shed {number}"
            stage.cast.place(shed)
            stage.cast.read("Mon 08:00", 20.0, place=shed)
            stage.cast.piece(f"L-{number}")
            stage.cast.spread(f"G{number}", [f"L-{number}"], "Mon 08:55", place=shed)
            stage.cast.press(f"G{number}", "Mon 09:00")
        firing = Firing()
        with django_assert_max_num_queries(60) as captured:
            assert firing.fire(when("Mon 09:45")) >= places
        told = Alert.objects.filter(workshop=stage.cast.workshop, gate="clamps_off")
        assert told.count() == places
        asked.append(len(captured))
    assert asked[0] == asked[1]


def test_air_that_is_told_just_before_a_firing_counts_for_what_comes_next() -> None:
    stage, due = pressed(), DueClocks()
    expect_day(stage, "Mon 09:01", evening_c=20.0)
    at = min(one for one in Clock.objects.values_list("next_due_at", flat=True) if one)
    assert due.build(at)
    expect_day(stage, at, evening_c=2.0)  # what is due now stays where it is
    at += timedelta(seconds=1)
    with transaction.atomic():
        assert due.take(at)
    for row in Clock.objects.select_related("place__workshop"):
        next_due_at = row.next_due_at
        set_next(row, Ages(row.read_at, at))
        assert row.next_due_at == next_due_at


def expect_day(stage: Stage, at: str | datetime, *, evening_c: float) -> None:
    clocks = (("06:00", 20.0), ("12:00", 20.0), ("13:00", evening_c), ("23:00", evening_c))
    day = tuple(DayPoint(clock, temp_c) for clock, temp_c in clocks)
    stage.cast.do("air_expected", at, place=stage.cast.id("Shed"), day=day)
