"""A phone can see that the workshop is kept each night, and what is wrong if it is not."""

from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from zipfile import ZipFile

import pytest

from cureclock.exports.nightly import keep
from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


@pytest.fixture
def var(settings: Any, tmp_path: Path) -> Path:
    settings.CURECLOCK_VAR = tmp_path
    return tmp_path


def told(cast: Cast, at: str) -> dict[str, Any]:
    answer: dict[str, Any] = paired(cast).get("backups", at).json()
    return answer


def test_the_newest_backup_is_told_with_its_night(var: Path) -> None:
    cast = Cast.open()
    keep(when("Tue 03:00"), var / "backups")
    found = told(cast, "Tue 08:00")
    assert (found["kept"], found["newest_at"]) == (1, "2026-02-03T02:30:00Z")
    assert found["newest_bytes"] > 0


def test_a_night_without_one_is_wrong(var: Path) -> None:
    assert "none_yet" in told(Cast.open(), "Wed 08:00")["wrong"]


def test_nights_missed_since_are_wrong(var: Path) -> None:
    cast = Cast.open()
    keep(when("Tue 03:00"), var / "backups")
    assert "old" not in told(cast, "Tue 08:00")["wrong"]
    assert "old" in told(cast, "Fri 08:00")["wrong"]


def names(phone: PhoneAtDoor, at: str) -> list[str]:
    return [one["name"] for one in phone.get("backups", at).json()["files"]]


def test_an_owner_makes_one_now_and_takes_it_away_whole(var: Path) -> None:
    cast = Cast.open()
    cast.place()
    phone = paired(cast)
    made = phone.post("backups", "Mon 09:30", {})
    assert made.status_code == 201
    (one,) = made.json()["files"]
    assert (one["name"], one["nightly"]) == ("asked-20260202T0930Z.zip", False)
    assert one["made_at"] == "2026-02-02T09:30:00Z"
    answer = phone.get(f"backups/file?name={one['name']}", "Mon 09:31")
    content = b"".join(answer.streaming_content)
    assert len(content) == one["size_bytes"]
    with ZipFile(BytesIO(content)) as archive:
        assert archive.testzip() is None
        assert cast.workshop.name.encode() in b"".join(map(archive.read, archive.namelist()))
    assert answer["Content-Disposition"] == f'attachment; filename="{one["name"]}"'
    assert answer["Cache-Control"] == "private, no-store"


def test_those_that_were_asked_for_neither_pile_up_nor_push_out_the_nightly_ones(var: Path) -> None:
    cast = Cast.open()
    phone = paired(cast)
    keep(when("Tue 03:00"), var / "backups")
    for minute in (10, 10, 11, 12, 13):
        assert phone.post("backups", f"Tue 09:{minute}", {}).status_code == 201
    assert names(phone, "Tue 10:00") == [
        "asked-20260203T0913Z.zip",
        "asked-20260203T0912Z.zip",
        "asked-20260203T0911Z.zip",
        "2026-02-03.zip",
    ]
    keep(when("Wed 03:00"), var / "backups")
    assert len(names(phone, "Wed 08:00")) == 5


@pytest.mark.parametrize("role", ["helper", "viewer"])
def test_only_the_owner_makes_sees_and_takes_backups(var: Path, role: str) -> None:
    cast = Cast.open()
    (name,) = [one["name"] for one in paired(cast).post("backups", "Mon 09:00", {}).json()["files"]]
    phone = paired(cast, role)
    told = phone.get("backups", "Mon 09:01").json()
    assert (told["files"], told["folder"], told["why"]) == ([], "", "")
    assert phone.post("backups", "Mon 09:02", {}).status_code == 403
    assert phone.get(f"backups/file?name={name}", "Mon 09:03").status_code == 403


def test_nothing_but_a_backup_of_their_own_is_given_by_name(var: Path) -> None:
    cast, other = Cast.open(), Cast.open("Other yard")
    theirs = paired(other).post("backups", "Mon 09:00", {}).json()["files"][0]["name"]
    (var / "secret.txt").write_text("the server's own key")
    phone = paired(cast)
    own = var / "backups" / str(cast.workshop.id)
    own.mkdir(parents=True)
    (own / "failed").write_text("x")
    ways = (
        theirs,
        "../../secret.txt",
        f"../{other.workshop.id}/{theirs}",
        "failed",
        "",
        "/etc/hosts",
    )
    for name in ways:
        assert (
            phone.get(f"backups/file?{urlencode({'name': name})}", "Mon 09:01").status_code == 404
        )


def test_one_that_is_being_made_and_a_full_disk_are_said_in_words(
    var: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cast = Cast.open()
    phone = paired(cast)
    own = var / "backups" / str(cast.workshop.id)
    own.mkdir(parents=True)
    part = own / ".asked-20260202T0900Z.zip.part"
    part.touch()
    at = datetime.fromtimestamp(part.stat().st_mtime, UTC)
    part.rename(own / at.strftime(".asked-%Y%m%dT%H%MZ.zip.part"))
    assert phone.post("backups", at, {}).status_code == 409
    monkeypatch.setattr("cureclock.exports.nightly._free", lambda _folder: 0)
    full = phone.post("backups", "Mon 10:00", {})
    assert full.status_code == 422
    assert "the disk is nearly full" in full.json()["wrong"]
