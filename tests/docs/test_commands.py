"""Every command that the docs give exists with every option they give it, and none is left out."""

import argparse
import re
from pathlib import Path

from django.core.management import get_commands, load_command_class

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
GIVEN = re.compile(r"python3? manage\.py ([a-z_]+)([^`\n#|]*)")
ROOM = "cureclock.runtime"


def ours() -> set[str]:
    return {name for name, app in get_commands().items() if app == ROOM}


def options(command: str) -> set[str]:
    parser: argparse.ArgumentParser = load_command_class(
        get_commands()[command], command
    ).create_parser("manage.py", command)
    return {option for action in parser._actions for option in action.option_strings}


def unknown(text: str) -> list[str]:
    """Commands, or options of commands, that are given in a text and do not exist."""
    found = []
    for command, rest in GIVEN.findall(text):
        if command not in get_commands():
            found.append(command)
            continue
        known = options(command)
        found += [one for one in re.findall(r"--[a-z][a-z-]*", rest) if one not in known]
    return found


def test_every_command_that_is_given_exists() -> None:
    given = {page.name: unknown(page.read_text("utf-8")) for page in PAGES}
    assert {page: wrong for page, wrong in given.items() if wrong} == {}


def missing(text: str) -> list[str]:
    """Programs of ours beside manage.py that a text says to run and that are not there."""
    named = re.findall(r"python3 (?:-m ([\w.]+)|([\w/]+\.py))", text)
    paths = [module.replace(".", "/") + ".py" if module else path for module, path in named]
    return [path for path in paths if not (ROOT / path).exists()]


def test_every_other_program_that_is_given_is_there() -> None:
    given = {page.name: missing(page.read_text("utf-8")) for page in PAGES}
    assert {page: gone for page, gone in given.items() if gone} == {}
    assert missing("`python3 -m tests.gone` and `python3 manage.py up`") == ["tests/gone.py"]


def test_unknown_ones_are_seen() -> None:
    text = "`python3 manage.py fly` and `python3 manage.py up --sideways --port 1`"
    assert unknown(text) == ["fly", "--sideways"]


def test_each_of_ours_stands_on_the_page_of_commands_with_its_options() -> None:
    page = (ROOT / "docs" / "reference" / "commands.md").read_text("utf-8")
    rows = dict(re.findall(r"(?m)^\| `python3 manage\.py ([a-z_]+)[^`]*` \| (.+) \|$", page))
    assert set(rows) == ours()
    usual = options("check") | {"--skip-checks"}
    for command, told in rows.items():
        lacking = {one for one in options(command) - usual if f"`{one}`" not in told}
        assert lacking == set(), command
