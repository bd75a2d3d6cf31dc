"""Write docs/reference/science.md; with --fill the published checks are run first."""

import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from cureclock.runtime.science import checked
from cureclock.runtime.science.page import PAGE, page
from cureclock.runtime.webbuild import ROOT

RUN = ("-m", "pytest", "-q", "-p", "no:xdist", "--depth", "long", "tests/published")


class Command(BaseCommand):
    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--fill", action="store_true", help="run the published checks first")
        parser.add_argument("--check", action="store_true", help="write nothing; say if it is old")

    def handle(self, *_args: Any, **options: Any) -> None:
        if options["fill"]:
            self.stdout.write(f"{_filled()} rows of checks kept")
        told = page()
        if options["check"]:
            if not PAGE.exists() or PAGE.read_text("utf-8") != told:
                raise CommandError("docs/reference/science.md is old: run manage.py science")
            return
        PAGE.write_text(told, "utf-8")
        self.stdout.write(f"{PAGE.relative_to(ROOT)}: {len(told.splitlines())} lines")


def _filled() -> int:
    """Run the published checks with a register of their own, and keep what they leave."""
    with tempfile.TemporaryDirectory() as folder:
        if subprocess.call([sys.executable, *RUN, "-o", f"cache_dir={folder}"], cwd=ROOT):
            raise CommandError("a published check failed: nothing is written")
        return checked.keep(Path(folder) / checked.REGISTER)
