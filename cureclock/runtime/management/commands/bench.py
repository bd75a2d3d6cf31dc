"""Measure, print, and judge by ratios taken in the same run: tests/bench."""

import subprocess
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from cureclock.runtime.webbuild import ROOT


class Command(BaseCommand):
    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("paths", nargs="*", default=["tests/bench"])
        parser.add_argument("--real", action="store_true", help="on PostgreSQL and Redis")

    def handle(self, *_args: Any, **options: Any) -> None:
        shown = ["-q", "-s", "-p", "no:xdist", "-o", "python_files=bench_*.py"]
        real = ["--real"] if options["real"] else []
        command = [sys.executable, "-m", "pytest", *shown, *real, *options["paths"]]
        sys.exit(subprocess.call(command, cwd=ROOT))
