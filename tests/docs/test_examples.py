"""What docstrings outside the core show is what comes out too."""

import doctest
import importlib
import pkgutil
from pathlib import Path

import pytest

import cureclock

ROOM = Path(cureclock.__file__).parent
MODULES = [
    found.name
    for found in pkgutil.walk_packages(cureclock.__path__, "cureclock.")
    if not found.name.startswith("cureclock.core.")
    if (file := ROOM.parent / f"{found.name.replace('.', '/')}.py").exists()
    if ">>> " in file.read_text("utf-8")
]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_come_out_as_printed(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0
