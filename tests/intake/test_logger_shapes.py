"""Each shape of a logger's file is guessed, shown, and read to the same instants and degrees."""

from datetime import UTC, datetime
from typing import Any

import pytest

from cureclock.intake.logger_guess import Guess, guess
from cureclock.intake.logger_rows import BadRow, Row, Rows
from cureclock.intake.logger_text import lines_of
from cureclock.shop.refusals import Refusal
from tests.intake import logger_shapes as shapes

BERLIN, CHICAGO, LISBON = "Europe/Berlin", "America/Chicago", "Europe/Lisbon"


def read(content: bytes, zone: str) -> tuple[Guess, list[Row], list[BadRow]]:
    lines = lines_of(content)
    found = guess(lines, zone)
    told = list(Rows(found.shape).read(lines, 0))
    return (
        found,
        [one for one in told if isinstance(one, Row)],
        [one for one in told if isinstance(one, BadRow)],
    )


def utc(day: int, clock: str) -> datetime:
    hour, minute = (int(part) for part in clock.split(":"))
    return datetime(2026, 1, day, hour, minute, tzinfo=UTC)


AT_TEN = [utc(5, "10:00"), utc(5, "10:15"), utc(5, "10:30")]
CASES: dict[str, tuple[bytes, str, list[datetime], dict[str, Any]]] = {
    "iso with its zone": (shapes.ISO_UTC, BERLIN, AT_TEN, {"zone": "told", "rh": 2}),
    "semicolons, decimal commas": (
        shapes.SEMICOLON_COMMA,
        BERLIN,
        [utc(5, "09:00"), utc(5, "09:15"), utc(31, "09:30")],
        {"separator": ";", "decimal": ",", "order": "dmy", "zone": BERLIN, "rh": 2},
    ),
    "half days, Fahrenheit, quotes": (
        shapes.HALF_DAYS_FAHRENHEIT,
        CHICAGO,
        [utc(5, "17:45"), utc(5, "18:00"), utc(13, "06:15")],
        {"order": "mdy", "fahrenheit": True},
    ),
    "tabs in UTF-16 under a few lines of head": (
        shapes.TABS_IN_UTF_16,
        LISBON,
        [utc(5, "10:00"), utc(5, "10:15"), utc(5, "10:45")],
        {"separator": "\t", "first_row": 5, "at": 1, "temp": 2, "rh": 3},
    ),
    "date and time apart": (
        shapes.DATE_AND_TIME_APART,
        LISBON,
        AT_TEN,
        {"at": 0, "clock": 1, "temp": 2, "rh": 3, "order": "ymd"},
    ),
    "seconds since 1970": (shapes.EPOCH, BERLIN, AT_TEN, {"order": "epoch", "zone": "UTC"}),
    "milliseconds, without a head": (
        shapes.EPOCH_MS_NO_HEAD,
        BERLIN,
        AT_TEN,
        {"order": "epoch", "first_row": 0, "separator": "|", "rh": None},
    ),
    "the offset in the head, two figures for the year": (
        shapes.OFFSET_IN_HEAD,
        BERLIN,
        [utc(5, "16:00"), utc(5, "16:15"), utc(26, "04:30")],
        {"zone": "-06:00", "at": 1, "temp": 2, "rh": None, "order": "mdy"},
    ),
    "an offset in each row": (shapes.OWN_OFFSETS, CHICAGO, AT_TEN, {"zone": "told"}),
    "newest first": (
        shapes.NEWEST_FIRST,
        LISBON,
        AT_TEN[::-1],
        {"separator": ";", "temp": 1, "rh": 2},
    ),
    "months by name": (shapes.NAMED_MONTHS, LISBON, AT_TEN, {"order": "dmy", "temp": 1, "rh": 2}),
    "no head at all": (shapes.NO_HEAD, LISBON, AT_TEN, {"first_row": 0, "temp": 1, "rh": 2}),
}


@pytest.mark.parametrize("name", CASES)
def test_each_shape_is_guessed_and_read(name: str) -> None:
    content, zone, at, wanted = CASES[name]
    found, rows, _ = read(content, zone)
    shape = found.shape.plain()
    assert {key: shape[key] for key in wanted} == wanted
    assert [row.at for row in rows] == at
    assert sorted(round(row.temp_c, 6) for row in rows) == [12.2, 12.4, 12.5] or shape["fahrenheit"]
    if shape["rh"] is not None:
        assert sorted(row.rh_pct or 0 for row in rows) == [61, 61.5, 62]


def test_degrees_fahrenheit_become_celsius_once() -> None:
    _, rows, _ = read(shapes.HALF_DAYS_FAHRENHEIT, CHICAGO)
    assert [row.temp_c for row in rows] == [12.5, 12.389, 12.222]


def test_degrees_fahrenheit_without_a_word_are_guessed_by_their_height_and_it_says_so() -> None:
    found, _, _ = read(b"time,t\n2026-01-05 10:00,61.5\n2026-01-05 10:15,61.0\n", CHICAGO)
    assert (found.shape.fahrenheit, found.why["fahrenheit"]) == (True, "values")


def test_what_a_guess_rests_on_is_said() -> None:
    assert read(shapes.SEMICOLON_COMMA, BERLIN)[0].why == {
        "order": "values",
        "fahrenheit": "file",
        "zone": "workshop",
    }


def test_a_day_and_month_that_could_be_either_are_asked_for() -> None:
    assert read(shapes.EITHER_ORDER, BERLIN)[0].asked == ("order",)


@pytest.mark.parametrize("at", [0, 1, 3])
@pytest.mark.parametrize("date", ["31/31/2026", "99/04/2026", "03/04/1026", "04/31/31"])
def test_a_date_that_is_none_does_not_settle_which_comes_first(date: str, at: int) -> None:
    head, *rows = shapes.EITHER_ORDER.decode().splitlines()
    rows.insert(at, f"{date} 10:07,12.3")
    found, _, bad = read("\n".join([head, *rows, ""]).encode(), BERLIN)
    assert (found.asked, found.why["order"]) == (("order",), "nothing")
    assert len(bad) == 1


def test_one_row_that_tells_is_enough_and_two_that_contradict_each_other_are_asked_for() -> None:
    plain = shapes.EITHER_ORDER.decode()
    for date, order in (("21/04/2026", "dmy"), ("03/21/2026", "mdy")):
        found, _, bad = read(f"{plain}{date} 10:45,12.1\n".encode(), BERLIN)
        assert (found.asked, found.shape.order, bad) == ((), order, [])
    both = f"{plain}21/04/2026 10:45,12.1\n22/04/2026 10:45,12.1\n03/21/2026 11:00,12.1\n"
    found, _, bad = read(both.encode(), BERLIN)
    assert (found.asked, found.shape.order) == (("order",), "dmy")
    assert len(bad) == 1


def test_a_row_without_a_temperature_is_told_by_its_number_and_the_good_are_read() -> None:
    _, rows, bad = read(shapes.TABS_IN_UTF_16, LISBON)
    assert [(one.number, one.why.field) for one in bad] == [(7, "temp")]
    assert len(rows) == 3


@pytest.mark.parametrize(
    "content", [b"", b"\x00" * 50, b"a,b\n1,2\n", b"Dear owner,\nhello\n", b"{}"]
)
def test_what_is_no_logger_file_is_refused_in_words(content: bytes) -> None:
    with pytest.raises(Refusal) as refused:
        read(content, BERLIN)
    assert refused.value.mend
