"""docs/reference/vocabulary.md has every gate by its key and word, and every cause of doubt."""

import re
from pathlib import Path

from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES
from cureclock.core.reminding.kinds import CAUSES
from cureclock.core.wording.catalogue import catalogue

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "reference" / "vocabulary.md").read_text()
GATES = {kind.key: kind for kind in (*JOINT_GATES, *COAT_GATES, *HOLD_GATES)}


def test_every_gate_is_listed_with_the_word_that_people_read_and_whether_it_can_hurt() -> None:
    rows = re.findall(r"(?m)^\| `([a-z_]+)` \| ([^|]+) \| (opens|closes)([^:]*):", PAGE)
    listed = {key: (word, way == "opens", "can hurt" in more) for key, word, way, more in rows}
    wanted = {
        key: (catalogue("en").template(f"gate.{key}.name"), kind.opens, kind.hurts)
        for key, kind in GATES.items()
    }
    assert listed == wanted


def test_every_cause_of_doubt_is_listed() -> None:
    told = PAGE.split("The causes of *suspect*:")[1].split("\n")[0]
    assert re.findall(r"`([a-z_]+)`", told) == list(CAUSES)
