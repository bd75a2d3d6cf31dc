"""The many services makers already have, through one library and a list of those allowed."""

import logging
from urllib.parse import urlsplit

from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.outcome import Accepted, Fault, Outcome, TryAgain
from cureclock.shop.refusals import Refusal

# Services that take a text for a person. Those that open a file, run a program or call an
# address of the writer's choosing inside the house are not among them.
ALLOWED = frozenset(
    {
        *("ntfys", "gotifys", "pover", "pbul", "tgram", "signals", "matrixs", "discord", "slack"),
        *("mmosts", "zulip", "rocketschat", "msteams", "gchat", "twilio", "vonage", "clicksend"),
        *("simplepush", "join", "prowl", "bark", "barks", "line", "whatsapp", "threema"),
    }
)


def allowed(address: str) -> str:
    """The address, if it is one of a service that is allowed; else refused."""
    scheme = urlsplit(address).scheme.lower()
    if scheme not in ALLOWED:
        known = ", ".join(sorted(ALLOWED))
        raise Refusal("address", f"{scheme or 'this'!r} is no service used here", f"one of {known}")
    return address


class Notifier:
    """One library for all; imported where it is used, for it is large."""

    kind = "notifier"

    def send(self, address: Address, message: Outgoing) -> Outcome:
        """Hand it to the service."""
        import apprise  # noqa: PLC0415

        try:
            allowed(address.address)
        except Refusal:
            return Fault(None, "this service is not allowed here")
        logging.getLogger("apprise").setLevel(logging.CRITICAL)  # its lines quote addresses
        service = apprise.Apprise()
        if not service.add(address.address):
            return Fault(None, "the service cannot read this address")
        if service.notify(title=message.title, body=message.body):
            return Accepted(200)
        return TryAgain(None, "the service did not take it")
