"""docs/reference/settings.md lists every setting the program reads, and none that it does not."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "reference" / "settings.md"
ENVIRONMENT = r"CURECLOCK_[A-Z_]+|DATABASE_URL|REDIS_URL"
# A setting is read by one of the functions of runtime/environment.py, or from os.environ.
READ = re.compile(
    rf'(?:text|whole_number|yes_or_no|names|database|mail|environ\.get)\(\s*"({ENVIRONMENT})"'
)
ROW = re.compile(rf"(?m)^\| `({ENVIRONMENT})` \| (.+) \| (.+) \|$")


def read_by_the_program() -> set[str]:
    code = [ROOT / "manage.py", *(ROOT / "cureclock").rglob("*.py")]
    return {name for file in code for name in READ.findall(file.read_text())}


def test_every_setting_is_documented_and_every_documented_one_is_read() -> None:
    assert read_by_the_program() == {row[0] for row in ROW.findall(PAGE.read_text())}


def test_each_is_listed_once_with_what_it_is_as_it_comes_and_what_it_does() -> None:
    rows = ROW.findall(PAGE.read_text())
    assert len({name for name, _, _ in rows}) == len(rows)
    assert all(len(meaning.split()) > 2 for _, _, meaning in rows)


def test_setting_that_is_read_is_seen() -> None:
    assert READ.findall('PORT = whole_number("CURECLOCK_PORT", 8000)') == ["CURECLOCK_PORT"]
    assert READ.findall('os.environ.get("CURECLOCK_VENV")') == ["CURECLOCK_VENV"]


def test_environment_is_read_in_the_known_places_only() -> None:
    """So that no setting is read by a way the test above does not see."""
    known = {
        "manage.py",
        "cureclock/runtime/environment.py",
        "cureclock/runtime/webbuild.py",  # PATH, for Node
        "cureclock/runtime/celery.py",
        "cureclock/runtime/wsgi.py",
        "cureclock/runtime/management/commands/up.py",
        "cureclock/runtime/whole_check/run.py",
        "cureclock/runtime/whole_check/machine.py",
    }
    code = [ROOT / "manage.py", *(ROOT / "cureclock").rglob("*.py")]
    found = {
        file.relative_to(ROOT).as_posix()
        for file in code
        if re.search(r"os\.environ|os\.getenv|environ\.Env\(", file.read_text())
    }
    assert found <= known
