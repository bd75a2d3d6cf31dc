"""Logger files in: sent as they are, shown as they would be read, agreed to, taken part by part."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol
from uuid import UUID

from django.db import IntegrityError
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.exceptions import ValidationError
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.fields import TextField
from cureclock.api.schema import documented
from cureclock.api.shapes import StrictSerializer
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.shop.happening import Teller
from cureclock.shop.logger_shape import FileLook, FileShape, RowFault, Seen
from cureclock.shop.models import LoggerFile
from cureclock.shop.refusals import NotHere, Refusal
from cureclock.waits.shown import Thing

MOST_BYTES = 32 * 1024 * 1024
LISTED = 50
CSV = {"type": "string", "format": "binary"}


class Reader(Protocol):
    """What reads logger files; the house hands it over as it starts."""

    def offer(self, by: Teller, sensor: UUID, name: str, content: bytes, at: datetime) -> Seen: ...
    def look(self, by: Teller, ident: UUID, shape: FileShape | None) -> Seen: ...
    def take_part(
        self, by: Teller, ident: UUID, shape: FileShape | None, at: datetime
    ) -> LoggerFile: ...
    def drop(self, by: Teller, ident: UUID) -> None: ...


class WithReader(APIView):
    """Knows who reads logger files."""

    reader: Reader


class AnyBytesParser(BaseParser):
    """The bytes themselves, one more than are taken at most so that too many are seen."""

    media_type = "*/*"

    def parse(self, stream: Any, *_: Any, **__: Any) -> Any:
        """What was sent."""
        return stream.read(MOST_BYTES + 1)


class ShapeSerializer(StrictSerializer):
    """How a file is read; what parts its columns may be a tab."""

    separator = TextField(trim_whitespace=False, max_length=1)

    class Meta:
        dataclass = FileShape


@dataclass(frozen=True)
class ShapeSaid:
    """How a file is read; left out: as was agreed before, or as is guessed."""

    shape: FileShape | None = None


class ShapeSaidSerializer(StrictSerializer):
    """The shape, if any."""

    shape = ShapeSerializer(required=False, allow_null=True)

    class Meta:
        dataclass = ShapeSaid


@dataclass(frozen=True)
class LoggerFileTold:
    """A file on its way in, or taken in.

    `byte` of `size` says how far it has come; `faults` are the first rows that were not taken,
    `refused` how many there are in all. `shape` is what was agreed to.
    """

    id: UUID
    name: str
    sensor: Thing
    place: Thing
    made_at: datetime
    size: int
    byte: int
    row: int
    kept: int
    known: int
    refused: int
    faults: tuple[RowFault, ...]
    shape: FileShape | None
    done_at: datetime | None


@dataclass(frozen=True)
class LoggerFilesTold:
    """Files on their way in, and those taken in lately, the newest first."""

    now: datetime
    files: tuple[LoggerFileTold, ...]


@dataclass(frozen=True)
class LookTold(FileLook):
    """How a file would be read, for somebody to agree to or to correct.

    `why` says of order, fahrenheit and zone what a guess rests on: `file`, `values`, `workshop`
    or `nothing`; `asked` names what only a person can tell: `order`, `repeated`.
    """

    file: LoggerFileTold


class LoggerFilesView(APIView):
    """Logger files of the workshop."""

    @documented(LoggerFilesTold)
    def get(self, request: Request) -> Response:
        """Every file that waits to be agreed to or taken on, and the last ones that came in."""
        rows = LoggerFile.objects.filter(workshop=teller_of(request).workshop)
        rows = rows.select_related("sensor__place").order_by("-made_at", "id")[:LISTED]
        told = LoggerFilesTold(timezone.now(), tuple(map(file_told, rows)))
        return Response(as_told(told))


class SensorFilesView(WithReader):
    """Where a sensor's files are sent."""

    parser_classes = [AnyBytesParser]

    @documented(
        LookTold,
        takes=CSV,
        sends="text/csv",
        status=201,
        refuses=(401, 403, 404, 422),
        parameters=[OpenApiParameter("name", str, description="the file's own name")],
    )
    def post(self, request: Request, ident: UUID) -> Response:
        """Keep a file aside and say how it would be read; nothing of it counts yet."""
        sent = request.data if isinstance(request.data, bytes) else b""
        name = _name(request.query_params.get("name", ""))
        seen = self.reader.offer(teller_of(request), ident, name, sent, timezone.now())
        return Response(as_told(look_told(*seen)), status=201)


class LoggerFileLookView(WithReader):
    """Another look at a file."""

    @documented(LookTold, takes=ShapeSaid, refuses=(400, 401, 403, 404, 422))
    def post(self, request: Request, ident: UUID) -> Response:
        """How it would be read by this shape; nothing of it counts yet."""
        _must_be_here(request, ident)
        seen = self.reader.look(teller_of(request), ident, _shape(request))
        return Response(as_told(look_told(*seen)))


class LoggerFileTakeView(WithReader):
    """Takes a file in."""

    @documented(LoggerFileTold, takes=ShapeSaid, refuses=(400, 401, 403, 404, 409, 422))
    def post(self, request: Request, ident: UUID) -> Response:
        """Take in the next part; the first time with the shape. Ask again until `done_at` is there.

        Broken off at any moment it goes on where it was; the same rows again are known.
        """
        _must_be_here(request, ident)
        try:
            file = self.reader.take_part(teller_of(request), ident, _shape(request), timezone.now())
        except IntegrityError as error:
            wrong = "the same rows came in another way at this moment"
            raise Refusal("file", wrong, "ask again", "clash") from error
        return Response(as_told(file_told(file)))


class LoggerFileDropView(WithReader):
    """Lets go of a file."""

    @documented(LoggerFilesTold, refuses=(401, 403, 404))
    def post(self, request: Request, ident: UUID) -> Response:
        """It is not wanted; what came in of it already stays."""
        self.reader.drop(teller_of(request), ident)
        return LoggerFilesView().get(request)


def _must_be_here(request: Request, ident: UUID) -> None:
    """Before anything that was sent is looked at: whose it is comes first."""
    workshop = teller_of(request).workshop
    if not LoggerFile.objects.filter(workshop=workshop, id=ident).exists():
        raise NotHere("file")


def _name(sent: str) -> str:
    try:
        name: str = TextField(allow_blank=True).run_validation(sent)
    except ValidationError as error:
        raise ValidationError({"name": error.detail}) from error
    return name


def _shape(request: Request) -> FileShape | None:
    sent = ShapeSaidSerializer(data=request.data)
    sent.is_valid(raise_exception=True)
    said: ShapeSaid = sent.validated_data
    return said.shape


def file_told(file: LoggerFile) -> LoggerFileTold:
    """How far a file has come."""
    place = file.sensor.place
    return LoggerFileTold(
        id=file.id,
        name=file.name,
        sensor=Thing(file.sensor_id, file.sensor.name),
        place=Thing(place.id, place.name),
        made_at=file.made_at,
        size=file.size,
        byte=file.byte,
        row=file.row,
        kept=file.kept,
        known=file.known,
        refused=file.refused,
        faults=tuple(RowFault(**one) for one in file.faults),
        shape=FileShape.agreed(file),
        done_at=file.done_at,
    )


def look_told(file: LoggerFile, look: FileLook) -> LookTold:
    """How a file would be read."""
    return LookTold(**vars(look), file=file_told(file))
