"""The example in each docstring of the plan's rooms says what it does."""

import doctest
import importlib
import pkgutil

import pytest

from cureclock.core import planning

MODULES = [f"{planning.__name__}.{one.name}" for one in pkgutil.iter_modules(planning.__path__)]


@pytest.mark.parametrize("name", MODULES)
def test_examples_hold(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_the_solver_is_not_loaded_until_something_is_solved():
    import subprocess
    import sys

    lines = [f"import {name}" for name in MODULES]
    script = "\n".join([*lines, "import sys", "assert 'ortools' not in sys.modules"])
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0
