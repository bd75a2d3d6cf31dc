"""Every function that the two walks name is where they say."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "explanation" / "two-walks.md"
NAMED = re.compile(r"`([\w/.-]+\.(?:py|tsx?))::(\w+)`")


def defined(path: Path) -> set[str]:
    """What a file defines for others to use; nothing where there is no such file."""
    text = path.read_text("utf-8") if path.exists() else ""
    if path.suffix != ".py":
        return set(re.findall(r"(?m)^export (?:async )?function (\w+)", text))
    kinds = (ast.FunctionDef, ast.ClassDef)
    return {one.name for one in ast.parse(text).body if isinstance(one, kinds)}


@pytest.mark.parametrize("title", ['The maker taps "Pressure on"', "A colder reading arrives"])
def test_every_step_is_where_it_is_said_to_be(title: str) -> None:
    walk = PAGE.read_text("utf-8").split(f"## {title}\n")[1].split("\n## ")[0]
    named = NAMED.findall(walk)
    assert len(named) > 15
    assert [(file, name) for file, name in named if name not in defined(ROOT / file)] == []


def test_one_that_is_gone_is_seen() -> None:
    assert "gone" not in defined(Path(__file__))
    assert "defined" in defined(Path(__file__))
    assert defined(ROOT / "nowhere.py") == set()
