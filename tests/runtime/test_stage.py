"""The stage that tests are played on is cleared away by whoever set it, and by nobody else."""

import os
import subprocess
import sys
from pathlib import Path

from tests.plugin import STARTED


def test_a_run_inside_a_test_leaves_its_stage_standing() -> None:
    command = [sys.executable, "-m", "pytest", "-q", "--collect-only", "-p", "no:cacheprovider"]
    ended = subprocess.run([*command, __file__], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout
    assert Path(os.environ[STARTED]).is_dir()
