"""Leave out readings of long ago that nothing waits on: one an hour stays, and each day's extremes."""

from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction
from django.utils import timezone

from cureclock.shop.models import Workshop
from cureclock.waits.thinning import LEAST, NotTheSame, thin


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--older-than", type=int, default=400, metavar="DAYS")
        parser.add_argument("--check", action="store_true", help="only say how many could go")

    def handle(self, *_args: Any, **options: Any) -> None:
        days = options["older_than"]
        if days < LEAST.days:
            raise CommandError(f"--older-than is {days}; younger than {LEAST.days} days all stay.")
        now = timezone.now()
        kept = 0
        for workshop in Workshop.objects.order_by("made_at", "id"):
            try:
                with transaction.atomic():
                    gone = thin(workshop, now - timedelta(days=days), now)
                    transaction.set_rollback(options["check"])
            except NotTheSame:
                kept += 1
                self.stderr.write(
                    f"{workshop.name}: something that counts would change; all stays."
                )
                continue
            self.stdout.write(
                f"{workshop.name}: {gone} readings {'could go' if options['check'] else 'left out'}."
            )
        if kept:
            raise CommandError(f"{kept} workshops were left as they are.")
