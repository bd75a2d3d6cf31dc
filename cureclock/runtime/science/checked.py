"""What the numbers were checked against: the rows that the published checks left behind."""

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from cureclock.runtime.webbuild import ROOT

KEPT = ROOT / "docs" / "reference" / "checked.json"
REGISTER = Path("v") / "cureclock" / "checked"  # inside the folder of a run's notes
NOISE = 1e-9  # differences below this share of the figure are rounding, other on every machine

Rows = Mapping[str, Sequence[Mapping[str, Any]]]


def kept() -> Rows:
    """The rows in the repository, by test."""
    rows: Rows = json.loads(KEPT.read_text("utf-8"))
    return rows


def keep(register: Path) -> int:
    """Keep what a run of the published checks left; how many rows."""
    rows: Rows = json.loads(register.read_text("utf-8"))
    KEPT.write_text(json.dumps(rows, indent=1, sort_keys=True, ensure_ascii=False) + "\n", "utf-8")
    return sum(len(own) for own in rows.values())


def lines_of(rows: Rows) -> Iterable[str]:
    """The table: of many figures the pair furthest apart is shown."""
    yield "| quantity | source | figures | ours | theirs | difference |"
    yield "|---|---|---|---|---|---|"
    for test in sorted(rows):
        for row in rows[test]:
            cells = (row["quantity"], row["source"], row["cells"], row["ours"], row["theirs"])
            told = " | ".join(_cell(cell) for cell in cells)
            yield f"| {told} | {_difference(row)} |"


def _difference(row: Mapping[str, Any]) -> str:
    apart = row["difference"]
    if apart is None:
        return "in words"
    if isinstance(row["theirs"], str):
        return "none" if apart == 0 else str(apart)
    size = max(abs(float(row["theirs"])), 1.0)
    return "none" if apart <= NOISE * size else f"{apart:.2g}"


def _cell(value: object) -> str:
    text = f"{value:.5g}" if isinstance(value, float) else str(value)
    return " ".join(text.replace("|", "\\|").split())
