"""Looking back by the API: only what is asked for, only of one's own workshop."""

from uuid import uuid4

import pytest

from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast

pytestmark = pytest.mark.django_db


def shed() -> tuple[Cast, PhoneAtDoor]:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.read("Mon 06:00", 16.0, 60.0)
    cast.piece("P-1")
    cast.spread("G1", ["P-1"], "Mon 18:00")
    cast.press("G1", "Mon 18:05")
    cast.read("Mon 19:00", 5.0, 80.0)
    cast.do("hours_lost", "Mon 20:00", glue_up=cast.id("G1"), hours=1.25, why="glue again")
    return cast, paired(cast)


def test_a_week_is_what_is_told_of_where_nobody_says() -> None:
    _, phone = shed()
    told = phone.get("review", "Tue 08:00").json()
    values = {one["key"]: one["value"] for one in told["figures"]}
    assert (values["glue_ups"], values["suspect"], values["hours_lost"]) == (1, 1, 1.25)
    assert [one["kind"] for one in told["odd"]] == ["cold"]
    assert told["groups"][0]["strip"]["temps"]
    assert told["batch"] is None


def test_a_stretch_before_it_began_is_empty() -> None:
    _, phone = shed()
    asked = "review?from=2026-01-05T00:00:00Z&to=2026-01-12T00:00:00%2B00:00"
    told = phone.get(asked, "Tue 08:00").json()
    assert {one["value"] for one in told["figures"]} == {0}
    assert told["mistakes"] == told["groups"] == told["pieces"] == []


@pytest.mark.parametrize(
    "asked",
    [
        "from=yesterday",
        "from=2026-02-02T00:00:00",
        "from=2026-01-01T00:00:00Z&to=2025-01-01T00:00:00Z",
        "from=2020-01-01T00:00:00Z",
        "batch=1",
    ],
)
def test_a_stretch_that_is_none_is_refused(asked: str) -> None:
    _, phone = shed()
    answer = phone.get(f"review?{asked}", "Tue 08:00")
    assert answer.status_code == 422
    assert answer.json()["mend"]


def test_nobody_elses() -> None:
    shed()
    other = paired(Cast.open("Another"))
    told = other.get("review", "Tue 08:00").json()
    assert {one["value"] for one in told["figures"]} == {0}
    assert other.get(f"review?batch={uuid4()}", "Tue 08:00").status_code == 404
