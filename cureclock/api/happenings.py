"""Happenings in, a batch at a time and in order; each stands or falls by itself."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError
from django.utils import timezone
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.registry import verbs
from cureclock.actions.verb import Verb
from cureclock.api.device_clock import DeviceClock, ToldBefore
from cureclock.api.fields import AsSentField, CountField, ListField
from cureclock.api.problems import of_shape, problem, refusal_of
from cureclock.api.shapes import StrictSerializer, strict
from cureclock.api.who import teller_of
from cureclock.core.refusal import Refused
from cureclock.shop.happening import Happening, Teller
from cureclock.shop.models import Phone
from cureclock.shop.refusals import Refusal

MOST = 500  # happenings in one batch
VERBS = verbs()
SHAPES = {name: strict(one.shape) for name, one in VERBS.items()}


@dataclass(frozen=True)
class Batch:
    """What a phone sends: its own time, what happened, and how many taps it still keeps."""

    sent_at: datetime
    happenings: list[Any]
    unsent: int = 0


@dataclass(frozen=True)
class Told:
    """One happening as it is sent; `said` has the shape of its verb."""

    id: UUID
    verb: str
    at: datetime
    said: Any
    number: int | None = None


class BatchSerializer(StrictSerializer):
    """The batch, without a look at what is in it."""

    happenings = ListField(child=AsSentField(), max_length=MOST)
    unsent = CountField(required=False, max_value=1_000_000)

    class Meta:
        dataclass = Batch


class ToldSerializer(StrictSerializer):
    """One happening, without a look at what is said with it."""

    said = AsSentField()
    number = CountField(required=False, allow_null=True)

    class Meta:
        dataclass = Told


class HappeningsView(APIView):
    """What happened, told by a paired phone."""

    def post(self, request: Request) -> Response:
        """Take every happening of the batch in its order; one that is refused loses no other."""
        now = timezone.now()
        sent = BatchSerializer(data=request.data)
        sent.is_valid(raise_exception=True)
        batch: Batch = sent.validated_data
        clock = DeviceClock(batch.sent_at, now)
        before = ToldBefore.of(teller_of(request), _idents(batch.happenings))
        answers = [_answer(one, teller_of(request), clock, before) for one in batch.happenings]
        Phone.objects.filter(pk=request.auth.pk).update(unsent=batch.unsent, seen_at=now)
        return Response({"now": timezone.now(), "answers": answers})


def _idents(sent: list[Any]) -> list[UUID]:
    """The ids in a batch, as far as they are ids."""
    found = []
    for one in sent:
        try:
            found.append(UUID(one["id"]))
        except (TypeError, KeyError, ValueError, AttributeError):
            continue
    return found


def _answer(sent: Any, teller: Teller, clock: DeviceClock, before: ToldBefore) -> dict[str, Any]:
    """What became of one happening."""
    given = sent.get("id") if isinstance(sent, dict) else None
    told: dict[str, Any] = {"id": given if isinstance(given, str) else None}
    try:
        one = _shaped(ToldSerializer(data=sent))
        moment = before.time(one.id, clock.true_time(one.at), clock)
        if clock.corrected_by:
            told["corrected_by_s"] = round(clock.corrected_by.total_seconds())
        happening = Happening(one.id, teller, moment, clock.now, one.number)
        new = _do(happening, _verb(one.verb), one.said)
        return {**told, "outcome": "applied" if new else "known"}
    except _Shapeless as error:
        return {**told, "outcome": "refused", "problem": error.problem}
    except (Refusal, Refused) as error:
        return {**told, "outcome": "refused", "problem": problem(refusal_of(error))}


def _do(happening: Happening, verb: Verb, said: Any) -> bool:
    """Do a verb in its own transaction; whether it was new."""
    shaped = _shaped(SHAPES[verb.name](data=said), "said")
    try:
        return verb.do(happening, shaped).new
    except IntegrityError as error:
        wrong = "an id or a name in it stands for something else already"
        raise Refusal("said", wrong, "make new ids, and reload", "clash") from error


def _verb(name: str) -> Verb:
    if name not in VERBS:
        raise Refusal("verb", f"{name!r} is no verb", f"one of {', '.join(sorted(VERBS))}")
    return VERBS[name]


class _Shapeless(Exception):
    """What was sent does not have the shape it needs."""

    def __init__(self, told: dict[str, Any]) -> None:
        self.problem = told
        super().__init__(told["detail"])


def _shaped(serializer: StrictSerializer, at: str = "") -> Any:
    try:
        serializer.is_valid(raise_exception=True)
    except ValidationError as error:
        raise _Shapeless(of_shape(error, at)) from error
    return serializer.validated_data
