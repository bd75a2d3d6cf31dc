"""Make every estimate anew from the facts, or check that nothing would change."""

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from cureclock.shop.models import Workshop
from cureclock.waits.rebuild import differences, rebuild


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--check",
            action="store_true",
            help="change nothing; say what would change and exit with 1 if anything would",
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        found = 0
        for workshop in Workshop.objects.order_by("made_at", "id"):
            if options["check"]:
                lines = differences(workshop, timezone.now())
                found += len(lines)
                for line in lines:
                    self.stderr.write(f"{workshop.name}: {line}")
            else:
                rebuild(workshop, timezone.now())
        if found:
            self.stderr.write(f"{found} rows differ from the facts; run `manage.py rebuild`.")
            sys.exit(1)
        self.stdout.write("Estimates agree with the facts.")
