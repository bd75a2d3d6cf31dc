"""Write what will be due, on the records of a world, in a process of its own."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from django.core.management import call_command
from django.db import connections

from tests import many
from tests.faults.child import Say


def main(told: dict[str, Any], say: Say) -> None:
    """Seed a gate due in each of `due_s` seconds from now; ids are said."""
    now = datetime.now(UTC)
    cast = many.shop(now)
    for address, keys in told["devices"].items():
        many.push_way(cast, address, keys, now)
    due = [now + timedelta(seconds=one) for one in told["due_s"]]
    glue_ups = many.waits(cast, due, pressed=now - timedelta(hours=2)) if due else []
    say(
        {
            "workshop": str(cast.workshop.id),
            "place": str(cast.id("Shed")),
            "glue_ups": [str(one) for one in glue_ups],
            "due": [at.timestamp() for at in due],
        }
    )


def put_off(told: dict[str, Any], say: Say) -> None:
    """Let glue-ups of a seed be due so many seconds from now; the instants are said."""
    now = datetime.now(UTC)
    due = [now + timedelta(seconds=one) for one in told["due_s"]]
    many.due_again([UUID(one) for one in told["glue_ups"]], due)
    say([at.timestamp() for at in due])


def migrate(_told: object, say: Say) -> None:
    """Make empty records, once; each world gets a copy."""
    call_command("migrate", interactive=False, verbosity=0)
    connections.close_all()  # all of it is in the one file then
    say(True)


def ask(code: str, say: Say) -> None:
    """Run a few lines on the records; what they put in `out` is said."""
    names: dict[str, Any] = {"out": None}
    exec(code, names)
    say(names["out"])
