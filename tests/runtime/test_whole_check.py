"""Each part of `manage.py test` can fail: a sample that is broken makes it."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from cureclock.runtime import webbuild
from cureclock.runtime.whole_check import machine, parts, run
from cureclock.runtime.whole_check.parts import Count, Part

ROOT = webbuild.ROOT
CODE = {part.name: part for part in parts.code()}


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A copy of the code, to break."""
    copy = tmp_path / "house"
    (tmp_path / "var").mkdir()
    left_out = shutil.ignore_patterns("web", "__pycache__")
    shutil.copytree(ROOT / "cureclock", copy / "cureclock", ignore=left_out)
    for name in ("pyproject.toml", "manage.py", "README.md"):
        shutil.copy(ROOT / name, copy / name)
    return copy


def fails(part: Part, house: Path, tmp_path: Path) -> str:
    """What the part says, once it has failed in that copy."""
    ended = subprocess.run(
        part.command,
        cwd=house,
        env={**os.environ, "PYTHONPATH": str(house), "CURECLOCK_VAR": str(tmp_path / "var")},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    assert ended.returncode != 0, f"{part.name} let it pass:\n{ended.stdout}"
    return ended.stdout


def test_unformatted_line_fails_the_format(house: Path, tmp_path: Path) -> None:
    (house / "cureclock" / "odd.py").write_text("a  =  1\n")
    assert "odd.py" in fails(CODE["format"], house, tmp_path)


def test_reading_the_clock_in_the_core_fails_the_lint(house: Path, tmp_path: Path) -> None:
    (house / "cureclock" / "core" / "odd.py").write_text("import time\n\nNOW = time.time()\n")
    assert "TID251" in fails(CODE["lint"], house, tmp_path)


def test_arrow_turned_round_fails_the_contracts(house: Path, tmp_path: Path) -> None:
    (house / "cureclock" / "shop" / "odd.py").write_text("import cureclock.actions\n")
    said = " ".join(fails(CODE["contracts"], house, tmp_path).split())
    assert "cureclock.shop is not allowed to import cureclock.actions" in said


def test_django_in_the_core_fails_the_contracts(house: Path, tmp_path: Path) -> None:
    (house / "cureclock" / "core" / "odd.py").write_text("import django\n")
    assert "cureclock.core.odd -> django" in fails(CODE["contracts"], house, tmp_path)


@pytest.mark.slow
def test_wrong_type_fails_the_types(house: Path, tmp_path: Path) -> None:
    (house / "cureclock" / "core" / "odd.py").write_text('A: int = "one"\n')
    assert "odd.py:1: error: Incompatible types" in fails(CODE["types"], house, tmp_path)


@pytest.mark.slow
def test_model_without_its_migration_fails_the_migrations(house: Path, tmp_path: Path) -> None:
    for app in ("waits", "runtime"):  # one that has migrations, and one that has none yet
        with (house / "cureclock" / app / "models.py").open("a") as models:
            models.write("\nfrom django.db import models\n\nclass Odd(models.Model):\n    pass\n")
    assert fails(CODE["migrations"], house, tmp_path).count("Create model Odd") == 2


@pytest.mark.slow
def test_wrong_setting_fails_the_settings(
    house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CURECLOCK_THREADS", "0")
    assert "cureclock.E012" in fails(CODE["settings"], house, tmp_path)


@pytest.fixture
def front_end(tmp_path: Path) -> tuple[Path, list[Part]]:
    """A copy of the front end, and its parts pointed there."""
    webbuild.install_packages()
    left_out = shutil.ignore_patterns("node_modules")
    copy = tmp_path / "house" / "frontend"
    shutil.copytree(ROOT / "frontend", copy, ignore=left_out)
    (copy / "node_modules").mkdir()
    for name in (ROOT / "frontend" / "node_modules").iterdir():
        (copy / "node_modules" / name.name).symlink_to(name)
    (copy / "node_modules" / ".from-lock").unlink()
    shutil.copy(ROOT / "frontend" / "node_modules" / ".from-lock", copy / "node_modules")
    there = tmp_path / "house" / "cureclock" / "runtime" / "webbuild.py"
    there.parent.mkdir(parents=True)
    shutil.copy(webbuild.__file__, there)
    found = parts.front_end(tmp_path)
    return copy, [replace(p, command=(sys.executable, str(there), *p.command[2:])) for p in found]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("number", "file", "words"),
    [
        (0, "src/odd.ts", "export const one: number = 'one';\n"),
        (0, "src/sw/odd.ts", "export const page = document;\n"),
        (1, "tests/odd.test.ts", "import { expect, test } from 'vitest';\ntest('odd', () => expect(1).toBe(2));\n"),
        (2, "src/main.tsx", "this is not <a program"),
    ],
)  # fmt: skip
def test_broken_front_end_fails_its_part(
    front_end: tuple[Path, list[Part]], tmp_path: Path, number: int, file: str, words: str
) -> None:
    folder, found = front_end
    (folder / file).write_text(words)
    fails(found[number], folder.parent, tmp_path)


# Words of tests that are run by themselves, none of them ours: the skipped one is what a check that
# must not pass over anything is shown, and it has to call that trouble.
SAMPLES = {
    "passed": "def test_a():\n    pass\n",
    "failed": "def test_a():\n    assert False\n",
    "broken": "import no_such_thing\n",
    "in set-up": "import pytest\n@pytest.fixture\ndef f():\n    1 / 0\ndef test_a(f):\n    pass\n",
    "skipped": "import pytest\ndef test_a():\n    pytest.skip('passed over')\n",
    "empty": "",
}


def outcome_of(sample: str, tmp_path: Path) -> run.Outcome:
    """Of a real pytest run over one file that holds the sample."""
    file = tmp_path / "test_sample.py"
    file.write_text(SAMPLES[sample])
    bare = ("-c", os.devnull, "-p", "no:django", "-p", "no:schemathesis", "-p", "no:playwright")
    part = parts.run_pytest("of a sample", (*bare, str(file)), "plain", tmp_path)
    depth = part.command.index("--depth")
    part = replace(part, command=part.command[:depth] + part.command[depth + 2 :])
    return run.run(part, lambda _: None, dict(os.environ))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sample", "count", "trouble"),
    [
        ("passed", Count(1), ""),
        ("failed", Count(0, 1), "1 failed"),
        ("broken", Count(0, 1), "1 failed"),
        ("in set-up", Count(0, 1), "1 failed"),
        ("skipped", Count(0, 0, ("test_sample.test_a",)), "skipped, and so not shown"),
        ("empty", Count(0), "exit status 5"),
    ],
)
def test_tests_that_fail_skip_or_are_not_there_are_trouble(
    tmp_path: Path, sample: str, count: Count, trouble: str
) -> None:
    outcome = outcome_of(sample, tmp_path)
    assert outcome.count == count
    assert bool(outcome.trouble) == bool(trouble)
    assert outcome.trouble.startswith(trouble)


