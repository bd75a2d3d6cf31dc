"""What the app says without a signal is what the server says: the copy is the catalogue."""

import json
import tomllib
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]


def copier() -> ModuleType:
    spec = spec_from_file_location("copy_words", ROOT / "frontend" / "copy_words.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_apps_copy_of_what_the_server_says_is_in_step() -> None:
    copy = copier()
    catalogues = sorted(copy.CATALOGUES.glob("*.toml"))
    assert [path.stem for path in catalogues] == ["en"]
    for path in catalogues:
        told = tomllib.loads(path.read_text(encoding="utf-8"))
        wanted = {k: v for room in copy.ROOMS for k, v in copy.flat(told[room], room).items()}
        kept = json.loads((copy.WORDS / path.stem / "said.json").read_text(encoding="utf-8"))
        assert kept == wanted, "run `python3 frontend/copy_words.py`"
