"""The message broker that a workshop listens to."""

import re
from dataclasses import dataclass, field

from django.db import transaction

from cureclock.actions.verb import Done, plain, verb
from cureclock.core.refusal import Refused, within
from cureclock.shop.happening import Happening
from cureclock.shop.models import BrokerVersion
from cureclock.shop.record import append
from cureclock.shop.sealing import sealed

HOST = re.compile(r"[A-Za-z0-9._:-]{0,253}")


@dataclass(frozen=True)
class BrokerTold:
    """Where it is and who we are there; no host: nothing is listened to. The password is kept
    sealed, beside the log and not in it."""

    host: str = ""
    port: int = 1883
    tls: bool = False
    username: str = ""
    password: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        if not HOST.fullmatch(self.host):
            raise Refused("host", self.host, "a name or an address, without a scheme or a port")
        within("port", self.port, 1, 65535)


@verb("broker_told", BrokerTold)
def broker_told(happening: Happening, said: BrokerTold) -> Done:
    """Whoever listens notices within seconds."""
    teller = happening.told_by
    teller.must_own()
    with transaction.atomic():
        body = {name: value for name, value in plain(said).items() if name != "password"}
        event, new = append(happening, "broker_told", body)
        if new:
            BrokerVersion.objects.create(
                id=event.id,
                workshop=teller.workshop,
                host=said.host,
                port=said.port,
                tls=said.tls,
                username=said.username,
                password=sealed(said.password) if said.password else "",
                since=event.happened_at,
                arrived_at=event.arrived_at,
            )
    return Done(event.id, new)
