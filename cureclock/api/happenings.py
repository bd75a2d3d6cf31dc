"""Happenings in, a batch at a time and in order; each stands or falls by itself."""

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
from cureclock.api.batch import (
    MOST,
    MOST_UNSENT,
    Answers,
    Batch,
    BatchSerializer,
    HappeningAnswer,
    ToldSerializer,
)
from cureclock.api.device_clock import DeviceClock, ToldBefore
from cureclock.api.problems import Problem, of_shape, problem, refusal_of
from cureclock.api.schema import documented, happening
from cureclock.api.shapes import StrictSerializer, strict
from cureclock.api.who import teller_of
from cureclock.core.refusal import Refused
from cureclock.shop.happening import Happening, Teller
from cureclock.shop.models import Phone
from cureclock.shop.refusals import Refusal

VERBS = verbs()
SHAPES = {name: strict(one.shape) for name, one in VERBS.items()}


TAKES = {
    "type": "object",
    "properties": {
        "sent_at": {"type": "string", "format": "date-time"},
        "unsent": {"type": "integer", "minimum": 0, "maximum": MOST_UNSENT},
        "happenings": {"type": "array", "items": happening(), "maxItems": MOST},
    },
    "required": ["sent_at", "happenings"],
    "additionalProperties": False,
}


class HappeningsView(APIView):
    """What happened, told by a paired phone."""

    @documented(Answers, takes=TAKES, refuses=(400, 401, 403, 422))
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


def _answer(sent: Any, teller: Teller, clock: DeviceClock, before: ToldBefore) -> HappeningAnswer:
    """What became of one happening."""
    given = sent.get("id") if isinstance(sent, dict) else None
    told: HappeningAnswer = {"id": given if isinstance(given, str) else None, "outcome": "refused"}
    try:
        one = _shaped(ToldSerializer(data=sent))
        moment = before.time(one.id, clock.true_time(one.at), clock)
        if clock.corrected_by:
            told["corrected_by_s"] = round(clock.corrected_by.total_seconds())
        said_at = one.at if clock.corrected_by else None
        happening = Happening(one.id, teller, moment, clock.now, one.number, said_at)
        new = _do(happening, _verb(one.verb), one.said)
        told["outcome"] = "applied" if new else "known"
    except _Shapeless as error:
        told["problem"] = error.problem
    except (Refusal, Refused) as error:
        told["problem"] = problem(refusal_of(error))
    return told


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

    def __init__(self, told: Problem) -> None:
        self.problem = told
        super().__init__(told["detail"])


def _shaped(serializer: StrictSerializer, at: str = "") -> Any:
    try:
        serializer.is_valid(raise_exception=True)
    except ValidationError as error:
        raise _Shapeless(of_shape(error, at)) from error
    return serializer.validated_data
