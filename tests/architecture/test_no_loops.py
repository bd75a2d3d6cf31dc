"""The core works on whole arrays: no Python loop over waits, readings or cells.

A loop passes by itself where it goes over names written out in the code, or a fixed small number
of rounds. Any other one needs a line below that says why it is not a loop over an array.
"""

import ast
import re
from pathlib import Path
from typing import NamedTuple

import pytest

import cureclock.core

CORE = Path(cureclock.core.__file__).parent

# place in the core -> why it may loop. A place is a folder, a file, or file:function.
ALLOWED = {
    "wording/": "messages and fields of one catalogue, read once for each language",
    "reminding/": "the alerts, people and tags of one shop, composed into words one by one",
    "materials/": "reads sheets and labels, a field or a printed row at a time, once for each label",
    "response.py:Response.kinks_c": "the handful of rows a label prints",
    "clock.py:_Reading.split_at_kinks": "a response's few kinks; each round takes the whole line at once",
    "doubt.py:_judge_runs": "leaps of one sensor, a few a year; each run is judged as a whole",
    "timeline.py:_filled": "versions of expected air; each round takes all its instants at once",
    "trust.py:_believed": "blocks of some hundred materials; each round takes its block at once",
    "ladder.py:ladder": "the dozen gates of one label",
    "lathe.py": "the joints of one piece, asked for by name when somebody stands at the lathe",
    "answers.py:together": "the handful of joints, zones and holds that answer for one piece",
    "coat/may.py": "the holds on one piece, and the few reasons about one zone",
    "holding.py": "the handful of steps a hold has to be off before",
    "work.py": "the joints and holds of one piece, asked for by name",
    "planning/": "the goes of a plan, each placed after the ones before it; positions are arrays",
    "coat/before_date.py": "coats of one piece, each of which begins where the last one ended",
}

MOST_ROUNDS = 200
LOOPS = (ast.For, ast.AsyncFor, ast.While)
COMPREHENSIONS = (ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp)
HIDDEN = re.compile(
    r"^(map|filter|(functools\.)?reduce"
    r"|(np|numpy)\.(vectorize|fromiter|frompyfunc|nditer|ndenumerate|apply_along_axis"
    r"|apply_over_axes|piecewise|fromfunction))$"
)
NEVER_OVER = re.compile(r"\b(waits?|readings?|cells?|pieces_at|\w+_us|temps?_c|rh_pct)\b")


class Loop(NamedTuple):
    place: str
    line: int
    what: str


def _constants(tree: ast.Module) -> dict[str, int]:
    """Whole numbers that the module names in capitals, one by one or several in a line."""
    lines = [node for node in tree.body if isinstance(node, ast.Assign)]
    named = [(line.targets[0], line.value) for line in lines]
    for target, value in list(named):
        if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple):
            named.extend(zip(target.elts, value.elts, strict=True))
    return {
        target.id: value.value
        for target, value in named
        if isinstance(target, ast.Name)
        and isinstance(value, ast.Constant)
        and isinstance(value.value, int)
        and target.id.isupper()
    }


def _is_written_out(over: ast.expr, constants: dict[str, int]) -> bool:
    """Whether the loop goes over literals in the code or a fixed small number of rounds."""
    if isinstance(over, ast.Tuple | ast.List):
        return not any(isinstance(part, ast.Starred) for part in over.elts)
    if not (isinstance(over, ast.Call) and ast.unparse(over.func) == "range"):
        return False
    rounds = over.args[-1]
    if isinstance(rounds, ast.Name):
        return constants.get(rounds.id, MOST_ROUNDS + 1) <= MOST_ROUNDS
    return isinstance(rounds, ast.Constant) and rounds.value <= MOST_ROUNDS


def _suspects(node: ast.AST, constants: dict[str, int]) -> list[str]:
    """What of this node loops, in words; empty where nothing does."""
    if isinstance(node, ast.While):
        return [f"while {ast.unparse(node.test)}"]
    if isinstance(node, ast.Call) and HIDDEN.match(ast.unparse(node.func)):
        return [ast.unparse(node)]
    if isinstance(node, ast.For | ast.AsyncFor):
        overs = [node.iter]
    elif isinstance(node, COMPREHENSIONS):
        overs = [part.iter for part in node.generators]
    else:
        return []
    return [f"over {ast.unparse(o)}" for o in overs if not _is_written_out(o, constants)]


