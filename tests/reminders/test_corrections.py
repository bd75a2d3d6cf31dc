"""What was announced and is not so is corrected once: at once where it can hurt."""

from datetime import time, timedelta

import pytest

from cureclock.reminders.models import Alert
from cureclock.shop.models import Membership
from cureclock.waits.models import Gate
from tests.cast import PVA_G
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db


def told(stage: Stage, *times: str) -> list[str]:
    return [message.title for time in times for message in stage.tick(time)]


def ready() -> Stage:
    """Clamps may come off at 09:45, and that was said."""
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    assert told(stage, "Mon 09:45") == ["Take clamps off – G1 L-01, Shed"]
    return stage


def test_a_colder_reading_takes_back_what_was_said_once_and_says_why() -> None:
    stage = ready()
    stage.cast.read("Mon 09:46", 10.0)
    lines = told(stage, "Mon 09:46", "Mon 09:47", "Mon 09:48")
    assert len([line for line in lines if line.startswith("Wait after all")]) == 1
    body = stage.memory.sent[-1][1].body
    assert "Said 09:45; it is not so: the air was colder." in body


def test_a_check_told_late_takes_back_what_was_said_and_says_why() -> None:
    """Another load, glued before dawn, was still soft at 08:20: known only at 09:50."""
    stage = Stage.open()
    stage.cast.read("Mon 05:00", 20.0)
    stage.glue("G0", ["L-00"], "Mon 06:00")
    told(stage, "Mon 06:45")
    stage.cast.do("clamps_off", "Mon 06:50", glue_up=stage.cast.id("G0"))
    stage.glue("G1", ["L-01"], "Mon 09:00")
    assert "Take clamps off – G1 L-01, Shed" in told(stage, "Mon 09:45")
    said = {"glue_up": stage.cast.id("G0"), "gate": "clamps_off", "result": "soft"}
    stage.cast.do("checked", "Mon 08:20", arrived="Mon 09:50", **said)
    lines = told(stage, "Mon 09:50", "Mon 09:51", "Mon 09:52")
    assert len([line for line in lines if line.startswith("Wait after all")]) == 1
    body = stage.memory.sent[-1][1].body
    assert "Said 09:45; it is not so: this shop has learned it takes longer." in body


def test_a_correction_replaces_the_notice_it_corrects() -> None:
    stage = ready()
    stage.cast.read("Mon 09:46", 10.0)
    told(stage, "Mon 09:46")
    assert len({message.tag for _, message in stage.memory.sent}) == 1


def test_what_was_corrected_is_told_again_when_it_comes() -> None:
    stage = ready()
    stage.cast.read("Mon 09:46", 10.0)
    lines = told(stage, *(f"Mon {h:02d}:{m:02d}" for h in (9, 10, 11) for m in range(46, 60, 7)))
    assert sum(line.startswith("Take clamps off") for line in lines) == 1


def test_an_ordinary_gate_that_was_wrong_by_little_is_not_corrected_and_not_told_twice() -> None:
    stage = ready()
    stage.cast.read("Mon 09:46", 19.0)
    gate = Gate.objects.get(kind="clamps_off")
    assert gate.state == Gate.State.WAITING
    lines = told(stage, *(f"Mon {h:02d}:{m:02d}" for h in (9, 10) for m in range(46, 60, 2)))
    assert not any(line.startswith(("Wait after", "Take clamps")) for line in lines)
    gate.refresh_from_db()
    assert gate.state == Gate.State.REACHED


def lathe_told() -> Stage:
    """One piece of one joint, past sure, and that was said."""
    stage = Stage.open()
    stage.cast.workshop.hours = {str(day): ["00:00", "23:59"] for day in range(7)}
    stage.cast.workshop.save()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.cast.do("joints_declared", "Mon 09:05", piece=stage.cast.id("L-01"))
    for hour in range(9, 24):
        stage.cast.read(f"Mon {hour:02d}:59", 20.0)
    for hour in range(24):
        stage.cast.read(f"Tue {hour:02d}:59", 20.0)
    sure = Gate.objects.get(kind="spin")
    assert sure.sure_clock is not None
    due = sure.sure_clock.next_due_at
    assert due is not None
    stage.tick(due - timedelta(minutes=1))
    lines = [message.title for message in stage.tick(due + timedelta(seconds=1))]
    assert any(line.startswith("Spin – L-01") for line in lines), lines
    return stage


