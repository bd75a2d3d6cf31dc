"""One piece in full, and what may be done with it and with its batch."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions import find
from cureclock.api.fields import LONGEST_TEXT, IdField
from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.core.clock import NEVER
from cureclock.core.lathe import Answer, Word
from cureclock.core.units import moment_of
from cureclock.shop.models import Piece
from cureclock.waits.may.answers import ACTS, HURTS, may
from cureclock.waits.minute import to_minute
from cureclock.waits.one_piece import OnePiece, one_piece
from cureclock.waits.pieces import standing_pieces


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


@dataclass(frozen=True)
class ActTold(AnswerTold):
    """One of all the acts, with its answer."""

    act: str


@dataclass(frozen=True)
class CanTold:
    """Every act, of one piece."""

    answers: tuple[ActTold, ...]


@dataclass(frozen=True)
class WordTold:
    """One piece's word, until when, what is to blame, and the ruling reason.

    Where somebody can be hurt the word is `ask` in the place of yes: ask for the piece itself.
    """

    piece: UUID
    tag: str
    word: str
    until: datetime | None
    blame: str
    reason: str


@dataclass(frozen=True)
class ManyTold:
    """The same question to every piece of a batch."""

    act: str
    zone: str
    answered_at: datetime
    answers: tuple[WordTold, ...]


class PieceView(APIView):
    """A piece in full."""

    @documented(OnePiece, refuses=(401, 404))
    def get(self, request: Request, ident: UUID) -> Response:
        """Its joints and those of its parts, its coats, its holds and its history."""
        workshop = teller_of(request).workshop
        piece = find.piece(workshop, ident)
        return Response(as_told(one_piece(workshop, piece, timezone.now())))


class MayView(APIView):
    """May I?"""

    @documented(
        AnswerTold,
        refuses=(401, 404, 422),
        parameters=[
            OpenApiParameter("act", str, enum=ACTS, default="spin"),
            OpenApiParameter("zone", str, description="name or id; of what is done to one zone"),
        ],
    )
    def get(self, request: Request, ident: UUID) -> Response:
        """The answer by all its rules, worked out now, for this piece alone."""
        workshop = teller_of(request).workshop
        act, zone = _act(request), request.query_params.get("zone", "")[:LONGEST_TEXT]
        piece = find.piece(workshop, ident)
        now = timezone.now()
        answer = may(workshop, [piece.id], act, now, zone)[piece.id]
        return Response(as_told(answer_told(answer, now)))


class CanView(APIView):
    """What may I do to it?"""

    @documented(CanTold, refuses=(401, 404))
    def get(self, request: Request, ident: UUID) -> Response:
        """The answer to every act, worked out now, for this piece alone."""
        workshop = teller_of(request).workshop
        piece = find.piece(workshop, ident)
        now = timezone.now()
        told = (
            (act, answer_told(may(workshop, [piece.id], act, now)[piece.id], now)) for act in ACTS
        )
        answers = tuple(ActTold(**vars(answer), act=act) for act, answer in told)
        return Response(as_told(CanTold(answers)))


class MayManyView(APIView):
    """May I, of many at once?"""

    @documented(
        ManyTold,
        refuses=(401, 404, 422),
        parameters=[
            OpenApiParameter("act", str, enum=ACTS, default="spin"),
            OpenApiParameter("zone", str, description="name; of what is done to one zone"),
            OpenApiParameter("batch", UUID, required=True),
        ],
    )
    def get(self, request: Request) -> Response:
        """One word for each piece of a batch; what can hurt says yes to one piece at a time only."""
        workshop = teller_of(request).workshop
        act, zone = _act(request), request.query_params.get("zone", "")[:LONGEST_TEXT]
        batch = find.batch(workshop, _batch(request))
        pieces = standing_pieces(batch)
        now = timezone.now()
        answers = may(workshop, [piece.id for piece in pieces], act, now, zone)
        shorts = [vars(_short(piece, answers[piece.id], act)) for piece in pieces]
        told = ManyTold(act, zone, now, ())
        return Response({**vars(told), "answers": shorts})


def _act(request: Request) -> str:
    return request.query_params.get("act", "spin")


def _batch(request: Request) -> UUID:
    try:
        ident: UUID = IdField().run_validation(request.query_params.get("batch"))
    except ValidationError as error:
        raise ValidationError({"batch": error.detail}) from error
    return ident


def _short(piece: Piece, answer: Answer, act: str) -> WordTold:
    """One piece's word; a yes that can hurt has to be asked for by itself."""
    asks = answer.word == Word.YES and act in HURTS
    word, reason = ("ask" if asks else str(answer.word)), answer.reasons[0].key
    return WordTold(piece.id, piece.tag, word, _moment(answer.until_us), answer.blame, reason)


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
