"""Write a workshop, all of it, into one file; readable by its owner alone."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from cureclock.exports.archive.file import Busy, write_file
from cureclock.shop.models import Workshop


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the file to write")
        parser.add_argument("--workshop", help="its name or id, where there is more than one")

    def handle(self, *_args: Any, **options: Any) -> None:
        workshop, path = chosen(options["workshop"]), options["file"]
        if path.exists():
            raise CommandError(f"{path} is there already. Name a file that is not.")
        pictures = settings.CURECLOCK_VAR / "pictures" / str(workshop.id)
        try:
            manifest = write_file(workshop, path, timezone.now(), pictures)
        except Busy as busy:
            raise CommandError(f"{path} is being written already.") from busy
        except OSError as failed:
            raise CommandError(f"{path} cannot be written: {failed}. Nothing was left.") from failed
        rows = sum(member.rows or 0 for member in manifest.members)
        self.stdout.write(f"{workshop.name}: {rows} rows in {path}")


def chosen(said: str | None) -> Workshop:
    """The workshop that is meant; the only one where nothing is said."""
    found = [w for w in Workshop.objects.order_by("name") if said in (None, w.name, str(w.id))]
    if len(found) == 1:
        return found[0]
    names = ", ".join(f"{one.name} ({one.id})" for one in Workshop.objects.order_by("name"))
    raise CommandError(f"Say which with --workshop. There is: {names or 'none yet'}.")
