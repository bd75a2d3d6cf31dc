"""manage.py brings its own environment along, once, and again when what it needs has changed."""

import importlib.util
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
LOCKS = ("requirements-base.lock", "requirements-test.lock")


@pytest.fixture
def manage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """manage.py over a tree of its own; what it would do is noted in `done` instead."""
    spec = importlib.util.spec_from_file_location("manage", ROOT / "manage.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    runtime = tmp_path / "cureclock" / "runtime"
    runtime.mkdir(parents=True)
    for file in (tmp_path / "pyproject.toml", *(runtime / name for name in LOCKS)):
        file.write_text(file.name)
    venv = tmp_path / ".venv"
    done: list[str] = []

    def make(*, clear: bool) -> None:
        done.append("clear" if clear else "make")
        module.PYTHON.parent.mkdir(parents=True, exist_ok=True)
        module.PYTHON.touch()

    monkeypatch.setattr(module, "ROOT", tmp_path)
    monkeypatch.setattr(module, "PYTHON", venv / "bin" / "python")
    monkeypatch.setattr(module, "STAMP", venv / ".cureclock")
    monkeypatch.setattr(module, "make_environment", lambda clear: make(clear=clear))
    monkeypatch.setattr(module, "install", done.append)
    module.done = done  # type: ignore[attr-defined]
    return module


def test_first_start_makes_the_environment_and_the_second_does_nothing(manage: ModuleType) -> None:
    manage.bootstrap("base")
    assert manage.done == ["make", "base"]
    manage.bootstrap("base")
    assert manage.done == ["make", "base"]


def test_tools_for_tests_are_added_when_they_are_asked_for(manage: ModuleType) -> None:
    manage.bootstrap("base")
    manage.bootstrap("test")
    manage.bootstrap("test")
    manage.bootstrap("base")
    assert manage.done == ["make", "base", "test"]


@pytest.mark.parametrize("name", ["pyproject.toml", f"cureclock/runtime/{LOCKS[0]}"])
def test_changed_needs_are_installed(manage: ModuleType, name: str) -> None:
    manage.bootstrap("base")
    (manage.ROOT / name).write_text("changed")
    manage.bootstrap("base")
    assert manage.done == ["make", "base", "base"]


def test_environment_of_another_python_is_made_anew(manage: ModuleType) -> None:
    manage.bootstrap("base")
    manage.STAMP.write_text(manage.STAMP.read_text().replace(manage.python_name(), "python3.10"))
    manage.bootstrap("base")
    assert manage.done == ["make", "base", "clear", "base"]


def test_failed_install_is_tried_again_at_the_next_start(
    manage: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(_: str) -> None:
        sys.exit("no network")

    install = manage.install
    monkeypatch.setattr(manage, "install", fails)
    with pytest.raises(SystemExit):
        manage.bootstrap("base")
    monkeypatch.setattr(manage, "install", install)
    manage.bootstrap("base")
    assert manage.done == ["make", "base"]


def test_old_python_is_told_so_before_anything_is_made(
    manage: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer"):
        manage.bootstrap("base")
    assert manage.done == []


def test_python_without_the_packages_is_told_what_to_do(tmp_path: Path) -> None:
    ended = subprocess.run(
        [sys.executable, "-S", str(ROOT / "manage.py"), "up"],  # -S: without its packages
        env={"CURECLOCK_NO_VENV": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 1
    assert "lacks CureClock's packages" in ended.stderr
    assert "Traceback" not in ended.stderr
