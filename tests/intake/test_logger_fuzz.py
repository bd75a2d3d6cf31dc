"""Any bytes as a logger's file: a report of what would be read, or a refusal in words, nothing else."""

from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cureclock.intake.logger_guess import guess
from cureclock.intake.logger_rows import BadRow, Row, Rows
from cureclock.intake.logger_scan import MOST_FAULTS, scan, with_course
from cureclock.intake.logger_text import lines_of
from cureclock.shop.logger_shape import EPOCH, ORDERS, REPEATED, SEPARATORS, TOLD, FileShape
from cureclock.shop.refusals import Refusal
from tests.intake import logger_shapes

pytestmark = pytest.mark.embedded  # no record is read or written

ZONES = ("UTC", "Europe/Lisbon", "America/Chicago", "Australia/Lord_Howe", "+05:45", "-12:00")
SHAPES = [one for one in vars(logger_shapes).values() if isinstance(one, bytes)]

moments = st.datetimes(datetime(1, 1, 1), datetime(9999, 12, 31))  # noqa: DTZ001 - a clock's own
times = st.one_of(
    moments.map(lambda at: f"{at:%Y-%m-%d %H:%M:%S}"),
    moments.map(lambda at: f"{at.day}.{at.month}.{at.year} {at.hour}:{at.minute:02}"),
    moments.map(lambda at: f"{at.month}/{at.day}/{at.year % 100} {at.hour % 12}:{at.minute:02} PM"),
    moments.map(lambda at: at.isoformat() + "Z"),
    moments.map(lambda at: at.isoformat() + "-14:00"),
    st.integers(-(10**14), 10**14).map(str),
    st.floats().map(str),
)
figures = st.one_of(
    st.floats().map(str),
    st.floats(-60, 130).map(lambda value: f"{value:.1f}".replace(".", ",")),
    st.integers().map(str),
    st.sampled_from(
        ["", "--", "NaN", "inf", "1e999", "12.5 °C", "٣٫٥", "−5,2", "1_000", '"', "\x00"]
    ),
)
cells = st.one_of(times, figures, st.text(max_size=8))
heads = st.sampled_from(
    ["time", "Date", "Temp, °C", "rh %", "T (°F)", "GMT-06:00", "#", "", "sep=", "dew point"]
)


@st.composite
def tables(draw: Any) -> bytes:
    """Something that looks like a logger's file, more or less."""
    separator = draw(st.sampled_from(SEPARATORS))
    lines = [separator.join(draw(st.lists(heads, min_size=1, max_size=4)))]
    for _ in range(draw(st.integers(0, 12))):
        row = [draw(times), draw(figures), *draw(st.lists(cells, max_size=2))]
        lines.append(separator.join(row))
    text = draw(st.sampled_from(["\n", "\r\n", "\r"])).join(lines)
    coding = draw(st.sampled_from(["utf-8", "utf-16", "utf-16-le", "cp1252", "utf-8-sig"]))
    return text.encode(coding, "replace")


@st.composite
def spoilt(draw: Any) -> bytes:
    """A file that is met, with bytes put in or taken out."""
    content = bytearray(draw(st.sampled_from(SHAPES)))
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(content)))
        content[at : at + draw(st.integers(0, 20))] = draw(st.binary(max_size=8))
    return bytes(content)


CONTENTS = st.one_of(tables(), spoilt(), st.binary(max_size=400))
PLAIN = FileShape(separator=";", decimal=".", first_row=0, at=0, temp=1, order="ymd", zone="UTC")
OTHER_SHAPES = st.builds(
    FileShape,
    separator=st.sampled_from(SEPARATORS),
    decimal=st.sampled_from(".,"),
    first_row=st.integers(0, 5),
    at=st.integers(0, 3),
    temp=st.integers(0, 4),
    rh=st.none() | st.integers(0, 4),
    clock=st.none() | st.integers(0, 3),
    order=st.sampled_from([*ORDERS, EPOCH]),
    zone=st.sampled_from([*ZONES, TOLD]),
    repeated=st.sampled_from(REPEATED),
    fahrenheit=st.booleans(),
    newest_first=st.booleans(),
    step_s=st.integers(0, 90_000),
)


def all_read(shape: FileShape, lines: list[str], cut: int) -> list[tuple[Any, ...]]:
    """The rows, read in two parts as after a break; a bad one by its number and its words."""
    first = Rows(shape)
    told = list(first.read(lines[:cut], 0))
    told += Rows(shape, first.kept()).read(lines[cut:], cut)
    return [
        (one.number, one.why.field, one.why.wrong, one.why.mend) if isinstance(one, BadRow) else one
        for one in told
    ]


def told_or_refused(content: bytes, zone: str, other: FileShape, cut: int) -> bool:
    lines = lines_of(content)
    shapes = [other]
    try:
        shapes.append(guess(lines, zone).shape)
    except Refusal as why:
        words = (why.field, why.wrong, why.mend)
        if not all(words):
            return False
    return all(told(shape, lines, cut % (len(lines) + 1)) for shape in shapes)


def told(shape: FileShape, lines: list[str], cut: int) -> bool:
    """What is told of a file agrees with what is read of it, in one go or in two."""
    found = scan(with_course(shape, lines), lines)
    whole = all_read(found.shape, lines, len(lines))
    assert whole == all_read(found.shape, lines, cut)
    good = [one for one in whole if isinstance(one, Row)]
    assert (found.rows, found.bad) == (len(good), len(whole) - len(good))
    assert len(found.faults) <= MOST_FAULTS
    assert all(-200 <= one.temp_c <= 200 and one.at.tzinfo == UTC for one in good)
    return True


@example(b"time\n" + b"2026-01-01 00:00;1\n" * 3 + b"1.0000002147483648e+16;0", "UTC", PLAIN, 0)
@example(b"0001-01-01T00:00:00+14:00;1\n2026-01-01T00:00:00+14:00;1\n", "UTC", PLAIN, 0)
@settings(max_examples=150, deadline=None)
@given(CONTENTS, st.sampled_from(ZONES), OTHER_SHAPES, st.integers(0, 20))
def test_any_bytes_are_told_of_or_refused(
    content: bytes, zone: str, other: FileShape, cut: int
) -> None:
    assert told_or_refused(content, zone, other, cut)


@pytest.mark.long
@settings(max_examples=30_000, deadline=None)
@given(CONTENTS, st.sampled_from(ZONES), OTHER_SHAPES, st.integers(0, 20))
def test_very_many_bytes_are_told_of_or_refused(
    content: bytes, zone: str, other: FileShape, cut: int
) -> None:
    assert told_or_refused(content, zone, other, cut)
