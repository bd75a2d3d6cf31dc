"""Tries slips on the tests that run the place: in a child forked off a run that stands ready.

A slip in the body of a function costs its tests and nothing else: the child puts the broken code
into the live function. A slip in what is read once, at import, needs a child that loads everything
anew. Tests on records run on a database in memory, so that each child has one of its own.
"""

import ast
import builtins
import gc
import importlib.abc
import importlib.util
import inspect
import os
import pkgutil
import signal
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import _lru_cache_wrapper
from importlib.machinery import ModuleSpec
from itertools import zip_longest
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType
from typing import Any

import pytest

from tests.bench.mutants_made import Slip, broken, codes

ROOT = Path(__file__).resolve().parents[2]
WATCHED = tuple(str(ROOT / "cureclock" / room) + os.sep for room in ("core", "waits"))
OF_OURS = str(ROOT / "cureclock") + os.sep
PLAINLY = ("-q", "--tb=no", "-p", "no:xdist", "--assert=plain")
MOST_TIMES = 4  # as long as the tests take; then it hangs, which somebody would notice
ENOUGH = 3  # tests that run a place; with fewer, those that import its module are asked as well

Place = tuple[str, str]  # a file, and a function by its full name in there


@dataclass
class Known:
    """Which test runs what, and how many seconds of a processor it takes."""

    took: dict[str, float] = field(default_factory=dict)
    ran_by: dict[Place, set[str]] = field(default_factory=lambda: defaultdict(set))
    at_import: set[Place] = field(default_factory=set)

    def of(self, path: Path, within: str | None, longest_s: float) -> list[str]:
        """The tests of a place, those of the noun first, then from file to file."""
        file = str(path)
        chosen = set(self.ran_by.get((file, within), ())) if within else set()
        chosen |= {one for one in self.took if one.endswith(f"[{dotted(path)}]")}
        if within is None or len(chosen) < ENOUGH:
            chosen |= {one for (at, _), by in self.ran_by.items() if at == file for one in by}
            chosen |= {one for one in self.took if one.split("::")[0] in importers(path)}
        own = [one for one in chosen & self.took.keys() if f"/test_{path.stem}." in one]
        rest = self.file_by_file(chosen & self.took.keys() - set(own))
        order = [*sorted(own, key=self.took.__getitem__), *rest]
        return list(within_time(order, self.took, longest_s))

    def file_by_file(self, tests: set[str]) -> Iterator[str]:
        """The quickest of each file, then the next of each: the quickest of all see the least."""
        files: dict[str, list[str]] = defaultdict(list)
        for one in sorted(tests, key=lambda one: (self.took[one], one)):
            files[one.split("::")[0]].append(one)
        for row in zip_longest(*files.values()):
            yield from (one for one in row if one is not None)


def within_time(order: Sequence[str], took: dict[str, float], longest_s: float) -> Iterator[str]:
    """As many as fit, in their order; one that is too long for what is left is passed over."""
    left = longest_s
    for one in order:
        if took[one] <= left:
            left -= took[one]
            yield one


def importers(path: Path) -> set[str]:
    """The test files that import a module by its name."""
    return IMPORTERS.get(dotted(path), set())


def dotted(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts)


def imported_by_tests() -> dict[str, set[str]]:
    found: dict[str, set[str]] = defaultdict(set)
    for file in (ROOT / "tests").rglob("test_*.py"):
        where = str(file.relative_to(ROOT))
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module:
                found[node.module].add(where)
                for name in node.names:
                    found[f"{node.module}.{name.name}"].add(where)
    return found


IMPORTERS = imported_by_tests()


class Stage:
    """What every run here sets up: records in memory, draws that stop at the first that fails."""

    @pytest.hookimpl(trylast=True)
    def pytest_configure(self) -> None:
        from django.conf import settings
        from hypothesis import Phase
        from hypothesis import settings as draws

        settings.DATABASES["default"]["TEST"]["NAME"] = None
        quick = (Phase.explicit, Phase.generate)  # whoever only asks "does it fail" need not shrink
        draws.register_profile(
            "mutants", derandomize=True, deadline=None, phases=quick, database=None
        )
        draws.load_profile("mutants")


def _entered(*args: Any, **kwargs: Any) -> Any:
    """Stands in place of a function until it is called, then is that function again."""
    return note_entered("KEY")(*args, **kwargs)  # type: ignore[name-defined]  # noqa: F821


