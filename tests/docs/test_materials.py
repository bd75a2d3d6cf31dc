"""docs/how-to/add-a-material.md names every field that a sheet may have and a label may say."""

import re
from dataclasses import fields
from pathlib import Path

import pytest

from cureclock.core.materials.adhesive import Adhesive
from cureclock.core.materials.finish import Finish
from cureclock.core.materials.hold import Hold
from cureclock.core.materials.merge import PARAMETERS

PAGE = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "add-a-material.md"
NAMED = set(re.findall(r"`([a-z_0-9]+)`", PAGE.read_text("utf-8")))


@pytest.mark.parametrize("kind", [Adhesive, Finish, Hold], ids=lambda kind: kind.__name__)
def test_every_field_of_a_sheet_is_told(kind: type) -> None:
    assert {field.name for field in fields(kind)} - NAMED == set()


def test_every_parameter_a_label_may_say_is_told() -> None:
    said = PAGE.read_text("utf-8").split("## What a label may say")[1]
    assert set(PARAMETERS) - set(re.findall(r"`([a-z_0-9]+)`", said)) == set()
