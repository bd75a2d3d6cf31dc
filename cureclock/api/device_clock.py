"""When it really happened, told by a phone whose own clock may be wrong."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from cureclock.shop.happening import AHEAD, Teller
from cureclock.shop.models import Event, Reading

SMALL = timedelta(
    minutes=2
)  # a clock so little wrong is left as it is; the way here takes time too


@dataclass(frozen=True)
class DeviceClock:
    """How far a phone's clock is from ours, as a batch arrives.

    Attributes:
        sent_at: when it was sent, by the phone.
        now: when it arrived, by us.
    """

    sent_at: datetime
    now: datetime

    @property
    def corrected_by(self) -> timedelta:
        """What is added to the phone's times; nothing unless its clock is clearly wrong."""
        behind = self.now - self.sent_at
        return behind if abs(behind) > SMALL else timedelta()

    def true_time(self, told: datetime) -> datetime:
        """The instant that a phone tells; what it calls now or before is never in the future."""
        moment = told + self.corrected_by
        return min(moment, self.now) if told <= self.sent_at + AHEAD else moment


@dataclass(frozen=True)
class ToldBefore:
    """What arrived before under the ids of a batch: when it is on record as having happened."""

    times: dict[UUID, datetime]

    @classmethod
    def of(cls, teller: Teller, idents: Collection[UUID]) -> "ToldBefore":
        """Events and readings that this same phone told before."""
        events = Event.objects.filter(id__in=idents, workshop=teller.workshop, phone=teller.phone)
        taken = Reading.objects.filter(id__in=idents, phone=teller.phone, floating=False)
        lowest = Reading.objects.filter(id__in=idents, phone=teller.phone, floating=True)
        return cls(
            dict(events.values_list("id", "happened_at"))
            | dict(taken.values_list("id", "at"))
            | {ident: at for ident, at in lowest.values_list("id", "told_at") if at}
        )

    def time(self, ident: UUID, moment: datetime, clock: DeviceClock) -> datetime:
        """The time on record, where a repeat differs by no more than its clock was wrong.

        The way here is never twice the same, so that a repeat is corrected by a little more or
        less; it is the same happening all the same.
        """
        known = self.times.get(ident)
        if known is None or abs(known - moment) > SMALL + abs(clock.corrected_by):
            return moment
        return known
