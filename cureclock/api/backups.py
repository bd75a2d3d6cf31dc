"""How the nightly backups stand."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.exports.nightly import care


@dataclass(frozen=True)
class BackupsTold:
    """How many there are, the newest, room on the disk, and what is wrong, by key."""

    kept: int
    newest_at: datetime | None
    newest_bytes: int | None
    free_bytes: int
    wanted_bytes: int
    wrong: tuple[str, ...]


class BackupsView(APIView):
    """The backups of a workshop."""

    @documented(BackupsTold, refuses=(401,))
    def get(self, request: Request) -> Response:
        """What lies on the disk; `wrong` holds disk_low, none_yet, old or failed."""
        folder = Path(settings.CURECLOCK_VAR) / "backups"
        found = care(teller_of(request).workshop, timezone.now(), folder)
        told = BackupsTold(
            kept=len(found.files),
            newest_at=found.newest_at,
            newest_bytes=found.files[0].size if found.files else None,
            free_bytes=found.free,
            wanted_bytes=found.wanted,
            wrong=found.wrong,
        )
        return Response(as_told(told))
