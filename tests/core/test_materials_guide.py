"""The guide to adding a material: its example works, and it leaves out no field."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.figure import Source
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.hold import Hold
from cureclock.core.materials.library import sources
from cureclock.core.materials.merge import PARAMETERS, with_label
from cureclock.core.materials.sheet import read_family, read_sources
from cureclock.core.refusal import Refused

GUIDE = Path(__file__).parents[2] / "docs" / "how-to" / "add-a-material.md"
TEXT = GUIDE.read_text("utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", TEXT, re.DOTALL)


def test_the_example_sheet_of_the_guide_is_read_from_a_file_and_gives_a_label(tmp_path):
    sheet = tmp_path / "hide_cold_example.toml"
    sheet.write_text(EXAMPLES[0], "utf-8")
    glue = read_family(sheet.read_text("utf-8"), sources(), sheet.name)
    assert isinstance(glue, Adhesive)
    label = with_label(glue, {"clamps_off": 10, "spin": 48})
    assert label.gate("clamps_off").hours == 10
    assert label.gate("light").upper_hours == 24  # 16 h, unread, no range
    assert label.gate("spin").read
    assert "spin" not in glue.gates


def test_the_example_without_a_source_is_refused(tmp_path):
    sheet = tmp_path / "hide_cold_example.toml"
    sheet.write_text(EXAMPLES[0].replace('source = "memory", ', "", 1), "utf-8")
    with pytest.raises(Refused, match=r"hide_cold_example\.toml, min_c, source"):
        read_family(sheet.read_text("utf-8"), sources(), sheet.name)


def test_the_example_of_a_source_and_of_printed_rows_are_read():
    own = read_sources(EXAMPLES[1])
    assert own["my_book"].page == "table 3"
    head = 'key = "x"\nname = "X"\nrole = "adhesive"\nresponse = "table"\n'
    glue = read_family(head + EXAMPLES[2], own)
    assert len(glue.gates["clamps_off"].rows) == 4


@pytest.mark.parametrize("cls", [Adhesive, Finish, Hold, Source])
def test_the_guide_names_every_field_of_a_sheet(cls):
    named = set(re.findall(r"`(\w+)`", TEXT)) | set(re.findall(r"^(\w+) = ", TEXT, re.MULTILINE))
    assert {item.name for item in fields(cls)} - named == set()


def test_the_guide_names_everything_a_label_may_say():
    named = set(re.findall(r"`(\w+)`", TEXT))
    assert {*PARAMETERS, "second"} - named == set()
