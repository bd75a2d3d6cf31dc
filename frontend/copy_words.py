"""Copies what the server says into the app, so that a phone without a signal says the same.

Run after the server's catalogue changed; a test of the app holds the copy to it.
"""

import json
import tomllib
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
CATALOGUES = HERE.parent / "cureclock" / "core" / "wording"
WORDS = HERE / "src" / "words"
ROOMS = ("gate", "suspect", "lathe", "caution", "otherwise")


def flat(table: dict[str, Any], at: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, value in table.items():
        key = f"{at}.{name}"
        found |= flat(value, key) if isinstance(value, dict) else {key: value}
    return found


def main() -> None:
    for path in sorted(CATALOGUES.glob("*.toml")):
        told = tomllib.loads(path.read_text(encoding="utf-8"))
        kept = {key: text for room in ROOMS for key, text in flat(told[room], room).items()}
        out = WORDS / path.stem / "said.json"
        out.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
