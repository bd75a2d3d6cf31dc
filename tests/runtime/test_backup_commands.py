"""`manage.py backup` and `restore`, and the thread that makes a backup each night."""

from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from cureclock.reminders.clock import FakeClock
from cureclock.runtime import nights
from cureclock.shop.models import Event, Person, Workshop
from cureclock.waits.models import Gate
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def var(settings: Any, tmp_path: Path) -> Path:
    settings.CURECLOCK_VAR = tmp_path
    return tmp_path


@pytest.fixture
def glued() -> Cast:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    cast.read("Mon 08:00", 20.0)
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    return cast


def gone(cast: Cast) -> None:
    cast.workshop.delete()
    Person.objects.all().delete()


def said(*command: Any, **options: Any) -> str:
    out = StringIO()
    call_command(*command, stdout=out, **options)
    return out.getvalue()


def test_what_was_backed_up_comes_back_with_the_same_gates(glued: Cast, var: Path) -> None:
    gates = set(Gate.objects.values_list("id", "kind"))
    events = set(Event.objects.values_list("id", flat=True))
    assert "Slipway shed: " in said("backup", var / "shed.zip")
    gone(glued)
    assert not Gate.objects.exists()
    told = said("restore", var / "shed.zip")
    assert "Estimates agree with the facts." in told
    assert set(Gate.objects.values_list("id", "kind")) == gates
    assert set(Event.objects.values_list("id", flat=True)) == events


def test_it_is_not_restored_over_what_is_there(glued: Cast, var: Path) -> None:
    said("backup", var / "shed.zip")
    with pytest.raises(CommandError, match="is here already"):
        said("restore", var / "shed.zip")


def test_a_cut_backup_is_refused_in_a_sentence_and_leaves_nothing(glued: Cast, var: Path) -> None:
    said("backup", var / "shed.zip")
    gone(glued)
    whole = (var / "shed.zip").read_bytes()
    (var / "cut.zip").write_bytes(whole[: len(whole) // 2])
    with pytest.raises(CommandError, match="What to do: "):
        said("restore", var / "cut.zip")
    assert not Workshop.objects.exists()


def test_a_file_that_is_there_is_not_written_over(glued: Cast, var: Path) -> None:
    (var / "shed.zip").write_text("dear to somebody")
    with pytest.raises(CommandError, match="is there already"):
        said("backup", var / "shed.zip")
    assert (var / "shed.zip").read_text() == "dear to somebody"


def test_of_several_workshops_one_has_to_be_named(glued: Cast, var: Path) -> None:
    other = Cast.open("Other shed")
    with pytest.raises(CommandError, match=r"--workshop\. There is: Other shed"):
        said("backup", var / "which.zip")
    assert said("backup", var / "other.zip", workshop="Other shed")
    assert said("backup", var / "by-id.zip", workshop=str(other.workshop.id))


def test_each_night_a_backup_lies_in_the_folder_of_the_workshop(glued: Cast, var: Path) -> None:
    clock = FakeClock(when("Mon 02:29"))
    nights.once(clock)
    assert not (var / "backups").exists()
    clock.move_to(when("Mon 02:31"))
    nights.once(clock)
    (made,) = (var / "backups" / str(glued.workshop.id)).iterdir()
    assert made.name == "2026-02-02.zip"


def test_the_thread_ends_when_it_is_told_to() -> None:
    nights.start(FakeClock(when("Mon 08:00")))()
