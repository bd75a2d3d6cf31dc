"""Open one more workshop, or find its owner a link again; prints the link that pairs a phone."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from cureclock.actions.open_workshop import OWNER, owners_link
from cureclock.shop.refusals import Refusal

LONGEST = 80  # characters that every name has room for


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="of the workshop")
        parser.add_argument("--owner", default=OWNER, help="name of its first owner")
        parser.add_argument(
            "--address", help="where phones find this server, if not the first name"
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        name, owner = options["name"].strip(), options["owner"].strip()
        address = options["address"] or first_address()
        if not name or not owner or max(len(name), len(owner)) > LONGEST:
            raise CommandError(f"Name the workshop and its owner, in up to {LONGEST} characters.")
        try:
            token = owners_link(name=name, at=timezone.now(), owner=owner)
        except Refusal as refused:
            raise CommandError(
                f"Not {name}: {refused.wrong}. What to do: {refused.mend}."
            ) from refused
        self.stdout.write(
            f"{name} is open. For a day, and for one phone, this link makes an owner:"
        )
        self.stdout.write(f"  {address.rstrip('/')}/pair/{token}")


def first_address() -> str:
    """By the first name that was set for this server."""
    if not settings.CURECLOCK_NAMES:
        raise CommandError("Say where phones find this server: --address https://…")
    return f"https://{settings.CURECLOCK_NAMES[0]}"