class Watch(Stage):
    """Runs each test once, and notes which functions of ours it enters.

    Noting every call of every library would take as long as the tests themselves; so each function
    of ours has other code until a test calls it, which notes it and puts its own code back.
    """

    def __init__(self) -> None:
        self.known = Known()
        self.failed = False
        self.seen: set[CodeType] = set()
        self.items: dict[str, pytest.Item] = {}
        self.shared: dict[str, set[CodeType]] = defaultdict(set)  # by file: what its stage ran
        self.armed: list[FunctionType] = []
        self.own: list[CodeType] = []
        sys.settrace(self.note)  # while everything is loaded

    def note(self, frame: FrameType, *_: object) -> None:
        self.seen.add(frame.f_code)

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any, request: Any) -> Iterator[None]:
        """What a stage shared by several tests runs, is run by all of them."""
        if fixturedef.scope == "function":
            return (yield)
        before, self.seen = self.seen, set()
        try:
            return (yield)
        finally:
            self.shared[request.node.nodeid.split("::")[0]] |= self.seen
            self.seen = before | self.seen

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.failed |= report.failed

    def play(self, item: pytest.Item, after: pytest.Item | pytest.Session) -> bool:
        """Whether it passes; what the one after it shares with it stays standing."""
        self.failed = False
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
        return not self.failed

    def arm(self) -> None:
        """Lay a wire at each function of ours that needs nothing from around it."""
        sys.settrace(None)
        from cureclock import core, waits  # not sooner: a slip at import needs them unloaded

        for name in every_module(core, waits):  # what is loaded at the first question only, as well
            importlib.import_module(name)
        builtins.note_entered = self.entered  # type: ignore[attr-defined]
        for one in live_functions():
            if one.__code__.co_filename.startswith(WATCHED) and not one.__code__.co_freevars:
                with suppress(ValueError, TypeError):
                    one.__signature__ = inspect.signature(one)  # type: ignore[attr-defined]
                self.armed.append(one)
                self.own.append(one.__code__)
                one.__code__ = wire(len(self.own) - 1, one.__code__)

    def entered(self, number: int) -> FunctionType:
        function = self.armed[number]
        self.seen.add(self.own[number])
        function.__code__ = self.own[number]
        return function

    def disarm(self) -> None:
        for function, own in zip(self.armed, self.own, strict=True):
            function.__code__ = own

    def rearm(self) -> None:
        for number, (function, own) in enumerate(zip(self.armed, self.own, strict=True)):
            if function.__code__ is own:
                function.__code__ = wire(number, own)

    def watch(self, items: list[pytest.Item]) -> None:
        self.known.at_import = set(places(self.seen))
        self.arm()
        by: dict[str, set[CodeType]] = {}
        for at, item in enumerate(items):
            self.seen = set()
            self.rearm()
            began = time.process_time()
            good = self.play(item, items[at + 1] if at + 1 < len(items) else item.session)
            if good:
                self.known.took[item.nodeid] = time.process_time() - began
                by[item.nodeid] = self.seen
                self.items[item.nodeid] = item
            else:
                print(f"fails as it is, and is not asked: {item.nodeid}", flush=True)
        self.disarm()
        for name, seen in by.items():
            for place in places(seen | self.shared[name.split("::")[0]]):
                self.known.ran_by[place].add(name)


def every_module(*packages: ModuleType) -> Iterator[str]:
    for package in packages:
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if ".migrations" not in found.name:
                yield found.name


def live_functions() -> list[FunctionType]:
    return [one for one in gc.get_objects() if type(one) is FunctionType]  # wakes nothing lazy


def wire(number: int, own: CodeType) -> CodeType:
    """Code that tells the number, and is else taken for the function's own."""
    code = _entered.__code__
    consts = tuple(number if one == "KEY" else one for one in code.co_consts)
    return code.replace(
        co_consts=consts, co_name=own.co_name, co_qualname=own.co_qualname,
        co_filename=own.co_filename, co_firstlineno=own.co_firstlineno,
    )  # fmt: skip


def places(seen: Iterable[CodeType]) -> Iterator[Place]:
    """Nested functions count for the outermost one."""
    for code in seen:
        if code.co_filename.startswith(OF_OURS):
            yield code.co_filename, code.co_qualname.split(".<locals>")[0]


