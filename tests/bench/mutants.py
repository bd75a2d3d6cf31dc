"""Mutation run: break the code in one place at a time, and see whether the tests notice.

    python3 -m tests.bench.mutants cureclock/core cureclock/waits
    python3 -m tests.bench.mutants cureclock/core/gates.py --tests tests/core/test_gates.py --each 50

First all those tests run once and it is noted which of them enter which function. Then of each
module a sample of slips, the same at each run, is tried on the tests that enter the place, those
of its noun first, then some of each file, as many as fit into the longest time. What survives is printed with its line:
either a test is missing, or the change makes no difference to anybody; somebody has to judge which.
"""

import argparse
import json
import os
import pickle
import random
import shutil
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import django  # noqa: F401  loaded once, for every child
import hypothesis  # noqa: F401
import numpy as np  # noqa: F401
import pytest

from tests.bench.mutants_made import Slip, broken, slips
from tests.bench.mutants_tried import (
    PLAINLY,
    ROOT,
    Known,
    Trial,
    nothing_after,
    noticed_anew,
)

ANEW_S = 20  # of a processor: what loading everything takes at most
TESTS = [
    *("tests/core", "tests/published", "tests/architecture/test_frozen.py", "tests/waits"),
    *("tests/shop", "tests/planner", "tests/flows", "tests/api", "tests/exports/test_tables.py"),
]
Tried = list[tuple[Path, Slip, str | None]]


@dataclass(frozen=True)
class Asked:
    """What the command line says."""

    modules: Sequence[Path]
    tests: Sequence[str]
    each: int
    seed: int
    longest_s: float
    into: Path | None
    again: frozenset[tuple[str, str | None, str]]  # if any: these, and no sample


def modules(paths: Sequence[Path]) -> list[Path]:
    """The files that hold code, of files and folders."""
    found = [one for path in paths for one in (path.rglob("*.py") if path.is_dir() else [path])]
    return sorted(
        one.resolve()
        for one in found
        if one.name != "__init__.py" and "migrations" not in one.parts
    )


def sample(path: Path, asked: Asked) -> list[Slip]:
    """The same ones at each run, as long as the module stays as it is."""
    every = slips(path.read_text("utf-8"))
    if asked.again:
        return [one for one in every if named(path, one) in asked.again]
    drawn = random.Random(f"{asked.seed} {path.relative_to(ROOT)}")
    return drawn.sample(every, min(asked.each, len(every)))


def named(path: Path, slip: Slip) -> tuple[str, str | None, str]:
    """A slip without its line, which moves."""
    return str(path.relative_to(ROOT)), slip.within, str(slip).split(": ", 1)[1]


def survivors(kept: Path) -> frozenset[tuple[str, str | None, str]]:
    """Of an earlier run."""
    rows = json.loads(kept.read_text("utf-8"))
    return frozenset(
        (module, within, words.split(": ", 1)[1]) for module, within, words, by in rows if not by
    )


def in_live_functions(asked: Asked, into: Path) -> Callable[[Trial], None]:
    """What the child does with the run that stands ready; its findings go into a file."""

    def every(trial: Trial) -> None:
        tried: Tried = []
        for path in asked.modules:
            text = path.read_text("utf-8")
            for slip in sample(path, asked):
                if slip.within is not None:
                    tests = trial.known.of(path, slip.within, asked.longest_s)
                    tried.append((path, slip, trial.noticed_by(path, text, slip, tests)))
            so_far(path, tried, asked.into)
        into.write_bytes(pickle.dumps((tried, trial.known)))

    return every


def so_far(path: Path, tried: Tried, into: Path | None) -> None:
    """A long run shows where it is, and what there is to judge already."""
    keep(tried, into)
    mine = [(slip, by) for at, slip, by in tried if at == path]
    for slip, by in mine:
        if by is None:
            print(f"    {path.name}:{slip}")
    print(f"    {path.name}: in its functions {share([by for _, by in mine])}", flush=True)


