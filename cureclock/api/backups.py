"""How the nightly backups stand; one more now, and any of them to take away."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.http import FileResponse
from django.http.response import HttpResponseBase
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.papers import FILE, FileView, as_download
from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.exports.kept_backups import KeptBackup, backup_file, backup_now, backups_kept
from cureclock.exports.nightly import care
from cureclock.shop.happening import Teller


@dataclass(frozen=True)
class BackupsTold:
    """How many nightly ones there are, the newest, room on the disk, and what is wrong, by key.

    Where they lie, what the last try stumbled over, and their names are told to the owner alone.
    """

    kept: int
    newest_at: datetime | None
    newest_bytes: int | None
    free_bytes: int
    wanted_bytes: int
    wrong: tuple[str, ...]
    why: str
    folder: str
    files: tuple[KeptBackup, ...]


class BackupsView(APIView):
    """The backups of a workshop."""

    @documented(BackupsTold, refuses=(401,))
    def get(self, request: Request) -> Response:
        """What lies on the disk; `wrong` holds disk_low, none_yet, old or failed."""
        return Response(as_told(_told(teller_of(request))))

    @documented(BackupsTold, status=201, refuses=(401, 403, 409, 422))
    def post(self, request: Request) -> Response:
        """Make one now, for the owner; asked twice within a minute it is one."""
        teller, pictures = teller_of(request), Path(settings.CURECLOCK_VAR) / "pictures"
        backup_now(by=teller, at=timezone.now(), folder=_folder(), pictures=pictures)
        return Response(as_told(_told(teller)), status=201)


class BackupFileView(FileView):
    """One backup to take away."""

    @documented(
        FILE,
        kind="application/zip",
        refuses=(401, 403, 404),
        parameters=[OpenApiParameter("name", str, required=True, description="as `files` tell it")],
    )
    def get(self, request: Request) -> HttpResponseBase:
        """The file as it lies there, for the owner: it holds everything that was ever told."""
        name = request.query_params.get("name", "")
        path = backup_file(by=teller_of(request), name=name, folder=_folder())
        return as_download(FileResponse(path.open("rb"), content_type="application/zip"), path.name)


def _folder() -> Path:
    return Path(settings.CURECLOCK_VAR) / "backups"


def _told(teller: Teller) -> BackupsTold:
    found = care(teller.workshop, timezone.now(), _folder())
    owner = teller.role == "owner"
    return BackupsTold(
        kept=len(found.files),
        newest_at=found.newest_at,
        newest_bytes=found.files[0].size if found.files else None,
        free_bytes=found.free,
        wanted_bytes=found.wanted,
        wrong=found.wrong,
        why=found.why if owner else "",
        folder=str(_folder() / str(teller.workshop.id)) if owner else "",
        files=backups_kept(teller.workshop, _folder()) if owner else (),
    )
