"""The channel that keeps what it is given: for tests, and for trying things out."""

from dataclasses import dataclass, field

from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.clock import Clock
from cureclock.reminders.outcome import Accepted, Outcome


@dataclass
class Memory:
    """Keeps what was sent, and answers what it is told to."""

    kind: str = "memory"
    sent: list[tuple[str, Outgoing]] = field(default_factory=list)
    answers: list[Outcome] = field(default_factory=list)  # the next ones; then all is accepted

    def send(self, address: Address, message: Outgoing, clock: Clock) -> Outcome:  # noqa: ARG002
        """Keep it, unless told to answer otherwise."""
        outcome = self.answers.pop(0) if self.answers else Accepted(201)
        if isinstance(outcome, Accepted):
            self.sent.append((address.address, message))
        return outcome


MEMORY = Memory()
