"""Take the pictures of every screen anew, in the demo shop, into docs/pictures."""

import subprocess
import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from cureclock.runtime.webbuild import ROOT


class Command(BaseCommand):
    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("only", nargs="?", default="", help="screens whose name has this in it")

    def handle(self, *_args: Any, **options: Any) -> None:
        shown = ["-q", "-s", "-p", "no:xdist", "-o", "python_files=shoot_*.py"]
        chosen = ["-k", options["only"]] if options["only"] else []
        command = [sys.executable, "-m", "pytest", *shown, *chosen, "tests/browser"]
        sys.exit(subprocess.call(command, cwd=ROOT))
