"""What the docstrings of the core show is what comes out: every example of every module."""

import doctest
import importlib
import pkgutil
import subprocess
import sys

import pytest

from cureclock import core
from cureclock.core import planning

MODULES = [found.name for found in pkgutil.walk_packages(core.__path__, f"{core.__name__}.")]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_come_out_as_printed(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_the_solver_is_not_loaded_until_something_is_solved():
    planned = [name for name in MODULES if name.startswith(planning.__name__)]
    lines = [f"import {name}" for name in planned]
    script = "\n".join([*lines, "import sys", "assert 'ortools' not in sys.modules"])
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0
