"""Bring a workshop back from a backup: all of it, or nothing."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from cureclock.intake.backup_restore import restore
from cureclock.shop.refusals import Refusal
from cureclock.waits.rebuild import differences


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the backup")

    def handle(self, *_args: Any, **options: Any) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        try:
            told = restore(options["file"], timezone.now(), settings.CURECLOCK_VAR / "pictures")
        except Refusal as refused:
            why = f"The backup is not taken: {refused.wrong}. What to do: {refused.mend}."
            raise CommandError(why) from refused
        rows = sum(told.rows.values())
        self.stdout.write(
            f"{told.workshop.name} as of {told.made_at:%Y-%m-%d %H:%M} UTC: ", ending=""
        )
        self.stdout.write(f"{rows} rows, {told.pictures} pictures.")
        for line in told.left_out:
            self.stdout.write(f"Not in a backup: {line}")
        differing = differences(told.workshop, timezone.now())
        if differing:
            raise CommandError(f"{len(differing)} rows differ from the facts: run rebuild.")
        self.stdout.write("Estimates agree with the facts.")
