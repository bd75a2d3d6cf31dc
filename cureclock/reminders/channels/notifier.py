"""The many services makers already have, through one library and a list of those allowed."""

import logging
from urllib.parse import urlsplit

from django.conf import settings

from cureclock.reminders import outward
from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.clock import Clock
from cureclock.reminders.outcome import Accepted, Fault, Outcome, TryAgain
from cureclock.shop.refusals import Refusal

# Services that take a text for a person. Those that open a file, run a program or speak to
# another machine of the house are not among them.
ALLOWED = frozenset(
    {
        *("ntfys", "gotifys", "matrixs", "mmosts", "rockets", "signals", "barks"),
        *("tgram", "discord", "slack", "zulip", "workflows", "gchat", "wxteams"),
        *("pover", "pbul", "prowl", "spush", "join", "line", "threema", "whatsapp"),
        *("twilio", "vonage", "clicksend"),
    }
)
OWN_HOST = frozenset({"ntfys", "gotifys", "matrixs", "mmosts", "rockets", "signals", "barks"})
MEND = f"one of {', '.join(sorted(ALLOWED))}"


def allowed(address: str) -> str:
    """The address, if it is one of a service that is allowed; else refused."""
    try:
        parts = urlsplit(address)
        host = parts.hostname or ""
    except ValueError:
        raise Refusal("address", "this is no address", MEND) from None
    scheme = parts.scheme.lower()
    private = settings.CURECLOCK_PRIVATE_ENDPOINTS
    if scheme not in ALLOWED and not (private and f"{scheme}s" in ALLOWED):
        raise Refusal("address", f"{scheme or 'this'!r} is no service used here", MEND)
    own = scheme in OWN_HOST and parts.path.strip("/")
    if own and not private and not outward.is_public_name(host):
        raise Refusal("address", "this address is inside a house", outward.MEND)
    return address


def inside(address: str) -> bool:
    """Whether a host of the writer's own stands for something in the house by now."""
    parts = urlsplit(address)
    own = parts.scheme.lower() in OWN_HOST and parts.path.strip("/")
    return bool(own) and not outward.leads_outside(parts.hostname or "")


class Notifier:
    """One library for all; imported where it is used, for it is large."""

    kind = "notifier"

    def send(self, address: Address, message: Outgoing, clock: Clock) -> Outcome:  # noqa: ARG002
        """Hand it to the service."""
        import apprise  # noqa: PLC0415

        try:
            allowed(address.address)
        except Refusal:
            return Fault(None, "this service is not allowed here")
        if inside(address.address):
            return Fault(None, "this address is inside a house")
        logging.getLogger("apprise").setLevel(logging.CRITICAL)  # its lines quote addresses
        service = apprise.Apprise()
        if not service.add(address.address):
            return Fault(None, "the service cannot read this address")
        if service.notify(title=message.title, body=message.body):
            return Accepted(200)
        return TryAgain(None, "the service did not take it")
