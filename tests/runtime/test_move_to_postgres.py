"""From SQLite to a real PostgreSQL by one command: every row arrives, and the estimates agree."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.servers import Postgres

ROOT = Path(__file__).resolve().parents[2]
FILL = """
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.intake.whole_shop import whole_shop
whole_shop()
from cureclock.shop.models import Event
print(Event.objects.count())
"""
COUNT = "import django; django.setup()\nfrom cureclock.shop.models import Event\nprint(Event.objects.count())"


def run(*words: str, var: Path, url: str = "") -> "subprocess.CompletedProcess[str]":
    own = {**os.environ, "CURECLOCK_VAR": str(var), "DATABASE_URL": url, "REDIS_URL": ""}
    own |= {"DJANGO_SETTINGS_MODULE": "cureclock.runtime.settings", "PYTHONPATH": str(ROOT)}
    command = [sys.executable, *words]
    return subprocess.run(command, env=own, cwd=ROOT, capture_output=True, text=True, check=False)


@pytest.mark.slow
@pytest.mark.scaled
def test_every_row_arrives_once_and_a_second_move_is_refused(tmp_path: Path) -> None:
    server = Postgres()
    try:
        filled = run("-c", FILL, var=tmp_path)
        assert filled.returncode == 0, filled.stderr
        moved = run("manage.py", "move_to_postgres", server.url, var=tmp_path)
        assert moved.returncode == 0, moved.stderr
        assert "rows have arrived" in moved.stdout
        assert run("-c", COUNT, var=tmp_path, url=server.url).stdout == filled.stdout
        again = run("manage.py", "move_to_postgres", server.url, var=tmp_path)
        assert again.returncode != 0
        assert "give an empty one" in again.stderr
    finally:
        server.stop()
