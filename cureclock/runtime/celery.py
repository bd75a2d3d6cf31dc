"""The Celery app: its beat calls the same turn that the loop makes, and nothing waits in it.

No reminder is ever an entry in the broker: what is due is read from the records. Whoever runs
`remind` beside it is told in time without a broker; the beat is a second pair of hands.
"""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")

import django

django.setup()

from django.conf import settings  # noqa: E402

from cureclock.runtime.clock import SystemClock  # noqa: E402
from cureclock.runtime.planning import make_due  # noqa: E402
from cureclock.runtime.tick import Turn  # noqa: E402

EVERY_S = 1.0
PLAN_EVERY_S = 5.0

app = Celery("cureclock", broker=settings.REDIS_URL or "memory://")
app.conf.update(
    beat_scheduler="celery.beat:Scheduler",  # keeps no file: there is nothing to remember
    beat_schedule={
        "tick": {
            "task": "cureclock.tick",
            "schedule": EVERY_S,
            "options": {"expires": EVERY_S, "ignore_result": True},
        },
        "plan": {
            "task": "cureclock.plan",
            "schedule": PLAN_EVERY_S,
            "options": {"expires": PLAN_EVERY_S, "ignore_result": True},
        },
    },
    broker_connection_retry_on_startup=True,
    task_ignore_result=True,
    timezone="UTC",
    worker_hijack_root_logger=False,
)

_turn = Turn(SystemClock())


@app.task(name="cureclock.tick")  # type: ignore[untyped-decorator]
def tick() -> int:
    """One turn; how many messages were sent."""
    return _turn.tick()


@app.task(name="cureclock.plan")  # type: ignore[untyped-decorator]
def plan() -> int:
    """Every plan that is due; how many were made anew."""
    return make_due(SystemClock())
