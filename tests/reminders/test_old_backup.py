"""An old backup brought back: what came due meanwhile is one summary, never a storm."""

import io
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from cureclock.exports.archive.write import write_archive
from cureclock.intake.backup_restore import restore
from cureclock.reminders import reach
from cureclock.reminders.models import Alert, Beat, Delivery, Way
from cureclock.shop.models import Person, Workshop
from tests.cast import when
from tests.intake.whole_shop import forget, kept
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db
GROUPS = 12


def evening() -> Stage:
    """Twelve glue-ups pressed, none of them told of yet."""
    stage = Stage.open("Mon 09:00")
    stage.cast.read("Mon 08:00", 20.0)
    for number in range(GROUPS):
        stage.glue(f"G{number}", [f"L-{number:02d}"], "Mon 09:00")
    stage.tick("Mon 09:05")
    return stage


def settle(stage: Stage, since: datetime) -> list[str]:
    """What is sent within some minutes of a dispatcher that was just started."""
    stage.clock.move_to(since)
    stage.turn = stage.started()
    before = len(stage.memory.sent)
    for _ in range(60):
        stage.turn.tick()
        stage.clock.sleep(5)
    return [message.title for _, message in stage.memory.sent[before:]]


def test_records_as_they_were_days_ago_send_one_digest() -> None:
    """The whole file put back: the newest sign of life in it is as old as it is."""
    stage = evening()
    told = settle(stage, when("Thu 10:00"))
    assert sorted(title.split(" –")[0] for title in told) == [
        "Enter the temperature",
        "Read what passed",
    ]
    assert Alert.objects.filter(gate="clamps_off", told_at__isnull=False).count() == GROUPS


def test_a_backup_file_restored_days_later_sends_one_digest_by_the_first_way_given(
    tmp_path: Path,
) -> None:
    stage = evening()
    stage.clock.move_to(when("Mon 09:10"))
    out = io.BytesIO()
    write_archive(stage.cast.workshop, out, when("Mon 09:10"), None)
    backup = kept(tmp_path, out.getvalue())
    forget(stage.cast.workshop)
    Beat.objects.update(at=when("Thu 10:00") - timedelta(seconds=1))  # another shop's server lives
    stage.clock.move_to(when("Thu 10:00"))
    back = restore(backup, when("Thu 10:00")).workshop
    assert settle(stage, when("Thu 10:00")) == []  # it carried no way to anybody
    assert Alert.objects.filter(gate="clamps_off").count() == GROUPS
    owner = Person.objects.get(name__startswith="Owner")
    reach.by_email(back, owner, "maker@example.org", stage.clock.now())
    Way.objects.filter(address="maker@example.org").update(kind="memory", host="memory")
    told = settle(stage, stage.clock.now())
    assert [title.split(" –")[0] for title in told] == ["Read what passed"]
    assert "Take clamps off" in stage.memory.sent[-1][1].body
    assert settle(stage, when("Thu 12:00")) == [] or not Delivery.objects.filter(
        state=Delivery.State.PENDING, alert__gate="clamps_off"
    )
    assert Workshop.objects.get() == back
