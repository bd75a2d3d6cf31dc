"""What a channel is handed, and what it is."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Protocol

from cureclock.reminders.clock import Clock
from cureclock.reminders.outcome import Outcome

TIMEOUT_S = 10.0  # of one whole try


@dataclass(frozen=True)
class Address:
    """Where to: a way's address and keys. Secret; never shown or logged."""

    address: str = field(repr=False)
    keys: Mapping[str, Any] = field(default_factory=dict, repr=False)


@dataclass(frozen=True)
class Outgoing:
    """One message to one person.

    Attributes:
        title: the first line: verb, which, where, by when.
        body: what is still forbidden, then the rest.
        tag: messages of one tag replace one another.
        urgent: it may wake somebody.
        alert, delivery: their ids, for whoever reports that it was shown.
        link: path of the page it opens.
        receipt: token by which whoever shows it may say so.
        cautions: their keys.
        at: when it is sent.
        ttl_s: for how long it is worth delivering.
        answers: what can be answered, each with the token that answers it by a link.
    """

    title: str
    body: str
    tag: str
    urgent: bool
    alert: str
    delivery: int
    link: str
    receipt: str
    cautions: tuple[str, ...]
    at: datetime
    ttl_s: int
    answers: tuple[tuple[str, str], ...] = ()


class Channel(Protocol):
    """One kind of way to reach somebody. One file each, one line in the registry."""

    kind: str

    def send(self, address: Address, message: Outgoing, clock: Clock) -> Outcome:
        """One try, over within TIMEOUT_S; whatever happens is an outcome, not an exception."""
