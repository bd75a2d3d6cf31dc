"""Files and functions stay small enough to be read in one go."""

import ast
import io
import tokenize
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
MOST_LINES = 400
MOST_CODE_LINES = 50
FOLDERS = ("cureclock", "tests", "frontend/src", "frontend/tests")
SOURCES = {".py", ".ts", ".tsx", ".css", ".html"}
NO_HOME = {"utils", "util", "common", "helpers", "helper", "misc"}
NOT_OURS = {"node_modules", "dist", "migrations", "__pycache__"}
Function = ast.FunctionDef | ast.AsyncFunctionDef


def sources() -> Iterator[Path]:
    yield ROOT / "manage.py"
    for folder in FOLDERS:
        for path in (ROOT / folder).rglob("*"):
            if path.suffix in SOURCES and not NOT_OURS & set(path.parts):
                yield path


def code_lines(text: str, function: Function) -> int:
    """Lines of the function that hold code: not blank, not comment, not its docstring."""
    held: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type not in (tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT):
            held.update(range(token.start[0], token.end[0] + 1))
    first = function.body[0]
    if ast.get_docstring(function) is not None:
        held -= set(range(first.lineno, (first.end_lineno or first.lineno) + 1))
    return len(held & set(range(function.lineno, (function.end_lineno or 0) + 1)))


def too_long_functions(text: str) -> list[str]:
    functions = [node for node in ast.walk(ast.parse(text)) if isinstance(node, Function)]
    return [f.name for f in functions if code_lines(text, f) > MOST_CODE_LINES]


def test_no_file_is_longer_than_can_be_held_in_the_head() -> None:
    long = [path for path in sources() if len(path.read_text().splitlines()) > MOST_LINES]
    assert [path.relative_to(ROOT).as_posix() for path in long] == []


def test_no_function_is_longer_than_a_screen() -> None:
    python = [path for path in sources() if path.suffix == ".py"]
    long = [
        f"{path.relative_to(ROOT).as_posix()}:{name}"
        for path in python
        for name in too_long_functions(path.read_text())
    ]
    assert long == []


def test_nothing_lives_in_a_room_without_a_noun() -> None:
    homeless = [path for path in sources() if NO_HOME & {path.stem, *path.parts}]
    assert homeless == []


@pytest.mark.parametrize(("lines", "long"), [(49, []), (50, ["f"])])
def test_function_too_long_is_seen(lines: int, long: list[str]) -> None:
    body = '    """Words,\n    not code."""\n\n    # a reason\n' + "    a = 1\n" * lines
    assert too_long_functions(f"def f():\n{body}") == long
