"""Every threat names tests that try it, and every test that is named is there."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "explanation" / "threats.md"
NAMED = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")


def rows() -> list[str]:
    lines = [one for one in PAGE.read_text("utf-8").splitlines() if one.startswith("| ")]
    return [one for one in lines if not one.startswith("| threat |")]


def missing(text: str) -> list[str]:
    """Tests that a text names and that are not there."""
    found = []
    for file, name in NAMED.findall(text):
        path = ROOT / file
        tree = ast.parse(path.read_text("utf-8")) if path.exists() else ast.Module([], [])
        if name not in {one.name for one in tree.body if isinstance(one, ast.FunctionDef)}:
            found.append(f"{file}::{name}")
    return found


def test_every_named_test_is_there() -> None:
    assert missing(PAGE.read_text("utf-8")) == []


def test_every_threat_is_tried() -> None:
    assert len(rows()) > 25
    assert [row for row in rows() if not NAMED.search(row)] == []


def test_one_that_is_not_there_is_seen() -> None:
    gone = "`tests/docs/test_threats.py::test_gone` `tests/none.py::test_x`"
    assert missing(gone) == ["tests/docs/test_threats.py::test_gone", "tests/none.py::test_x"]
