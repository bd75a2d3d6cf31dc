"""Every night a backup: due once, made up for when slept through, rotated, and its trouble said."""

import os
import stat
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from unittest import mock
from zipfile import ZipFile

import pytest
from django.db import OperationalError

from cureclock.exports import nightly
from cureclock.exports.archive import file
from cureclock.exports.archive.file import Busy, write_file
from cureclock.exports.nightly import care, keep
from cureclock.exports.rotation import kept
from cureclock.intake.backup_restore import restore
from cureclock.shop.models import Person, Workshop
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db(transaction=True)
HOUR = timedelta(hours=1)


@pytest.fixture
def cast() -> Cast:
    cast = Cast.open()
    cast.place()
    return cast


def names(folder: Path, cast: Cast) -> list[str]:
    return sorted(path.name for path in (folder / str(cast.workshop.id)).iterdir())


def test_it_is_made_after_half_past_two_by_the_shops_own_clock_and_once(
    cast: Cast, tmp_path: Path
) -> None:
    cast.workshop.zone = "Pacific/Auckland"  # 13 hours ahead in February
    cast.workshop.save()
    assert [made.name for made in keep(when("Tue 13:29"), tmp_path)] == ["2026-02-03.zip"]
    assert keep(when("Tue 13:29"), tmp_path) == []
    (made,) = keep(when("Tue 13:30"), tmp_path)
    assert made.name == "2026-02-04.zip"
    assert keep(when("Tue 13:31"), tmp_path) == []
    assert keep(when("Tue 23:59"), tmp_path) == []


def test_a_night_slept_through_is_made_up_for_and_only_the_last(cast: Cast, tmp_path: Path) -> None:
    keep(when("Tue 03:00"), tmp_path)
    keep(when("Sat 09:00"), tmp_path)
    assert names(tmp_path, cast) == ["2026-02-03.zip", "2026-02-07.zip"]


def test_a_workshop_that_opened_today_has_nothing_to_lose_yet(cast: Cast, tmp_path: Path) -> None:
    assert keep(when("Mon 02:29"), tmp_path) == []


def test_what_was_kept_can_be_restored(cast: Cast, tmp_path: Path) -> None:
    (made,) = keep(when("Tue 03:00"), tmp_path)
    ident = cast.workshop.id
    cast.workshop.delete()
    Person.objects.all().delete()
    assert restore(made, when("Tue 04:00")).workshop.id == ident


def test_every_workshop_has_its_own(cast: Cast, tmp_path: Path) -> None:
    other = Cast.open("Another")
    assert len(keep(when("Tue 03:00"), tmp_path)) == 2
    assert names(tmp_path, cast) == names(tmp_path, other) == ["2026-02-03.zip"]


def test_nobody_else_on_the_machine_can_read_it(cast: Cast, tmp_path: Path) -> None:
    (made,) = keep(when("Tue 03:00"), tmp_path / "backups")
    assert stat.S_IMODE(made.stat().st_mode) == 0o600
    assert stat.S_IMODE(made.parent.stat().st_mode) == 0o700


def test_nights_are_rotated_and_what_else_lies_there_is_left_alone(
    cast: Cast, tmp_path: Path
) -> None:
    own = tmp_path / str(cast.workshop.id)
    own.mkdir()
    for foreign in ("by-hand.zip", "2026-99-99.zip", "2026-02-03.zip.old", "notes.txt"):
        (own / foreign).write_text("mine")
    days = [date(2026, 2, 3) - timedelta(days=back) for back in range(1, 60)]
    for day in days:
        (own / f"{day}.zip").write_bytes(b"")
    keep(when("Tue 03:00"), tmp_path)
    left = set(names(tmp_path, cast))
    wanted = {f"{day}.zip" for day in kept([*days, date(2026, 2, 3)])}
    assert left == wanted | {"by-hand.zip", "2026-99-99.zip", "2026-02-03.zip.old", "notes.txt"}


