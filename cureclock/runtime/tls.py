"""The certificate `up` serves: a given one, or our own, kept fresh while the server runs."""

import datetime as dt
import threading
from dataclasses import dataclass
from pathlib import Path

import structlog
from django.conf import settings

from cureclock.runtime import addresses, certificates
from cureclock.runtime.serving import Adapter

LOOK_AGAIN_S = 600
log = structlog.get_logger("cureclock.tls")


class Unusable(Exception):
    """The given certificate cannot be served; the message says why."""


@dataclass
class OwnCertificate:
    """Ours; addresses in a house change and certificates end, so it is looked at now and then."""

    adapter: Adapter
    path: Path
    content: bytes

    def keep_fresh(self) -> None:
        threading.Thread(target=self._watch, daemon=True, name="certificate").start()

    def _watch(self) -> None:
        pause = threading.Event()
        while not pause.wait(LOOK_AGAIN_S):
            self.refresh()

    def refresh(self) -> None:
        try:
            path = ensure_own()
            content = path.read_bytes()
            if content != self.content:
                self.adapter.reload(path)
                self.content = content
        except OSError as failed:
            log.error("certificate not renewed", why=str(failed))


def adapter() -> tuple[Adapter, OwnCertificate | None]:
    given = settings.CURECLOCK_CERTIFICATE
    if given:
        try:
            return Adapter(given, settings.CURECLOCK_CERTIFICATE_KEY or given), None
        except OSError as failed:
            raise Unusable(f"The certificate {given} cannot be served: {failed}.") from failed
    path = ensure_own()
    made = Adapter(str(path), str(path))
    return made, OwnCertificate(made, path, path.read_bytes())


def ensure_own() -> Path:
    return certificates.ensure(
        settings.CURECLOCK_VAR / "tls",
        settings.CURECLOCK_KNOWN_NAMES,
        addresses.machine_addresses(),
        dt.datetime.now(dt.UTC),
    )
