"""Every channel by its kind. Adding one: its file, a line here, a line in the docs."""

from cureclock.reminders.channels.email import Email
from cureclock.reminders.channels.memory import MEMORY
from cureclock.reminders.channels.message import Channel
from cureclock.reminders.channels.notifier import Notifier
from cureclock.reminders.channels.webhook import Webhook
from cureclock.reminders.channels.webpush import WebPush

CHANNELS: dict[str, Channel] = {
    channel.kind: channel for channel in (MEMORY, Email(), Notifier(), WebPush(), Webhook())
}
