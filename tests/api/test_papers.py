"""Files by the API: what was asked for, of one's own workshop, as a file with a plain name."""

import io
import json
from uuid import UUID

import pandas as pd
import pytest

from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast
from tests.exports.test_papers import oiled, shop

NOBODYS = UUID(int=7)  # the same in every run: test names are made of it
pytestmark = pytest.mark.django_db
AT = "+8 08:00"


def door() -> tuple[Cast, PhoneAtDoor]:
    cast = shop("עץ bowl")
    oiled(cast)
    return cast, paired(cast)


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("papers/batch-sheet?batch={B}", "application/pdf"),
        ("papers/care-cards?piece={B-1}", "application/pdf"),
        ("papers/care-cards?batch={B}", "application/pdf"),
        ("papers/tags?batch={B}&outline=yes", "application/pdf"),
        ("tables/happenings?batch={B}", "text/csv; charset=utf-8"),
        ("tables/waits?bom=yes", "text/csv; charset=utf-8"),
    ],
)
def test_a_file(path: str, kind: str) -> None:
    cast, phone = door()
    for name in ("B", "B-1"):
        path = path.replace(f"{{{name}}}", str(cast.id(name)))
    answer = phone.get(path, AT)
    assert (answer.status_code, answer["Content-Type"]) == (200, kind)
    content = b"".join(answer) if answer.streaming else answer.content
    assert content.startswith(b"%PDF" if kind.endswith("pdf") else (b"\xef\xbb\xbf", b"id"))
    assert answer["Content-Disposition"].startswith('attachment; filename="')
    assert answer["Content-Disposition"].isascii()


def test_hours_lost_add_up_alike_in_the_table_and_in_the_review() -> None:
    cast, phone = door()
    for hours in (0.3, 1.7):
        cast.do("hours_lost", "Wed 09:00", piece=cast.id("B-1"), hours=hours, why="sanding")
    rows = pd.read_csv(io.BytesIO(b"".join(phone.get("tables/happenings", AT))))
    said = rows[rows["what"] == "hours_lost"]["said"].map(json.loads)
    told = phone.get(f"review?batch={cast.id('B')}", AT).json()["figures"]
    (lost,) = (one["value"] for one in told if one["key"] == "hours_lost")
    assert said.map(lambda one: one["hours"]).sum() == pytest.approx(lost) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("papers/batch-sheet", 422),
        (f"papers/batch-sheet?batch={NOBODYS}", 404),
        ("papers/care-cards", 422),
        ("papers/tags?piece=x", 422),
        ("papers/tags?batch={B}&sheet=huge", 422),
        ("papers/tags?batch={B}&start=99", 422),
        ("papers/tags?batch={B}&start=-1", 422),
        (f"tables/waits?batch={NOBODYS}", 404),
    ],
)
def test_what_cannot_be_printed_is_refused_in_words(path: str, status: int) -> None:
    cast, phone = door()
    answer = phone.get(path.replace("{B}", str(cast.id("B"))), AT)
    assert answer.status_code == status
    assert answer.json()["mend"]


def test_nobody_elses() -> None:
    cast, _ = door()
    other = paired(Cast.open("Another"))
    assert other.get(f"papers/batch-sheet?batch={cast.id('B')}", AT).status_code == 404
    assert other.get(f"papers/tags?piece={cast.id('B-1')}", AT).status_code == 404
