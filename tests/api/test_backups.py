"""A phone can see that the workshop is kept each night, and what is wrong if it is not."""

from pathlib import Path
from typing import Any

import pytest

from cureclock.exports.nightly import keep
from tests.api.door import paired
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
