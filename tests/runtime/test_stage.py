"""The stage that tests are played on: who clears it away, and in what order its records come."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from tests.plugin import STARTED


def test_a_run_inside_a_test_leaves_its_stage_standing() -> None:
    command = [sys.executable, "-m", "pytest", "-q", "--collect-only", "-p", "no:cacheprovider"]
    ended = subprocess.run([*command, __file__], capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stdout
    assert Path(os.environ[STARTED]).is_dir()


@pytest.mark.embedded
@pytest.mark.django_db
def test_rows_that_nobody_asked_in_order_come_the_other_way_round() -> None:
    with connection.cursor() as cursor:
        cursor.execute("CREATE TEMPORARY TABLE told AS SELECT 1 AS number UNION ALL SELECT 2")
        cursor.execute("SELECT number FROM told")
        assert cursor.fetchall() == [(2,), (1,)]
