"""The lines of a check: which rules, in which order, and how numbers are said."""

from types import SimpleNamespace
from typing import Any

import pytest

from cureclock.waits.check.said import Word, clock_of, figure, in_order, worst

pytestmark = pytest.mark.embedded


def lines(*words: Word) -> list[Any]:
    return [SimpleNamespace(word=word, at=at) for at, word in enumerate(words)]


def test_the_first_of_the_worst_rules_and_a_note_rules_nothing() -> None:
    said = lines(Word.GO, Word.CARE, Word.NOT_NOW, Word.NOT_NOW, Word.NOTE)
    ruling = worst(said)
    assert ruling is not None
    assert ruling is said[2]
    assert worst(lines(Word.GO, Word.NOTE, Word.CARE)) is not None
    assert worst(lines(Word.GO, Word.NOTE)) is None


def test_lines_come_worst_first_and_else_in_the_order_of_the_work() -> None:
    said = in_order(lines(Word.GO, Word.CARE, Word.NOT_NOW, Word.CARE, Word.NOT_NOW))
    assert [line.at for line in said][:4] == [2, 4, 1, 3]


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(413.5, "6:53"), (-59.9, "0:59"), (60, "1:00"), (119.9999999, "2:00"), (3600, "60:00")],
)
def test_minutes_and_seconds_leave_off_part_of_a_second(seconds: float, said: str) -> None:
    assert clock_of(seconds) == said


@pytest.mark.parametrize(
    ("value", "digits", "said"),
    [(12.0, 1, "12"), (9.96, 1, "10"), (0.5, 1, "0.5"), (100.0, 0, "100"), (0.01373, 5, "0.01373")],
)
def test_a_number_is_said_without_zeros_at_its_end(value: float, digits: int, said: str) -> None:
    assert figure(value, digits) == said
