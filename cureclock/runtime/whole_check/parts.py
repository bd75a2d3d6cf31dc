"""The parts of the check. Each is a command that fails by its exit status, and a way to count."""

import json
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from cureclock.runtime.webbuild import ROOT

BIN = Path(sys.executable).parent
DEPTHS = ("quick", "plain", "long")
RULES = ("tests/architecture", "tests/docs")
NOT_IN_THE_MAIN_RUN = (*RULES, "tests/bench")
ESTIMATES = ("cureclock/core", "cureclock/waits")
PYTEST = (sys.executable, "-m", "pytest", "-q")
AT_ONCE = ("--numprocesses", "logical", "--maxprocesses", "4", "--dist", "loadfile")
SLIPS = (sys.executable, "-m", "tests.bench.mutants", *ESTIMATES, "--least", "85")
DJANGO = (sys.executable, "manage.py")
# By name: asked for all, Django passes over an app that has models and no migrations yet.
OUR_APPS = ("shop", "waits", "planner", "reminders", "exports", "runtime")
NPM = (sys.executable, str(ROOT / "cureclock/runtime/webbuild.py"))


@dataclass(frozen=True)
class Count:
    passed: int
    failed: int = 0
    skipped: tuple[str, ...] = ()


def one(_report: Path) -> Count:
    """A part without a report of its own is one check."""
    return Count(passed=1)


@dataclass(frozen=True)
class Part:
    name: str
    command: tuple[str, ...]
    count: Callable[[Path], Count] = field(default=one)
    minutes: int = 5


def parts_of(depth: str, report: Path) -> list[Part]:
    """What a depth runs, cheap ones first; `report` is where the counted ones write."""
    found = [*code(), *pytest_parts(depth, report)]
    if depth != "quick":
        found[-2:-2] = front_end(report)  # before the browser tests, which need the built app
    if depth == "long":
        found.append(Part("slips of core and waits that tests notice", SLIPS, minutes=480))
    return found


def parts_of_paths(paths: list[str], depth: str, report: Path) -> list[Part]:
    """Only these tests, and each way they can be run at this depth."""
    ways = [("on SQLite", ())] if depth == "quick" else TWO_WAYS
    return [run_pytest(way, (*extra, *paths), depth, report) for way, extra in ways]


def code() -> list[Part]:
    tool = BIN.joinpath
    return [
        Part("format", (str(tool("ruff")), "format", "--check", ".")),
        Part("lint", (str(tool("ruff")), "check", ".")),
        Part("contracts", (str(tool("lint-imports")),)),
        Part("types", (sys.executable, "-m", "mypy")),
        Part("settings", (*DJANGO, "check", "--fail-level", "WARNING")),
        Part("migrations", (*DJANGO, "makemigrations", "--check", "--dry-run", *OUR_APPS)),
    ]


TWO_WAYS: list[tuple[str, tuple[str, ...]]] = [
    ("on SQLite", ()),
    ("on PostgreSQL and Redis", ("--real",)),
]


def pytest_parts(depth: str, report: Path) -> list[Part]:
    left_out = tuple(f"--ignore={folder}" for folder in NOT_IN_THE_MAIN_RUN)
    rules = run_pytest("of rules and docs", RULES, depth, report)
    ways = TWO_WAYS[:1] if depth == "quick" else TWO_WAYS
    everything = [("tests", *AT_ONCE, *left_out, *extra) for _way, extra in ways]
    runs = zip(ways, everything, strict=True)
    return [rules, *(run_pytest(way, words, depth, report) for (way, _), words in runs)]


def run_pytest(name: str, words: tuple[str, ...], depth: str, report: Path) -> Part:
    out = report / f"{name.replace(' ', '-')}.xml"
    command = (*PYTEST, "--depth", depth, f"--junitxml={out}", *words)
    minutes = 240 if depth == "long" else 35
    return Part(f"tests {name}", command, lambda _: pytest_count(out), minutes)


def front_end(report: Path) -> list[Part]:
    out = report / "vitest.json"
    reporters = ("--reporter=default", "--reporter=json", f"--outputFile.json={out}")
    return [
        Part("front-end types", (*NPM, "run", "--silent", "types")),
        Part("front-end tests", (*NPM, "test", "--", *reporters), lambda _: vitest_count(out)),
        Part("front-end build", NPM),
    ]


def pytest_count(out: Path) -> Count:
    """From the report pytest wrote; a run that wrote none counts nothing, and so has failed."""
    cases = list(ET.parse(out).iter("testcase")) if out.exists() else []
    failed = [case for case in cases if case.find("failure") is not None]
    failed += [case for case in cases if case.find("error") is not None and case not in failed]
    skipped = [case for case in cases if case.find("skipped") is not None]
    return Count(
        passed=len(cases) - len(failed) - len(skipped),
        failed=len(failed),
        skipped=tuple(f"{case.get('classname')}.{case.get('name')}" for case in skipped),
    )


def vitest_count(out: Path) -> Count:
    told = json.loads(out.read_text()) if out.exists() else {}
    suites = told.get("testResults", [])
    cases = [case for suite in suites for case in suite["assertionResults"]]
    rest = [case["fullName"] for case in cases if case["status"] not in ("passed", "failed")]
    return Count(
        passed=sum(case["status"] == "passed" for case in cases),
        failed=sum(case["status"] == "failed" for case in cases),
        skipped=tuple(rest),
    )