def keep(tried: Tried, into: Path | None) -> None:
    """In a file, for who tries the survivors again."""
    rows = [[str(at.relative_to(ROOT)), slip.within, str(slip), by] for at, slip, by in tried]
    if into:
        into.write_text(json.dumps(rows, indent=1), "utf-8")


def anew(path: Path, slip: Slip, known: Known, asked: Asked) -> str | None:
    """With everything loaded from the start."""
    tests = known.of(path, slip.within, asked.longest_s)
    if not tests:
        return None
    longest_s = 4 * asked.longest_s + ANEW_S
    code = broken(path.read_text("utf-8"), slip, str(path))
    return noticed_anew(path, code, tests, longest_s)


def at_import(asked: Asked, tried: Tried, known: Known) -> Tried:
    """What is read once, and what survived although it was run while things were loaded."""
    found = [
        (path, slip, by or (anew(path, slip, known, asked) if early(path, slip, known) else None))
        for path, slip, by in tried
    ]
    for path in asked.modules:
        rest = [slip for slip in sample(path, asked) if slip.within is None]
        tests = known.of(path, None, asked.longest_s)
        if (
            rest
            and tests
            and (fails := noticed_anew(path, None, tests, 4 * asked.longest_s + ANEW_S))
        ):
            sys.exit(f"{fails} fails as it is; nothing can be said of {path.relative_to(ROOT)}.")
        found += [(path, slip, anew(path, slip, known, asked)) for slip in rest]
    return found


def early(path: Path, slip: Slip, known: Known) -> bool:
    return (str(path), slip.within) in known.at_import


def told(asked: Asked, tried: Tried) -> None:
    """Each survivor, and the share that was noticed, by module and in all."""
    for path in asked.modules:
        mine = [(slip, by) for at, slip, by in tried if at == path]
        for slip, by in mine:
            if by is None:
                print(f"{path.relative_to(ROOT)}:{slip}")
        print(f"{path.relative_to(ROOT)}: {share([by for _, by in mine])}")
    print(f"in all: {share([by for *_, by in tried])}")


def share(noticed: Sequence[str | None]) -> str:
    good = sum(by is not None for by in noticed)
    return f"{good} of {len(noticed)} noticed, {part_noticed(noticed):.0%}"


def part_noticed(noticed: Sequence[str | None]) -> float:
    return sum(by is not None for by in noticed) / len(noticed) if noticed else 1.0


def run(asked: Asked, folder: Path) -> Tried:
    into = folder / "functions.pickle"
    tempfile.tempdir = str(folder)
    child = os.fork()
    if child == 0:
        trial = Trial(in_live_functions(asked, into))
        with nothing_after():
            os._exit(int(pytest.main([*PLAINLY, "-s", *asked.tests], plugins=[trial])))
    os.waitpid(child, 0)
    if not into.exists():
        sys.exit("The run of the tests did not come to its end.")
    tried, known = pickle.loads(into.read_bytes())
    return at_import(asked, tried, known)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("modules", type=Path, nargs="+", help="files, or folders of them")
    parser.add_argument("--tests", nargs="+", default=TESTS, help="what pytest is to run")
    parser.add_argument("--each", type=int, default=12, help="slips of each module")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--longest", type=float, default=6, help="seconds of tests for a slip")
    parser.add_argument("--again", type=Path, help="only what survived, by the file of --into")
    parser.add_argument(
        "--least", type=float, default=0, help="per cent; fewer noticed is a failure"
    )
    parser.add_argument("--into", type=Path, help="a file for what became of each slip")
    said, for_pytest = parser.parse_known_args()
    asked = Asked(
        modules=modules(said.modules),
        tests=[*said.tests, *for_pytest],
        each=said.each,
        seed=said.seed,
        longest_s=said.longest,
        into=said.into,
        again=survivors(said.again) if said.again else frozenset(),
    )
    folder = Path(tempfile.mkdtemp(prefix="cureclock-mutants-"))
    try:
        tried = run(asked, folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    keep(tried, asked.into)
    told(asked, tried)
    if 100 * part_noticed([by for *_, by in tried]) < said.least:
        sys.exit(f"Less than {said.least:g} % were noticed: tests are missing.")


if __name__ == "__main__":
    main()
