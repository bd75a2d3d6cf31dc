"""The top of the tree is what a newcomer is told to expect, and no more."""

import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TOP = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "manage.py",
    "cureclock",
    "frontend",
    "tests",
    "docs",
}
MAY_BE = {"LICENSE", "CHANGELOG.md"}


def test_top_level_holds_what_it_should_and_nothing_else() -> None:
    kept = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    top = {line.split("/")[0] for line in kept}
    shown = {name for name in top if not name.startswith(".")}
    assert shown - MAY_BE == TOP


def test_nothing_made_by_running_is_kept() -> None:
    kept = subprocess.run(
        ["git", "ls-files", "-ci", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert kept == ""
