"""Measure, print, and judge by ratios taken in the same run: tests/bench."""

import subprocess
import sys
import tempfile
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from cureclock.runtime.webbuild import ROOT


class Command(BaseCommand):
    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("paths", nargs="*", default=["tests/bench"])
        parser.add_argument("--real", action="store_true", help="on PostgreSQL and Redis")
        parser.add_argument("--both", action="store_true", help="once each way, then one table")

    def handle(self, *_args: Any, **options: Any) -> None:
        shown = ["-q", "-s", "-p", "no:xdist", "-o", "python_files=bench_*.py"]
        ways = ([], ["--real"]) if options["both"] else (["--real"] if options["real"] else [],)
        with tempfile.NamedTemporaryFile("r", encoding="utf-8") as table:
            shown += ["--table", table.name]
            failed = [
                subprocess.call(
                    [sys.executable, "-m", "pytest", *shown, *way, *options["paths"]],
                    cwd=ROOT,
                )
                for way in ways
            ]
            self.stdout.write(table.read())
        sys.exit(max(failed))
