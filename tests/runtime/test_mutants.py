"""The mutation run: which slips it makes, and that it sees one that no test minds."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.bench.mutants_made import broken, slips

ROOT = Path(__file__).resolve().parents[2]
CODE = '''
MOST = 3


class Cup:
    @property
    def full(self) -> bool:
        """No slip in 1 word of prose."""
        return self.parts >= MOST and not self.leaks


def poured(cups):
    cups.sort()
    if cups:
        return min(cups) + 1 if len(cups) > 2 else None
'''


def test_each_place_that_could_say_something_else_is_found_once() -> None:
    assert sorted((slip.within or "", slip.said, slip.instead) for slip in slips(CODE)) == [
        ("", "3", "4"),
        ("Cup.full", "not self.leaks", "self.leaks"),
        ("Cup.full", "self.parts >= MOST", "self.parts > MOST"),
        ("Cup.full", "self.parts >= MOST and (not self.leaks)",
         "self.parts >= MOST or not self.leaks"),
        ("poured", "1", "2"),
        ("poured", "2", "3"),
        ("poured", "cups.sort()", "pass"),
        ("poured", "if cups", "if not cups"),
        ("poured", "len(cups) > 2", "len(cups) >= 2"),
        ("poured", "min", "max"),
        ("poured", "min(cups) + 1", "min(cups) - 1"),
        ("poured", "min(cups) + 1 if len(cups) > 2 else None",
         "None if len(cups) > 2 else min(cups) + 1"),
    ]  # fmt: skip


def test_one_slip_is_in_the_code_and_nothing_else_is_changed() -> None:
    (slip,) = [slip for slip in slips(CODE) if slip.said == "min"]
    room: dict[str, object] = {}
    exec(broken(CODE, slip, "cup.py"), room)
    assert room["poured"]([1, 2, 5]) == 6  # type: ignore[operator]
    assert room["MOST"] == 3


@pytest.mark.long
@pytest.mark.parametrize(("least", "status"), [("85", 0), ("100.1", 1)])
def test_a_run_tells_what_share_was_noticed_and_fails_below_the_least(
    least: str, status: int
) -> None:
    words = ["cureclock/core/holding.py", "--tests", "tests/core/test_holding.py", "--least", least]
    command = [sys.executable, "-m", "tests.bench.mutants", *words]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert "cureclock/core/holding.py: " in ended.stdout
    assert (ended.returncode != 0) == bool(status)
