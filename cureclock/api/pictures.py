"""Pictures of happenings: sent by a phone, kept small, given back to the workshop they are of."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.actions.picture_kept import PictureSent, picture_kept
from cureclock.api.schema import documented
from cureclock.api.stock import asked_id
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.shop.models import Photo, Workshop
from cureclock.shop.pictures import MOST_BYTES, path_of
from cureclock.shop.refusals import NotHere

PICTURE = {"type": "string", "format": "binary"}


class PictureParser(BaseParser):
    """The bytes themselves, one more than are taken at most so that too many are seen."""

    media_type = "image/*"

    def parse(self, stream: Any, *_: Any, **__: Any) -> Any:
        """What was sent."""
        return stream.read(MOST_BYTES + 1)


@dataclass(frozen=True)
class PictureTold:
    """A picture as it is kept."""

    id: UUID
    event: UUID
    width: int
    height: int
    size: int
    known: bool


class PictureView(APIView):
    """One picture."""

    parser_classes = [PictureParser]

    @documented(
        PictureTold,
        takes=PICTURE,
        refuses=(401, 403, 404, 422),
        parameters=[OpenApiParameter("event", UUID, required=True)],
    )
    def put(self, request: Request, ident: UUID) -> Response:
        """Keep it: made small, drawn anew without where it was taken. Sent twice it is one."""
        event = asked_id("event", request.query_params.get("event"))
        teller = teller_of(request)
        sent = request.data if isinstance(request.data, bytes) else b""
        said = PictureSent(ident, event, sent)
        folder = folder_of(teller.workshop)
        photo, new = picture_kept(by=teller, said=said, folder=folder, at=timezone.now())
        told = PictureTold(ident, event, photo.width, photo.height, photo.size, not new)
        return Response(as_told(told))

    @documented(PICTURE, kind="image/jpeg", refuses=(401, 404))
    def get(self, request: Request, ident: UUID) -> HttpResponse:
        """The picture, as JPEG."""
        workshop = teller_of(request).workshop
        photo = Photo.objects.filter(workshop=workshop, id=ident).first()
        path = path_of(folder_of(workshop), ident)
        if photo is None or not path.is_file():
            raise NotHere("picture")
        answer = HttpResponse(path.read_bytes(), content_type="image/jpeg")
        answer["Cache-Control"] = "private, max-age=31536000, immutable"
        answer["Content-Disposition"] = "inline"
        answer["X-Content-Type-Options"] = "nosniff"
        return answer


def folder_of(workshop: Workshop) -> Path:
    """Where the pictures of a workshop lie: with the records, outside what is served."""
    return Path(settings.CURECLOCK_VAR) / "pictures" / str(workshop.id)
