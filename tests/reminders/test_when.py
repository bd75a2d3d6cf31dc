"""When somebody is told: quiet hours, holds, the list in the morning, one summary after an outage."""

from datetime import time, timedelta

import pytest

from cureclock.reminders import dispatch
from cureclock.reminders.models import Alert, Delivery, Lull
from cureclock.reminders.people import house
from cureclock.shop.models import Membership, Person
from tests.cast import PVA_G, when
from tests.reminders.stage import Stage
from tests.reminders.test_looks import through

pytestmark = pytest.mark.django_db


def night() -> Stage:
    """Pressed in the evening: clamps may come off after home time."""
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 17:30")
    stage.cast.read("Mon 17:40", 20.0)
    return stage


def test_what_opens_after_home_time_waits_for_the_morning_list() -> None:
    stage = night()
    assert through(stage, "Mon 17:30", "Tue 07:35", minutes=30) == {}
    (morning,) = stage.tick("Tue 07:40")
    assert morning.title.startswith("Start here")
    assert "Take clamps off – G1 L-01" in morning.body
    assert through(stage, "Tue 07:45", "Tue 09:00") == {} or not any(
        "clamps" in line
        for lines in through(stage, "Tue 09:05", "Tue 10:00").values()
        for line in lines
    )


def test_the_list_of_one_takes_nothing_from_the_list_of_another(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Sent one after the other, each names what waited; nothing of it rings by itself later."""
    monkeypatch.setattr(dispatch, "BATCH", 1)
    stage = night()
    stage.way(stage.cast.helper)
    through(stage, "Mon 17:30", "Tue 07:35", minutes=60)
    lists = stage.tick("Tue 07:40")
    assert len(lists) == 2
    assert all("Take clamps off – G1 L-01" in one.body for one in lists)
    later = [one for at in ("Tue 08:09", "Tue 08:11", "Tue 08:30") for one in stage.tick(at)]
    assert [one.title for one in later if "clamps" in one.title] == []


def test_the_morning_list_counts_what_the_night_made_later() -> None:
    """Told at five as ready for the machine; it had been 2 degC all day, says who looks at seven."""
    stage = Stage.open("Mon 04:00")
    cast = stage.cast
    del cast.named["PVA-G label"]
    cast.material(values={**PVA_G, "min_c": 0})
    cast.read("Mon 04:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 05:00")
    assert any("Machine it" in one.title for one in stage.tick("Mon 17:01"))
    for at in ("Mon 05:10", "Mon 18:50"):
        cast.read(at, 2.0, arrived="Mon 19:00")
    assert [one.title for one in stage.tick("Mon 19:01") if "Wait longer" in one.title] == []
    (morning,) = stage.tick("Tue 07:40")
    assert morning.title == "Start here – night low 2 °C, 1 wait later"
    assert "G1" in morning.body


def test_a_list_that_cannot_be_sent_lets_each_ring_by_itself() -> None:
    from cureclock.reminders.outcome import Fault

    stage = night()
    through(stage, "Mon 17:30", "Tue 07:35", minutes=30)
    stage.memory.answers = [Fault(400, "bad")]
    stage.tick("Tue 07:40")
    told = through(stage, "Tue 07:45", "Tue 08:30")
    assert any(line.startswith("Take clamps off") for lines in told.values() for line in lines)


def test_what_is_no_longer_true_in_the_morning_is_not_listed() -> None:
    stage = night()
    through(stage, "Mon 17:30", "Tue 07:00", minutes=30)
    stage.cast.do("clamps_off", "Tue 07:10", glue_up=stage.cast.id("G1"))
    told = through(stage, "Tue 07:10", "Tue 09:00")
    assert not any("clamps" in m.body for _, m in stage.memory.sent)
    assert not any("clamps" in line for lines in told.values() for line in lines)


def test_quiet_hours_are_those_of_the_persons_own_zone() -> None:
    stage = Stage.open("Mon 08:00")
    assert stage.cast.owner.person is not None
    Person.objects.filter(id=stage.cast.owner.person.id).update(zone="Asia/Tokyo")
    Membership.objects.filter(person=stage.cast.owner.person).update(
        quiet_from=time(18), quiet_until=time(19)
    )
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 08:30")  # opens 09:15 UTC, 18:15 in Tokyo
    assert stage.tick("Mon 09:15") == []
    assert stage.tick("Mon 09:59") == []
    assert len(stage.tick("Mon 10:00")) == 1


def test_a_hold_keeps_back_what_is_not_urgent_and_lets_the_rest_ring() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.clock.move_to(when("Mon 09:40"))
    Lull.objects.create(
        workshop=stage.cast.workshop, since=when("Mon 09:40"), until=when("Mon 10:20")
    )
    stage.cast.piece("L-02")
    stage.cast.spread("G2", ["L-02"], "Mon 09:41")
    told = through(stage, "Mon 09:41", "Mon 10:19", minutes=1)
    lines = [line for lines in told.values() for line in lines]
    assert any("assembly time" in line for line in lines)
    assert not any(line.startswith("Take clamps off") for line in lines)
    assert any(m.title.startswith("Take clamps off – G1") for m in stage.tick("Mon 10:20"))


def test_after_an_outage_there_is_one_summary_with_true_times_and_no_burst() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    for number in range(1, 9):
        stage.glue(f"G{number}", [f"L-0{number}"], "Mon 09:00")
    stage.tick("Mon 09:30")
    stage.clock.move_to(when("Mon 14:00"))
    stage.turn = stage.started()
    told = []
    for _ in range(20):
        before = len(stage.memory.sent)
        stage.turn.tick()
        told += [message for _, message in stage.memory.sent[before:]]
        stage.clock.sleep(3)
    summary = [message for message in told if message.title.startswith("Read what passed")]
    assert len(summary) == 1
    assert "09:30" in summary[0].title
    assert "In between nothing was measured" in summary[0].body
    assert sum(message.title.startswith("Take clamps off") for message in told) == 0
    assert len(told) <= 2
    assert Alert.objects.filter(gate="clamps_off", told_at__isnull=False).count() == 8
    later = through(stage, "Mon 14:05", "Mon 16:00")
    assert not any("Take clamps" in line for lines in later.values() for line in lines)
    due = Alert.objects.filter(gate="clamps_off").values_list("due_at", flat=True)
    assert all(abs(at - when("Mon 09:45")) < timedelta(seconds=2) for at in due)


def test_a_short_pause_is_no_outage() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.tick("Mon 09:42")
    stage.clock.move_to(when("Mon 09:48"))
    stage.turn = stage.started()
    stage.turn.tick()
    (_, message) = stage.memory.sent[-1]
    assert message.title.startswith("Take clamps off")


def test_what_waited_unsent_before_an_outage_is_summed_up_too() -> None:
    from cureclock.reminders.outcome import TryAgain

    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.memory.answers = [TryAgain(503, "busy")]
    stage.tick("Mon 09:45")
    stage.clock.move_to(when("Mon 12:50"))
    stage.turn = stage.started()
    for _ in range(5):
        stage.turn.tick()
        stage.clock.sleep(3)
    messages = [message for _, message in stage.memory.sent]
    assert [m.title.split(" –")[0] for m in messages] == ["Read what passed"]
    assert "Take clamps off – G1 L-01" in messages[0].body
    assert not Delivery.objects.filter(state=Delivery.State.PENDING, alert__gate="clamps_off")


def test_what_is_further_off_than_the_hours_are_laid_out_is_told_to_whoever_is_there_then() -> None:
    """It made every look at a shop stumble in which something opens in half a year."""
    stage = Stage.open()
    stage.cast.workshop.hours = {str(day): ["08:00", "18:00"] for day in range(5)}
    stage.cast.workshop.save(update_fields=["hours"])
    home = house(stage.cast.workshop.id, when("Mon 08:00"))
    assert home is not None
    far = when("Mon 03:00") + timedelta(days=380)
    told = home.told("opens", "clamps_off", far)
    assert told
    assert all(one.at >= far for one in told)
