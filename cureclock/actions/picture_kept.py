"""A picture of a happening is kept beside the records."""

import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import NamedTemporaryFile
from uuid import UUID

from django.db import transaction

from cureclock.shop.happening import Teller
from cureclock.shop.models import Event, Photo
from cureclock.shop.pictures import made_small, path_of
from cureclock.shop.refusals import NotHere, OtherBody, Refusal

MOST = 24  # of one happening; our choice


@dataclass(frozen=True)
class PictureSent:
    """A picture, its id made on the phone, and the happening it is of."""

    id: UUID
    event: UUID
    picture: bytes


def picture_kept(
    *, by: Teller, said: PictureSent, folder: Path, at: datetime
) -> tuple[Photo, bool]:
    """The picture, made small, and whether it is new; its file is there before its row is.

    Args:
        by: who sends it.
        said: the picture.
        folder: where the pictures of this workshop lie.
        at: now.
    """
    by.must_record()
    known = Photo.objects.filter(id=said.id).first()
    if known is not None:
        if known.workshop_id != by.workshop.id or known.event_id != said.event:
            raise OtherBody
        return known, False
    event = Event.objects.filter(workshop=by.workshop, id=said.event).first()
    if event is None:
        raise NotHere("event")
    if Photo.objects.filter(event=event).count() >= MOST:
        raise Refusal("event", f"it has {MOST} pictures already", "send the best ones only")
    small = made_small(said.picture)
    with transaction.atomic():
        photo = Photo.objects.create(
            id=said.id,
            workshop=by.workshop,
            event=event,
            person=by.person,
            arrived_at=at,
            width=small.width,
            height=small.height,
            size=len(small.jpeg),
            digest=small.digest,
        )
        _lay_down(path_of(folder, said.id), small.jpeg)
    return photo, True


def _lay_down(path: Path, content: bytes) -> None:
    """Whole or not at all, and readable by nobody else on the machine."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    with NamedTemporaryFile(dir=path.parent, delete=False) as file:
        try:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        except OSError:
            Path(file.name).unlink(missing_ok=True)
            raise
    Path(file.name).replace(path)