def python(words: str, count: Callable[[Path], Count] = parts.one, minutes: float = 1) -> Part:
    return Part("a part", (sys.executable, "-c", words), count, minutes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("part", "last", "good"),
    [
        (python(""), "checks: 1 passed, 0 failed", True),
        (python("", lambda _: Count(7)), "checks: 7 passed, 0 failed", True),
        (python("1/0"), "checks: 0 passed, 1 failed", False),
        (python("", lambda _: Count(7, 2)), "checks: 7 passed, 2 failed", False),
        (python("1/0", lambda _: Count(7)), "checks: 7 passed, 1 failed", False),
        (python("", lambda _: Count(0)), "checks: 0 passed, 1 failed", False),
        (python("", lambda _: Count(7, 0, ("one",))), "checks: 7 passed, 1 failed", False),
        (python("import time; time.sleep(9)", minutes=0.005), "checks: 0 passed, 1 failed", False),
        (Part("gone", ("/no/such/program",)), "checks: 0 passed, 1 failed", False),
    ],
)
def test_last_line_counts_what_was_shown_and_nothing_else(
    part: Part, last: str, good: bool
) -> None:
    said: list[str] = []
    assert run.run_all([part], said.append) is good
    assert said[-1] == last


def test_nothing_at_all_is_not_good() -> None:
    assert run.run_all([], lambda _: None) is False


def test_hosts_own_settings_do_not_reach_the_tests(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgres://a-real-shop")
    monkeypatch.setenv("CURECLOCK_PORT", "80")
    env = run.environment("/some/var")
    assert "DATABASE_URL" not in env
    assert {name: env[name] for name in env if name.startswith("CURECLOCK_")} == {
        "CURECLOCK_VAR": "/some/var"
    }


def test_each_depth_runs_all_that_the_one_below_does(tmp_path: Path) -> None:
    quick, plain, long = ({part.name for part in parts.parts_of(d, tmp_path)} for d in parts.DEPTHS)
    assert quick < plain < long


def test_every_room_of_tests_is_in_some_run() -> None:
    rooms = {path.name for path in (ROOT / "tests").iterdir() if any(path.glob("**/test_*.py"))}
    assert {Path(left).name for left in parts.RULES} <= rooms


def test_missing_programs_are_named_with_how_to_install_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    absent = machine.Program("Redis", "redis-server", lambda: False)
    monkeypatch.setattr(machine, "PROGRAMS", (absent,))
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    with pytest.raises(machine.Missing, match=r"sudo apt-get install .* redis-server"):
        machine.ensure(lambda _: None)


def test_missing_programs_are_installed_as_root_and_looked_for_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    there: list[str] = []
    absent = machine.Program("Redis", "redis-server", lambda: bool(there))
    monkeypatch.setattr(machine, "PROGRAMS", (absent,))
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    monkeypatch.setattr(shutil, "which", lambda *_, **__: "/usr/bin/apt-get")
    monkeypatch.setattr(machine, "install", there.extend)
    machine.ensure(lambda _: None)
    assert there == ["redis-server"]
    monkeypatch.setattr(machine, "install", lambda _: None)
    there.clear()
    with pytest.raises(machine.Missing, match="yet not found: Redis"):
        machine.ensure(lambda _: None)