class Trial(Watch):
    """Tries slips once all tests have been watched."""

    def __init__(self, wanted: Callable[["Trial"], None]) -> None:
        super().__init__()
        self.wanted = wanted
        self.sound: dict[str, bool] = {}
        self.functions: dict[tuple[str, str, int], list[FunctionType]] = defaultdict(list)

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.watch(session.items)
        for one in live_functions():
            if one.__code__.co_filename.startswith(OF_OURS):
                self.functions[key(one.__code__)].append(one)
        self.wanted(self)
        return True

    def noticed_by(self, path: Path, text: str, slip: Slip, tests: Sequence[str]) -> str | None:
        """The first test that fails, or why it was over; None if all of them pass."""
        whole = broken(text, slip, str(path))
        new = [code for code in codes(whole) if code.co_qualname == slip.within]
        while True:
            said = self.in_child(tests, lambda: self.put(new))
            if said is None or said not in self.items:
                return said
            if said not in self.sound:
                self.sound[said] = self.in_child([said], lambda: None) is None
            if self.sound[said]:
                return said
            print(f"does not pass twice, and is not asked: {said}", flush=True)
            tests = [one for one in tests if one != said]

    def put(self, new: Sequence[CodeType]) -> None:
        for code in new:
            for function in self.functions[key(code)]:
                function.__code__ = code
        for one in gc.get_objects():
            if type(one) is _lru_cache_wrapper and ours(one):
                one.cache_clear()

    def in_child(self, tests: Sequence[str], first: Callable[[], None]) -> str | None:
        longest_s = MOST_TIMES * sum(self.known.took[one] for one in tests) + 2
        from_child, to_us = os.pipe()
        child = os.fork()
        if child == 0:
            quietly(longest_s)
            with nothing_after():
                first()
                for name in tests:
                    if not self.play(self.items[name], self.items[name].session):
                        os.write(to_us, name.encode())
                        os._exit(1)
                os._exit(0)
        os.close(to_us)
        with os.fdopen(from_child, "rb") as said:
            name = said.read().decode()
        return outcome(os.waitpid(child, 0)[1], name)


def key(code: CodeType) -> tuple[str, str, int]:
    return code.co_filename, code.co_qualname, code.co_firstlineno


def ours(cached: Any) -> bool:
    return getattr(cached, "__module__", None) is not None and cached.__module__.startswith(
        "cureclock"
    )


def quietly(longest_s: float) -> None:
    """Nothing is printed, and it ends: by the time it computes, and by that it may wait."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    signal.setitimer(signal.ITIMER_PROF, longest_s)
    signal.setitimer(signal.ITIMER_REAL, 30 * longest_s + 60)


@contextmanager
def nothing_after() -> Iterator[None]:
    """A child that breaks in a way no test is meant to ends there, not in its parent's code."""
    try:
        yield
    finally:
        os._exit(3)


def outcome(status: int, name: str) -> str | None:
    if status == 0:
        return None
    return name or ("never ended" if os.WIFSIGNALED(status) else "broke the run")


class Broken(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Finds one module, and loads the broken code of it."""

    def __init__(self, name: str, path: Path, code: CodeType) -> None:
        self.name, self.path, self.code = name, path, code

    def find_spec(self, fullname: str, *_: object) -> ModuleSpec | None:
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self)

    def exec_module(self, module: ModuleType) -> None:
        exec(self.code, module.__dict__)


class FirstFailure(Stage):
    """Of a run in a child: which test it was."""

    def __init__(self, to_us: int) -> None:
        self.to_us = to_us

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            os.write(self.to_us, report.nodeid.encode())
            os._exit(1)


def noticed_anew(
    path: Path, code: CodeType | None, tests: Sequence[str], longest_s: float
) -> str | None:
    """The first test that fails where everything is loaded with that code for that module."""
    from_child, to_us = os.pipe()
    child = os.fork()
    if child == 0:
        quietly(longest_s)
        if code is not None:
            sys.meta_path.insert(0, Broken(dotted(path), path, code))
        with nothing_after():
            os._exit(int(pytest.main([*PLAINLY, *tests], plugins=[FirstFailure(to_us)])))
    os.close(to_us)
    with os.fdopen(from_child, "rb") as said:
        name = said.read().decode()
    return outcome(os.waitpid(child, 0)[1], name)
