"""Files to take away: tables, batch sheets, care cards, tags."""

from collections.abc import Iterable
from typing import TypeVar
from uuid import UUID

from django.http import HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.utils import timezone
from django.utils.text import slugify
from drf_spectacular.utils import OpenApiParameter
from rest_framework.exceptions import ValidationError
from rest_framework.renderers import BaseRenderer, JSONRenderer
from rest_framework.request import Request
from rest_framework.views import APIView

from cureclock.actions import find
from cureclock.api.schema import documented
from cureclock.api.stock import asked_id
from cureclock.api.who import teller_of
from cureclock.exports.batch_sheet import batch_sheet
from cureclock.exports.care_card import cards_of, print_cards
from cureclock.exports.label_sheets import label_sheet
from cureclock.exports.review.scope import of_batch
from cureclock.exports.tags import print_tags, tags_of
from cureclock.exports.told import told_csv
from cureclock.exports.waits_table import waits_csv
from cureclock.shop.models import Batch, Piece, Workshop
from cureclock.waits.pieces import standing_pieces

FILE = {"type": "string", "format": "binary"}
PDF, CSV = "application/pdf", "text/csv"
BATCH = OpenApiParameter("batch", UUID)
PIECE = OpenApiParameter("piece", UUID, many=True, description="of these alone")
YES = ("yes", "true", "1")
Answer = TypeVar("Answer", bound=HttpResponseBase)


class AnyFile(BaseRenderer):
    """Lets a browser ask for a file as it asks for a page; what is refused is still told as JSON."""

    media_type = "*/*"
    format = "file"

    def render(self, data: object, *_: object, **__: object) -> bytes:
        """A refusal."""
        return bytes(JSONRenderer().render(data))


class FileView(APIView):
    """Answers with a file."""

    renderer_classes = [JSONRenderer, AnyFile]


class ToldTableView(FileView):
    """What happened, as a table."""

    @documented(
        FILE, kind=CSV, refuses=(401, 404, 422), parameters=[BATCH, OpenApiParameter("bom", bool)]
    )
    def get(self, request: Request) -> HttpResponseBase:
        """Every happening a line, struck ones too; `bom` for spreadsheets that need the mark."""
        workshop, batch = teller_of(request).workshop, _batch(request)
        name = _name("happenings", workshop, batch)
        return _table(told_csv(workshop, batch, bom=_yes(request, "bom")), name)


class WaitsTableView(FileView):
    """Every gate of every wait, as a table."""

    @documented(
        FILE, kind=CSV, refuses=(401, 404, 422), parameters=[BATCH, OpenApiParameter("bom", bool)]
    )
    def get(self, request: Request) -> HttpResponseBase:
        """What each needed, when each figure came, and what was doubted."""
        workshop, batch = teller_of(request).workshop, _batch(request)
        rows = waits_csv(workshop, timezone.now(), batch, bom=_yes(request, "bom"))
        return _table(rows, _name("waits", workshop, batch))


class BatchSheetView(FileView):
    """The batch sheet."""

    @documented(
        FILE,
        kind=PDF,
        refuses=(401, 404, 422),
        parameters=[OpenApiParameter("batch", UUID, required=True)],
    )
    def get(self, request: Request) -> HttpResponseBase:
        """Its stages with their figures and their air, and what went otherwise."""
        workshop = teller_of(request).workshop
        batch = find.batch(workshop, asked_id("batch", request.query_params.get("batch")))
        content = batch_sheet(batch, of_batch(batch, timezone.now()))
        return _file(content, _name("batch-sheet", workshop, batch))


class CareCardsView(FileView):
    """Care cards."""

    @documented(FILE, kind=PDF, refuses=(401, 404, 422), parameters=[BATCH, PIECE])
    def get(self, request: Request) -> HttpResponseBase:
        """A card a piece, with the day before which it is not in use; none for what is in doubt."""
        workshop = teller_of(request).workshop
        cards = cards_of(workshop, _pieces(request), timezone.now())
        return _file(print_cards(workshop, cards), _name("care-cards", workshop, None))


class TagsView(FileView):
    """Tags."""

    @documented(
        FILE,
        kind=PDF,
        refuses=(401, 404, 422),
        parameters=[
            BATCH,
            PIECE,
            OpenApiParameter("sheet", str, default="a4-21", description="size of the labels"),
            OpenApiParameter("start", int, default=1, description="first label still there"),
            OpenApiParameter("outline", bool, description="edges, to cut them out of plain paper"),
        ],
    )
    def get(self, request: Request) -> HttpResponseBase:
        """Numbers to be read from afar, each with the code that opens its piece."""
        workshop = teller_of(request).workshop
        labels = label_sheet(request.query_params.get("sheet", "a4-21"))
        content = print_tags(
            tags_of(workshop, _pieces(request)),
            labels,
            request.build_absolute_uri("/").rstrip("/"),
            start=_whole(request, "start"),
            outline=_yes(request, "outline"),
        )
        return _file(content, _name("tags", workshop, None))


def _batch(request: Request) -> Batch | None:
    given = request.query_params.get("batch")
    return find.batch(teller_of(request).workshop, asked_id("batch", given)) if given else None


def _pieces(request: Request) -> list[Piece]:
    """Those that are named, else the batch."""
    workshop = teller_of(request).workshop
    named = request.query_params.getlist("piece")[:2001]
    if named:
        return find.pieces(workshop, [asked_id("piece", one) for one in named], "piece")
    batch = _batch(request)
    if batch is None:
        raise ValidationError({"piece": ["is missing"]})
    return standing_pieces(batch)


def _yes(request: Request, field: str) -> bool:
    return request.query_params.get(field, "").lower() in YES


def _whole(request: Request, field: str) -> int:
    sent = request.query_params.get(field, "1")
    if not (sent.isascii() and sent.isdecimal() and len(sent) < 5):
        raise ValidationError({field: ["is no whole number"]})
    return int(sent)


def _name(what: str, workshop: Workshop, batch: Batch | None) -> str:
    """A plain file name; what is not plain letters is left out of it."""
    return "-".join(filter(None, (what, slugify(batch.name if batch else workshop.name)[:40])))


def _table(pieces: Iterable[bytes], name: str) -> StreamingHttpResponse:
    return as_download(
        StreamingHttpResponse(pieces, content_type=f"{CSV}; charset=utf-8"), f"{name}.csv"
    )


def _file(content: bytes, name: str) -> HttpResponse:
    return as_download(HttpResponse(content, content_type=PDF), f"{name}.pdf")


def as_download(answer: Answer, name: str) -> Answer:
    """An answer that a browser keeps as a file of this name, and nobody on the way keeps at all."""
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
