"""Make every plan that is due anew, once; `up` and `remind` have it done whenever it is time."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from cureclock.planner.stale import mark_every_stale
from cureclock.runtime.clock import SystemClock
from cureclock.runtime.planning import make_due


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--all", action="store_true", help="also those that still hold")

    def handle(self, *_args: Any, **options: Any) -> None:
        clock = SystemClock()
        if options["all"]:
            mark_every_stale(clock.now())
        make_due(clock, at_once=options["all"])
