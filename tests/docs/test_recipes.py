"""The four recipes of DEVELOPERS.md, followed to the letter in a copy of the house."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.plugin import STARTED

ROOT = Path(__file__).resolve().parents[2]
RECIPES = (ROOT / "DEVELOPERS.md").read_text("utf-8").split("## Four recipes")[1]
SHEET = (ROOT / "docs" / "how-to" / "add-a-material.md").read_text("utf-8")
LEFT_OUT = shutil.ignore_patterns("__pycache__", "web", "node_modules", "pictures", "*.png")
COPIED = ("cureclock", "tests", "docs")
BLOCK = re.compile(r"(?ms)^( *)```(python|toml)\n(.*?)^ *```$")

PROOF = '''
"""What the recipes promise, tried in the copy."""

from types import SimpleNamespace

import pytest

from cureclock.actions.registry import verbs
from cureclock.reminders.channels.message import Address
from cureclock.reminders.channels.registry import CHANNELS
from cureclock.reminders.outcome import Accepted, Fault
from cureclock.waits.models import Gate
from cureclock.waits.rebuild import differences
from tests.api.door import paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db
HOUR_US = 3_600_000_000


def shop(family="pva_interior", values=None):
    cast = Cast.open()
    cast.place()
    cast.material(family=family, values={} if values is None else values)
    cast.piece("A-1")
    cast.read("Mon 00:00", 20.0, 50.0)
    cast.spread("G", ["A-1"], "Mon 08:00")
    cast.press("G", "Mon 08:05")
    return cast


def test_the_new_kind_of_glue_is_chosen_and_waited_for():
    shop("hide_cold_example")
    assert Gate.objects.get(kind="clamps_off").need_us == 12 * HOUR_US


def test_the_new_channel_delivers_and_says_when_it_cannot(tmp_path):
    message, book = SimpleNamespace(title="Take clamps off"), tmp_path / "book"
    send = CHANNELS["notebook"].send
    assert isinstance(send(Address(str(book)), message, None), Accepted)
    assert book.read_text() == "Take clamps off\\n"
    assert isinstance(send(Address(str(tmp_path / "no" / "book")), message, None), Fault)


def test_the_new_verb_is_told_by_a_phone_and_known_the_second_time():
    cast = shop()
    phone = paired(cast)
    tap = phone.tap("lamp_on", "Mon 09:00", glue_up=str(cast.id("G")))
    assert [one["outcome"] for one in phone.tell(tap, at="Mon 09:01")] == ["applied"]
    assert [one["outcome"] for one in phone.tell(tap, at="Mon 09:02")] == ["known"]
    assert "lamp_on" in verbs()


def test_the_new_gate_opens_is_shown_and_rebuilt_the_same():
    cast = shop(values={"dowel": 6, "states_rule": True})
    gate = Gate.objects.get(kind="dowel")
    assert gate.need_us == 6 * HOUR_US
    phone = paired(cast)
    (group,) = phone.get("view", "Mon 09:00").json()["groups"]
    assert "dowel" in [one["kind"] for one in group["gates"]]
    assert differences(cast.workshop, when("Mon 12:00")) == []
'''
# Tests that the recipes say will ask for a line somewhere.
ASKING = (
    "tests/docs/test_channels.py",
    "tests/docs/test_api.py",
    "tests/docs/test_vocabulary.py",
    "tests/core/test_wording.py",
)


def blocks(text: str, language: str) -> list[str]:
    return [
        re.sub(rf"(?m)^{space}", "", body)
        for space, kind, body in BLOCK.findall(text)
        if kind == language
    ]


def add(path: Path, before: str, more: str) -> None:
    """Put something before the only place where something stands."""
    text = path.read_text("utf-8")
    assert text.count(before) == 1, (path.name, before, text.count(before))
    path.write_text(text.replace(before, more + before), "utf-8")


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    house = tmp_path_factory.mktemp("house")
    for folder in COPIED:
        shutil.copytree(ROOT / folder, house / folder, ignore=LEFT_OUT)
    shutil.copytree(ROOT / "frontend" / "src", house / "frontend" / "src")
    for name in ("pyproject.toml", "manage.py", "README.md", "DEVELOPERS.md"):
        shutil.copy(ROOT / name, house / name)
    return house


def follow(house: Path) -> None:
    product, docs = house / "cureclock", house / "docs" / "reference"
    (sheet,) = (one for one in blocks(SHEET, "toml") if "hide_cold_example" in one)
    (product / "core/materials/data/adhesives/hide_cold_example.toml").write_text(sheet, "utf-8")
    for block in blocks(RECIPES, "python"):
        first, rest = block.split("\n", 1)
        (house / first.removeprefix("# ")).write_text(rest, "utf-8")
    registry = product / "reminders/channels/registry.py"
    notebook = "from cureclock.reminders.channels.notebook import Notebook\n"
    add(registry, "from cureclock.reminders.channels.notifier", notebook)
    add(registry, "WebPush(), Webhook())", "Notebook(), ")
    add(docs / "channels.md", "| `memory` | nobody", "| `notebook` | a file | its path |\n")
    add(docs / "api.md", "| `lot_taken_in`", "| `lamp_on` | A lamp was put over it. |\n")
    add(docs / "vocabulary.md", "| `heavy`", "| `dowel` | dowels | opens: dowels may go in | |\n")
    add(product / "core/gates.py", '    GateKind("heavy"),', '    GateKind("dowel"),\n')
    add(product / "core/materials/vocabulary.py", '    "heavy",\n    "spin"', '    "dowel",\n')
    (words,) = blocks(RECIPES, "toml")
    add(product / "core/wording/en.toml", "[gate.heavy]", words)


def run(house: Path, *tests: str) -> subprocess.CompletedProcess[str]:
    """Tests of the copy, on a stage of its own: this one's records are in use."""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *tests]
    env = {name: value for name, value in os.environ.items() if name != STARTED}
    return subprocess.run(command, cwd=house, capture_output=True, text=True, check=False, env=env)


@pytest.mark.slow
def test_each_recipe_followed_gives_what_it_promises(copy: Path) -> None:
    follow(copy)
    (copy / "tests" / "api" / "test_proof.py").write_text(PROOF, "utf-8")
    done = run(copy, "tests/api/test_proof.py", *ASKING)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
