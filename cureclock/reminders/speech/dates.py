"""When a batch that was promised is likely done."""

from dataclasses import dataclass

from cureclock.core.reminding.compose import alert as composed
from cureclock.core.reminding.message import Message, clean
from cureclock.core.wording.times import Day, Reader
from cureclock.planner.models import Plan
from cureclock.reminders.models import Alert
from cureclock.reminders.speech.spoken import NOTHING, Facts, Spoken
from cureclock.shop.models import Batch


@dataclass(frozen=True)
class DateMoved:
    """A batch, when it is likely and surely done, and by when it was promised."""

    key: str
    called: str
    likely_us: int
    safe_us: int
    promise_us: int


def date_moved(alert: Alert, facts: Facts) -> Spoken:  # noqa: ARG001  every speaker takes the facts
    """As the plan has it now; nothing where nothing is promised any more."""
    ident = str(alert.about)
    plan = Plan.objects.filter(workshop=alert.workshop_id).first()
    own = plan.body.get("batches", {}).get(ident) if plan else None
    batch = Batch.objects.filter(id=alert.about).first()
    if own is None or batch is None or own["promise_us"] is None:
        return NOTHING
    dates = (own["likely_us"], own["safe_us"], own["promise_us"])
    return Spoken(DateMoved(ident, batch.name, *dates), link="/plan")


@composed.register
def _said(said: DateMoved, reader: Reader) -> Message:
    late = said.likely_us > said.promise_us
    likely = reader.opens(said.likely_us, Day.NAMED)
    key = "date_moved.late" if late else "date_moved.title"
    return Message(
        title=reader.say(key, batch=clean(said.called), likely=likely),
        body=reader.say(
            "date_moved.body",
            safe=reader.opens(said.safe_us, Day.NAMED),
            promised=reader.closes(said.promise_us, Day.NAMED),
        ),
        tag=f"{said.key} date",
        urgent=False,
    )