def test_a_full_disk_is_not_filled_further_and_is_said_and_tried_again(
    cast: Cast, tmp_path: Path
) -> None:
    keep(when("Tue 03:00"), tmp_path)
    at = when("Wed 03:00")
    with mock.patch.object(nightly, "_free", return_value=10 * 2**20):
        assert keep(at, tmp_path) == []
        told = care(cast.workshop, at, tmp_path)
        assert {"disk_low", "failed"} <= set(told.wrong)
        assert "disk is nearly full" in told.why
    assert keep(at + HOUR / 2, tmp_path) == []
    assert len(keep(at + HOUR, tmp_path)) == 1
    assert care(cast.workshop, at + HOUR, tmp_path).why == ""
    assert names(tmp_path, cast) == ["2026-02-03.zip", "2026-02-04.zip"]


def test_a_disk_that_fills_up_is_said_before_it_is_full(cast: Cast, tmp_path: Path) -> None:
    (made,) = keep(when("Tue 03:00"), tmp_path)
    at = when("Tue 04:00")
    made.write_bytes(bytes(100 * 2**20))
    with mock.patch.object(nightly, "_free", return_value=999 * 2**20):
        assert care(cast.workshop, at, tmp_path).wrong == ("disk_low",)
    with mock.patch.object(nightly, "_free", return_value=1001 * 2**20):
        assert care(cast.workshop, at, tmp_path).wrong == ()


def test_a_missed_night_and_none_at_all_are_said(cast: Cast, tmp_path: Path) -> None:
    assert care(cast.workshop, when("Mon 12:00"), tmp_path).wrong == ()
    assert care(cast.workshop, when("Wed 12:00"), tmp_path).wrong == ("none_yet",)
    keep(when("Wed 12:00"), tmp_path)
    told = care(cast.workshop, when("Thu 12:00"), tmp_path)
    assert (told.wrong, told.newest_at) == ((), when("Wed 02:30"))
    assert [one.day for one in told.files] == [date(2026, 2, 4)]
    assert care(cast.workshop, when("Fri 12:00"), tmp_path).wrong == ("old",)


def test_one_workshop_that_fails_holds_up_no_other(cast: Cast, tmp_path: Path) -> None:
    other = Cast.open("Another")
    whole = file.write_archive

    def fails(workshop: Workshop, *more: object) -> object:
        if workshop == cast.workshop:
            raise OperationalError("records away")
        return whole(workshop, *more)  # type: ignore[arg-type]

    with mock.patch.object(file, "write_archive", fails):
        (made,) = keep(when("Tue 03:00"), tmp_path)
    assert made.parent.name == str(other.workshop.id)
    assert care(cast.workshop, when("Tue 03:00"), tmp_path).wrong == ("failed",)
    assert [path.name for path in (tmp_path / str(cast.workshop.id)).iterdir()] == ["failed"]


def test_a_backup_that_breaks_off_leaves_the_one_before(cast: Cast, tmp_path: Path) -> None:
    path = tmp_path / "mine.zip"
    write_file(cast.workshop, path, when("Tue 03:00"))
    before = path.read_bytes()
    with (
        mock.patch.object(file.os, "fsync", side_effect=OSError(28, "no space left")),
        pytest.raises(OSError, match="no space"),
    ):
        write_file(cast.workshop, path, when("Wed 03:00"))
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == ["mine.zip"]


def test_two_at_once_write_one_file(cast: Cast, tmp_path: Path) -> None:
    part = tmp_path / ".mine.zip.part"
    part.write_bytes(b"half")
    now = datetime.now(UTC)
    with pytest.raises(Busy):
        write_file(cast.workshop, tmp_path / "mine.zip", now)
    assert part.read_bytes() == b"half"
    long_ago = (now - timedelta(hours=7)).timestamp()
    os.utime(part, (long_ago, long_ago))
    write_file(cast.workshop, tmp_path / "mine.zip", now)
    assert ZipFile(tmp_path / "mine.zip").testzip() is None
    assert not part.exists()
