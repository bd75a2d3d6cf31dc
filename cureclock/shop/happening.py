"""One happening as it arrives: who, when it happened, when it arrived, and what it is about."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from cureclock.shop.models import Membership, Person, Phone, Workshop
from cureclock.shop.refusals import Refusal

AHEAD = timedelta(seconds=2)  # a clock may run ahead by so much; more is refused


@dataclass(frozen=True)
class Teller:
    """Who tells: a person on a phone, or a sensor or the demo (no phone)."""

    workshop: Workshop
    person: Person | None
    role: str
    phone: Phone | None = None

    def must_record(self) -> None:
        """Refuse a viewer."""
        if self.role not in (Membership.Role.OWNER, Membership.Role.HELPER):
            raise Refusal("who", f"{self.role or 'nobody'} may look, not record", "ask the owner")

    def must_own(self) -> None:
        """Refuse anyone but the owner."""
        if self.role != Membership.Role.OWNER:
            raise Refusal("who", "only the owner may do this", "ask the owner")


@dataclass(frozen=True)
class Happening:
    """What happened, told once. Its id is made where it was seen.

    Attributes:
        id: made on the device; the same id is the same happening.
        told_by: who tells it.
        at: when it happened (aware).
        arrived_at: when it arrived (aware).
        number: the phone's own count, if it has one.
        said_at: when it happened by the phone's own clock, where that was corrected (aware).
    """

    id: UUID
    told_by: Teller
    at: datetime
    arrived_at: datetime
    number: int | None = None
    said_at: datetime | None = None

    def __post_init__(self) -> None:
        if self.at.tzinfo is None or self.arrived_at.tzinfo is None:
            raise Refusal("at", "the time has no zone", "send it with its offset from UTC")
        if self.at > self.arrived_at + AHEAD:
            raise Refusal("at", f"{self.at.isoformat()} is in the future", "correct the time")
