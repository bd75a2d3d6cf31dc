"""docs/reference/channels.md lists every channel, and none that is not there."""

import re
from pathlib import Path

from cureclock.reminders.channels.registry import CHANNELS

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "channels.md"


def test_every_channel_is_listed_and_every_listed_one_is_known() -> None:
    table = PAGE.read_text("utf-8").split("\n## ")[0]
    assert set(re.findall(r"(?m)^\| `([a-z]+)` \|", table)) == set(CHANNELS)
