"""Check everything: format, lint, types, contracts, migrations, tests, front end, docs."""

import sys
import tempfile
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from cureclock.runtime.whole_check import machine, parts, run


class Command(BaseCommand):
    help = __doc__
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("paths", nargs="*", help="only these tests, and none of the rest")
        depth = parser.add_mutually_exclusive_group()
        depth.add_argument(
            "--quick",
            action="store_const",
            dest="depth",
            const="quick",
            help="no servers, no browser: under two minutes",
        )
        depth.add_argument(
            "--long",
            action="store_const",
            dest="depth",
            const="long",
            help="also what takes minutes each; hours in all",
        )
        parser.set_defaults(depth="plain")

    def handle(self, *_args: Any, **options: Any) -> None:
        depth, paths = options["depth"], options["paths"]
        if depth != "quick":
            try:
                machine.ensure(self.say, long=depth == "long")
            except machine.Missing as missing:
                raise CommandError(str(missing)) from missing
        with tempfile.TemporaryDirectory(prefix="cureclock-report-") as folder:
            report = Path(folder)
            chosen = (
                parts.parts_of_paths(paths, depth, report)
                if paths
                else parts.parts_of(depth, report)
            )
            good = run.run_all(chosen, self.say)
        sys.exit(0 if good else 1)

    def say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
