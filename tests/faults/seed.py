"""Run in a process of its own, on the records of a world: migrate, and write what will be due."""

import json
import os
import sys

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")


def main(told: dict[str, object]) -> dict[str, object]:
    """Seed a gate due in each of `due_s` seconds from now; ids come back."""
    import django

    django.setup()
    from datetime import UTC, datetime, timedelta

    from django.core.management import call_command

    from tests import many

    call_command("migrate", interactive=False, verbosity=0)
    now = datetime.now(UTC)
    cast = many.shop(now)
    for address, keys in told["devices"].items():  # type: ignore[attr-defined]
        many.push_way(cast, address, keys, now)
    due = [now + timedelta(seconds=one) for one in told["due_s"]]  # type: ignore[attr-defined]
    glue_ups = many.waits(cast, due, pressed=now - timedelta(hours=2)) if due else []
    return {
        "workshop": str(cast.workshop.id),
        "place": str(cast.id("Shed")),
        "glue_ups": [str(one) for one in glue_ups],
        "due": [at.timestamp() for at in due],
    }


if __name__ == "__main__":
    sys.stdout.write(json.dumps(main(json.loads(sys.stdin.read()))))