def loops_in(source: str, path: str) -> list[Loop]:
    """Every loop of a module that does not pass by itself."""
    tree = ast.parse(source)
    constants, found = _constants(tree), []

    def visit(node: ast.AST, inside: str) -> None:
        for child in ast.iter_child_nodes(node):
            found.extend(
                Loop(f"{path}:{inside}", child.lineno, what)  # type: ignore[attr-defined]
                for what in _suspects(child, constants)
            )
            named = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
            visit(child, f"{inside}.{child.name}".strip(".") if named else inside)

    visit(tree, "")
    return found


def _reason(loop: Loop) -> str | None:
    """The place in ALLOWED that lets a loop pass, None where none does."""
    if NEVER_OVER.search(loop.what):
        return None
    path = loop.place.split(":")[0]
    inside = [place for place in ALLOWED if place.endswith("/") and path.startswith(place)]
    return next(iter([p for p in (loop.place, path) if p in ALLOWED] + inside), None)


def _core_loops() -> list[Loop]:
    return [
        loop
        for file in sorted(CORE.rglob("*.py"))
        for loop in loops_in(file.read_text("utf-8"), file.relative_to(CORE).as_posix())
    ]


def test_no_loop_in_core_without_a_reason():
    unexplained = [loop for loop in _core_loops() if _reason(loop) is None]
    assert not unexplained, "\n".join(f"{p}, line {n}: {what}" for p, n, what in unexplained)


def test_every_reason_still_has_its_loop():
    used = {_reason(loop) for loop in _core_loops()}
    assert set(ALLOWED) - used == set()


BROKEN = {
    "for over readings": "def f(readings):\n    for r in readings:\n        print(r)",
    "while over waits": "def f(n):\n    while n:\n        n -= 1",
    "comprehension over cells": "def f(grid):\n    return [c * 2 for c in grid]",
    "generator in a sum": "def f(x):\n    return sum(v for v in x)",
    "second loop of a comprehension": "def f(x):\n    return [a * b for a in (1, 2) for b in x]",
    "range of a length": "def f(x):\n    for i in range(len(x)):\n        x[i] += 1",
    "too many rounds": "ROUNDS = 100_000\ndef f(x):\n    for _ in range(ROUNDS):\n        x += 1",
    "a loop in disguise": "import numpy as np\nf = np.vectorize(abs)",
    "map": "def f(x):\n    return list(map(abs, x))",
    "spread into a tuple": "def f(x):\n    for v in (1, *x):\n        print(v)",
    "in a method of a class": "class A:\n    def f(self, x):\n        return {v for v in x}",
}
SOUND = {
    "names written out": "def f(self):\n    for name in ('low', 'high'):\n        print(name)",
    "a root finder": "ROUNDS = 60\ndef f(x):\n    for _ in range(ROUNDS):\n        x = x / 2",
    "rounds named in a line": "A, B = 3, 41\ndef f(x):\n    for _ in range(A):\n        x = x / B",
    "a few rounds": "def f(x):\n    for _ in range(3):\n        x = x / 2",
    "whole arrays": "import numpy as np\ndef f(x):\n    return np.where(x > 0, x, 0).sum()",
}


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_sample_is_found(name):
    assert loops_in(BROKEN[name], "sample.py")


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_sample_passes(name):
    assert loops_in(SOUND[name], "sample.py") == []


def test_no_reason_covers_a_loop_over_waits_or_readings():
    for over in ("readings", "open_waits.waits", "at_us", "self.temp_c", "grid.cells"):
        source = f"def ladder(x):\n    return [v for v in {over}]"
        (loop,) = loops_in(source, "ladder.py")
        assert loop.place in ALLOWED
        assert _reason(loop) is None


def test_the_place_of_a_loop_names_its_method():
    (loop,) = loops_in(BROKEN["in a method of a class"], "coat/film.py")
    assert loop == Loop("coat/film.py:A.f", 3, "over x")
