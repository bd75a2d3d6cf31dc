"""One piece in full, and what may be done with it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions import find
from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.core.clock import NEVER
from cureclock.core.lathe import Answer
from cureclock.core.units import moment_of
from cureclock.shop.refusals import Refusal
from cureclock.waits.lathe import spin_answer
from cureclock.waits.minute import to_minute
from cureclock.waits.one_piece import OnePiece, one_piece

ACTS = ("spin",)


@dataclass(frozen=True)
class ReasonTold:
    """One reason of an answer: what it is, which joint, hold or phone it names, and when."""

    key: str
    name: str
    at: datetime | None


@dataclass(frozen=True)
class AnswerTold:
    """May it? One word, until when, which joint or hold is to blame, and every reason.

    A yes is worth only as much as its age: it is worked out when it is asked for.
    """

    word: str
    until: datetime | None
    blame: str
    reasons: tuple[ReasonTold, ...]
    cautions: tuple[str, ...]
    answered_at: datetime


class PieceView(APIView):
    """A piece in full."""

    @documented(OnePiece, refuses=(401, 404))
    def get(self, request: Request, ident: UUID) -> Response:
        """Its joints and those of its parts, its coats, its holds and its history."""
        workshop = teller_of(request).workshop
        piece = find.piece(workshop, ident)
        return Response(as_told(one_piece(workshop, piece, timezone.now())))


class MayView(APIView):
    """May it be put on the lathe?"""

    @documented(
        AnswerTold,
        refuses=(401, 404, 422),
        parameters=[OpenApiParameter("act", str, enum=ACTS, default="spin")],
    )
    def get(self, request: Request, ident: UUID) -> Response:
        """The answer by all its rules, worked out now, for this piece alone."""
        act = request.query_params.get("act", "spin")
        if act not in ACTS:
            raise Refusal("act", f"{act[:40]!r} is not asked for here", f"one of {', '.join(ACTS)}")
        piece = find.piece(teller_of(request).workshop, ident)
        now = timezone.now()
        return Response(as_told(answer_told(spin_answer(piece, now), now)))


def answer_told(answer: Answer, at: datetime) -> AnswerTold:
    """The answer, with times on the safe side of the minute."""
    return AnswerTold(
        word=str(answer.word),
        until=_moment(answer.until_us),
        blame=answer.blame,
        reasons=tuple(
            ReasonTold(reason.key, reason.name, _moment(reason.at_us)) for reason in answer.reasons
        ),
        cautions=answer.cautions,
        answered_at=at,
    )


def _moment(us: int | None) -> datetime | None:
    return to_minute(moment_of(us), opens=True) if us is not None and us != NEVER else None
