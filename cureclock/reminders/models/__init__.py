"""Every promise, the ways it is kept by, and the dispatcher's own notes."""

from cureclock.reminders.models.alerts import Alert, Answered, Delivery
from cureclock.reminders.models.looks import Beat, Look, Trouble
from cureclock.reminders.models.rags import RagsQuestion
from cureclock.reminders.models.secrets import LinkUsed, PushKey
from cureclock.reminders.models.ways import Lull, Minding, Way

__all__ = [
    "Alert",
    "Answered",
    "Beat",
    "Delivery",
    "LinkUsed",
    "Look",
    "Lull",
    "Minding",
    "PushKey",
    "RagsQuestion",
    "Trouble",
    "Way",
]