def test_a_gate_that_can_hurt_is_corrected_at_once_whatever_the_size_and_the_hour() -> None:
    stage = lathe_told()
    Membership.objects.update(quiet_from=time(0), quiet_until=time(23, 59))
    stage.cast.read(stage.clock.now() + timedelta(seconds=1), 19.5)  # type: ignore[arg-type]
    stage.clock.sleep(2)
    lines = [message.title for message in stage.tick()]
    corrections = [line for line in lines if line.startswith("Wait after all")]
    assert len(corrections) == 1
    assert Alert.objects.get(kind="correction", gate="spin").said["why"] == "colder"


def test_a_move_that_takes_back_what_was_said_is_corrected() -> None:
    stage = ready()
    stage.cast.place("Cold")
    stage.cast.read("Mon 08:00", 5.0, place="Cold")
    stage.cast.do(
        "moved_place",
        "Mon 09:05",
        arrived="Mon 09:50",
        glue_up=stage.cast.id("G1"),
        place=stage.cast.id("Cold"),
    )
    lines = told(stage, "Mon 09:50", "Mon 09:55")
    assert len([line for line in lines if line.startswith("Wait after all")]) == 1
    assert "it was moved" in stage.memory.sent[-1][1].body


def test_nothing_is_corrected_that_nobody_was_told() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 17:30")
    stage.tick("Mon 18:30")
    assert Alert.objects.filter(gate="clamps_off").exists()
    stage.cast.read("Mon 18:31", 5.0)
    assert not any(
        line.startswith("Wait after all") for line in told(stage, "Mon 18:31", "Mon 18:40")
    )
    assert not Alert.objects.filter(kind="correction").exists()


def test_the_reading_that_corrects_and_its_correction_are_one_transaction(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from cureclock.reminders import promise
    from cureclock.shop.models import Reading

    stage = ready()

    def broken(*_args: object) -> None:
        raise RuntimeError

    monkeypatch.setattr(promise, "write", broken)
    with pytest.raises(RuntimeError):
        stage.cast.read("Mon 09:46", 10.0)
    assert not Reading.objects.filter(temp_c=10.0).exists()
    assert Alert.objects.get(gate="clamps_off").waits


def test_a_window_that_closes_sooner_than_was_said_is_corrected() -> None:
    from tests.reminders.test_looks import coated, through

    stage = Stage.open()
    stage.cast.read("Mon 08:00", 18.0)
    coated(stage, "Mon 08:30", "Mon 08:40", pieces=2)
    lines = through(stage, "Mon 08:45", "Mon 17:40", minutes=15)
    assert any("Recoat before you go" in line for all_ in lines.values() for line in all_)
    stage.cast.read("Mon 17:41", 34.0)
    sooner = [line for line in told(stage, "Mon 17:41", "Mon 17:42") if "sooner" in line.lower()]
    assert len(sooner) == 1


def test_another_reading_of_the_label_takes_back_a_lathe_that_was_announced() -> None:
    """At once and by name: the label in hand says 60 hours to the lathe, not 24."""
    stage = lathe_told()
    cast = stage.cast
    cast.do(
        "label_read",
        stage.clock.now(),
        material=cast.id("PVA-G"),
        label=cast.id("read again"),
        name="PVA-G",
        family="pva_interior",
        values={**PVA_G, "spin": 60},
    )
    cast.do("retimed", stage.clock.now(), label=cast.id("read again"), glue_up=cast.id("G1"))
    stage.clock.sleep(2)
    first, second = [message for message in stage.tick() if "Wait after all" in message.title], []
    stage.clock.sleep(60)
    second = [message for message in stage.tick() if "Wait after all" in message.title]
    assert len(first) == 1
    assert second == []
    assert "L-01" in first[0].title
    assert "not the lathe" in first[0].title
    assert "its label says otherwise" in first[0].body
