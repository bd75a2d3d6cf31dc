"""What was told in the last ten minutes, so that any phone can take it back."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.struck_out import SAID_ANEW, UNDO
from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.shop.models import Event, Workshop
from cureclock.shop.record import stand

MOST = 5
LEFT_OUT = (*SAID_ANEW, "struck_out")


@dataclass(frozen=True)
class ToldLately:
    """A happening that may still be taken back without a reason, until `until`."""

    id: UUID
    kind: str
    at: datetime
    until: datetime
    person: str
    phone: UUID
    phone_name: str
    about: str


@dataclass(frozen=True)
class LatelyTold:
    """The newest first."""

    now: datetime
    told: tuple[ToldLately, ...]


class LatelyView(APIView):
    """What was told lately."""

    @documented(LatelyTold)
    def get(self, request: Request) -> Response:
        """The last acts of every phone that anybody may undo; what was undone is gone."""
        now = timezone.now()
        return Response(as_told(LatelyTold(now, told_lately(teller_of(request).workshop, now))))


def told_lately(workshop: Workshop, at: datetime) -> tuple[ToldLately, ...]:
    """Taps of the last ten minutes that stand, the newest first."""
    rows = Event.objects.filter(workshop=workshop, phone__isnull=False, arrived_at__gt=at - UNDO)
    rows = rows.exclude(kind__in=LEFT_OUT)
    related = ("person", "phone", "glue_up", "coat", "piece", "place")
    told = stand(rows.select_related(*related))
    newest = sorted(told, key=lambda event: (event.arrived_at, str(event.id)), reverse=True)
    return tuple(_told(event) for event in newest[:MOST])


def _told(event: Event) -> ToldLately:
    assert event.phone is not None
    about = event.glue_up or event.coat or event.piece or event.place
    return ToldLately(
        id=event.id,
        kind=event.kind,
        at=event.happened_at,
        until=event.arrived_at + UNDO,
        person=event.person.name if event.person else "",
        phone=event.phone.id,
        phone_name=event.phone.name,
        about=str(about) if about else "",
    )
