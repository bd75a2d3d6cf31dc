"""Remake the lists of exact packages after an edit of pyproject.toml."""

import shutil
import subprocess
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from cureclock.runtime import locks


class Command(BaseCommand):
    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--upgrade", action="store_true", help="also take newer releases")

    def handle(self, *_args: Any, **options: Any) -> None:
        uv = shutil.which("uv")
        if uv is None:
            raise CommandError("`lock` needs uv: python3 -m pip install uv, or your system's own.")
        try:
            locks.remake(uv, upgrade=options["upgrade"])
        except subprocess.CalledProcessError as failed:
            raise CommandError("uv could not settle the versions; it says why above.") from failed
        for which in locks.EXTRAS:
            self.stdout.write(f"wrote {locks.lock_file(which).name}")
