"""The version of the package is the newest that the page of changes names."""

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_the_newest_named_version_is_the_one_that_is_packed() -> None:
    packed = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    page = (ROOT / "docs" / "changelog.md").read_text("utf-8")
    assert re.findall(r"(?m)^## (\d+\.\d+\.\d+)", page)[0] == packed
