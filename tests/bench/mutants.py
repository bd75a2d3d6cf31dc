"""Mutation run: break a module in one place at a time, and see whether its tests notice.

    python3 -m tests.bench.mutants cureclock/core/clock.py tests/core/test_clock.py --seconds 600

Each mutant lives in a child that was forked after the libraries were loaded, so that it costs the
tests and little more. What survives is printed with its line: either a test is missing, or the
change makes no difference to anybody; somebody has to judge which.
"""

import argparse
import ast
import copy
import importlib.abc
import importlib.util
import os
import random
import signal
import sys
import time
from collections.abc import Iterator, Sequence
from importlib.machinery import ModuleSpec
from pathlib import Path
from types import ModuleType

import django  # noqa: F401  loaded once, for every child
import hypothesis  # noqa: F401
import numpy as np  # noqa: F401
import pytest

ROOT = Path(__file__).resolve().parents[2]
MOST_TIMES = 4  # as long as the tests take; then it hangs, which somebody would notice
PLAINLY = ("-x", "-q", "-p", "no:cacheprovider", "--assert=plain")
COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
COUNTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
}
CHOSEN = {"min": "max", "max": "min", "any": "all", "all": "any", "minimum": "maximum"}
CHOSEN |= {"maximum": "minimum", "ceil": "floor", "floor": "ceil"}


def changes(node: ast.AST) -> Iterator[ast.AST]:
    """What a place in the code could say instead."""
    other = copy.deepcopy(node)
    if isinstance(other, ast.Compare) and type(other.ops[0]) in COMPARED:
        other.ops[0] = COMPARED[type(other.ops[0])]()
        yield other
    elif isinstance(other, ast.BinOp) and type(other.op) in COUNTED:
        other.op = COUNTED[type(other.op)]()
        yield other
    elif isinstance(other, ast.BoolOp):
        other.op = ast.Or() if isinstance(other.op, ast.And) else ast.And()
        yield other
    elif isinstance(other, ast.UnaryOp) and isinstance(other.op, ast.Not | ast.USub):
        yield other.operand
    elif isinstance(other, ast.IfExp):
        other.body, other.orelse = other.orelse, other.body
        yield other
    elif isinstance(other, ast.Constant) and isinstance(other.value, bool):
        yield ast.Constant(not other.value)
    elif isinstance(other, ast.Constant) and isinstance(other.value, int | float):
        yield ast.Constant(other.value + 1)
    elif isinstance(other, ast.Name) and other.id in CHOSEN:
        other.id = CHOSEN[other.id]
        yield other
    elif isinstance(other, ast.Attribute) and other.attr in CHOSEN:
        other.attr = CHOSEN[other.attr]
        yield other


class Swap(ast.NodeTransformer):
    """Puts one node in place of another."""

    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        if node is self.old:
            return ast.copy_location(self.new, node)
        return self.generic_visit(node)


def mutants(text: str) -> Iterator[tuple[int, str, str, str]]:
    """Each: line, what stood there, what stands there now, and the whole module."""
    count = sum(1 for _ in ast.walk(ast.parse(text)))
    for at in range(count):
        tree = ast.parse(text)
        node = list(ast.walk(tree))[at]
        for other in changes(node):
            said, instead = ast.unparse(node), ast.unparse(other)
            whole = ast.unparse(ast.fix_missing_locations(Swap(node, other).visit(tree)))
            yield getattr(node, "lineno", 0), said, instead, whole


class Mutant(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Finds one module, and loads the broken text of it."""

    def __init__(self, name: str, path: Path, text: str) -> None:
        self.name, self.path, self.text = name, path, text

    def find_spec(self, fullname: str, *_: object) -> ModuleSpec | None:
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self)

    def exec_module(self, module: ModuleType) -> None:
        exec(compile(self.text, str(self.path), "exec"), module.__dict__)


def survives(path: Path, text: str, tests: Sequence[str], longest_s: float = 0) -> bool:
    """Whether the tests pass all the same, and in time where there is a longest."""
    child = os.fork()
    if child == 0:
        with open(os.devnull, "w") as nowhere:  # noqa: PTH123
            os.dup2(nowhere.fileno(), 1)
            os.dup2(nowhere.fileno(), 2)
        name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        sys.meta_path.insert(0, Mutant(name, path, text))
        signal.setitimer(signal.ITIMER_REAL, longest_s)
        os._exit(int(pytest.main([*PLAINLY, *tests])))
    return os.waitpid(child, 0)[1] == 0


def run(path: Path, tests: Sequence[str], seconds: float, seed: int) -> float:
    """Mutants in an order drawn by `seed`, until the time is over; the share that was noticed."""
    text = path.read_text("utf-8")
    began = time.monotonic()
    if not survives(path, text, tests):
        sys.exit("The tests fail as it is; nothing can be said of mutants.")
    longest_s = MOST_TIMES * (time.monotonic() - began) + 5
    every = list(mutants(text))
    random.Random(seed).shuffle(every)
    until, tried, left = time.monotonic() + seconds, 0, 0
    for line, said, instead, whole in every:
        if time.monotonic() > until:
            break
        tried += 1
        if survives(path, whole, tests, longest_s):
            left += 1
            print(f"{path.relative_to(ROOT)}:{line}: {said}  ->  {instead}", flush=True)
    noticed = (tried - left) / max(tried, 1)
    print(f"{path.name}: {tried} of {len(every)} mutants tried, {noticed:.0%} noticed")
    return noticed


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("module", type=Path)
    parser.add_argument("--seconds", type=float, default=600)
    parser.add_argument("--seed", type=int, default=1)
    asked, tests = parser.parse_known_args()  # what is left is for pytest: files, -k
    run(asked.module.resolve(), tests, asked.seconds, asked.seed)


if __name__ == "__main__":
    main()
