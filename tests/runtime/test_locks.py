"""The lists of exact packages are in step with pyproject.toml, and name no host."""

import re
import tomllib

import pytest
from packaging.requirements import Requirement

from cureclock.runtime import locks

PYPROJECT = (locks.ROOT / "pyproject.toml").read_bytes()
REMAKE = "python3 manage.py lock"


@pytest.mark.parametrize("which", ["base", "test"])
def test_lock_was_made_from_pyproject_as_it_stands(which: str) -> None:
    assert locks.in_step(which, PYPROJECT), f"pyproject.toml has changed; remake with: {REMAKE}"


@pytest.mark.parametrize("which", ["base", "test"])
def test_sign_changes_with_what_is_asked_for_and_with_nothing_else(which: str) -> None:
    sign = locks.sign(which, PYPROJECT)
    asked = PYPROJECT.replace(b'"cheroot>=11"', b'"cheroot>=12"')
    other = PYPROJECT.replace(b"line-length = 100", b"line-length = 99")
    assert asked != PYPROJECT != other
    assert locks.sign(which, asked) != sign
    assert locks.sign(which, other) == sign


@pytest.mark.parametrize("which", ["base", "test"])
def test_lock_holds_a_version_of_everything_asked_for(which: str) -> None:
    project = tomllib.loads(PYPROJECT.decode())["project"]
    asked = [*project["dependencies"]]
    asked += [
        line for extra in locks.EXTRAS[which] for line in project["optional-dependencies"][extra]
    ]
    held = versions(which)
    for requirement in map(Requirement, asked):
        name = requirement.name.lower().replace("_", "-")
        assert name in held, f"{name} is in no lock; remake with: {REMAKE}"
        assert any(requirement.specifier.contains(version) for version in held[name]), name


def test_what_is_served_is_what_was_tested() -> None:
    tested = versions("test")
    assert {name: tested.get(name) for name in versions("base")} == versions("base")


@pytest.mark.parametrize("which", ["base", "test"])
def test_every_package_is_held_by_hash_and_from_no_named_host(which: str) -> None:
    words = locks.lock_file(which).read_text()
    assert "://" not in words
    blocks = re.split(r"\n(?=\S)", words.split("\n", 1)[1])
    assert all("--hash=sha256:" in block for block in blocks)


def test_packages_of_the_phone_app_are_held_by_hash_and_from_no_named_host() -> None:
    words = (locks.ROOT / "frontend" / "package-lock.json").read_text()
    assert '"integrity": "sha512-' in words
    assert '"resolved"' not in words


def versions(which: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, version in re.findall(
        r"(?m)^([a-z0-9.-]+)(?:\[[a-z,-]+\])?==(\S+)", locks.lock_file(which).read_text()
    ):
        found.setdefault(name, []).append(version)
    return found
