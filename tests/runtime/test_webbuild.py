"""The phone app is built when it changed, and the last good one stays until a new one is whole."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from cureclock.runtime import webbuild


@pytest.fixture
def house(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the front end with places of its own to build into."""
    webbuild.install_packages()
    source = webbuild.FRONTEND
    copy = tmp_path / "frontend"
    shutil.copytree(source, copy, ignore=shutil.ignore_patterns("node_modules", "dist"))
    (copy / "node_modules").symlink_to(source / "node_modules")
    monkeypatch.setattr(webbuild, "FRONTEND", copy)
    for name, path in (("WEB", ""), ("DIST", "dist"), ("STAMP", "stamp")):
        monkeypatch.setattr(webbuild, name, tmp_path / "web" / path)
    return copy


@pytest.mark.slow
def test_build_makes_a_page_a_worker_and_what_an_installed_app_needs(house: Path) -> None:
    assert webbuild.build(strict=True) is None
    made = {path.relative_to(webbuild.DIST).as_posix() for path in webbuild.DIST.rglob("*.*")}
    assert {"index.html", "sw.js", "manifest.webmanifest", "icon.svg"} <= made
    assert any(name.startswith("assets/") and name.endswith(".js") for name in made)


@pytest.mark.slow
def test_worker_keeps_the_page_as_root_and_never_as_index(house: Path) -> None:
    webbuild.build(strict=True)
    worker = (webbuild.DIST / "sw.js").read_text()
    assert "`/`" in worker or '"/"' in worker
    assert "index.html" not in worker


@pytest.mark.slow
def test_edit_is_built_and_nothing_else_is(house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    builds: list[None] = []
    really = webbuild.build_now
    monkeypatch.setattr(webbuild, "build_now", lambda: builds.append(really()))
    webbuild.build(strict=True)
    first = (webbuild.DIST / "sw.js").read_text()
    webbuild.build(strict=True)
    assert len(builds) == 1
    (house / "public" / "icon.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    webbuild.build(strict=True)
    assert len(builds) == 2
    assert (webbuild.DIST / "sw.js").read_text() != first, "phones would keep the old icon"


@pytest.mark.slow
def test_broken_source_fails_a_strict_build_and_leaves_the_last_one_served(house: Path) -> None:
    webbuild.build(strict=True)
    before = sorted(path.name for path in webbuild.DIST.rglob("*"))
    (house / "src" / "main.tsx").write_text("this is not <a program")
    with pytest.raises(webbuild.NotBuilt):
        webbuild.build(strict=True)
    told = webbuild.build(strict=False)
    assert told is not None
    assert "the last one built is served" in told
    assert sorted(path.name for path in webbuild.DIST.rglob("*")) == before


def test_first_build_that_fails_says_that_only_the_api_is_served(
    house: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: str) -> None:
        raise webbuild.NotBuilt("no network")

    monkeypatch.setattr(webbuild, "run_npm", fails)
    assert webbuild.build(strict=False) == (
        "The phone app could not be built (no network); only the API is served."
    )


def test_tests_of_the_app_are_not_part_of_what_is_built(house: Path) -> None:
    before = webbuild.digest()
    (house / "tests" / "another.test.ts").write_text("")
    assert webbuild.digest() == before
    (house / "src" / "another.ts").write_text("")
    assert webbuild.digest() != before


@pytest.mark.parametrize(
    ("said", "good"), [("v20.19.0", True), ("v24.1.0", True), ("v20.18.9", False), ("what", False)]
)
def test_node_too_old_for_the_build_is_passed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, said: str, good: bool
) -> None:
    for name in ("node", "npm"):
        (tmp_path / name).write_text(f"#!/bin/sh\necho {said}\n")
        (tmp_path / name).chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path}:/bin")
    assert webbuild.system_node() is good
