"""A phone or a sensor at the door of the API: it speaks JSON and shows its key."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from unittest import mock
from uuid import UUID, uuid4

from django.test import Client

from cureclock.actions.pairing_offered import pairing_offered
from cureclock.actions.phone_paired import PhonePaired, phone_paired
from cureclock.actions.sensor_made import SensorMade, sensor_made
from cureclock.api.who import COOKIE
from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership, Phone, Sensor
from tests.cast import Cast, when


def at_the_clock(moment: str | datetime) -> Any:
    """The time the server reads, while it lasts."""
    now = when(moment) if isinstance(moment, str) else moment
    return mock.patch("django.utils.timezone.now", return_value=now)


@dataclass
class PhoneAtDoor:
    """A paired phone."""

    phone: Phone
    token: str
    client: Client = field(default_factory=Client)
    count: int = 0

    def __post_init__(self) -> None:
        self.client.cookies[COOKIE] = self.token

    def headers(self) -> dict[str, str]:
        return {"X-CureClock-Phone": str(self.phone.id), "Origin": "http://testserver"}

    def get(self, path: str, at: str | datetime) -> Any:
        with at_the_clock(at):
            return self.client.get(f"/api/{path}")

    def post(self, path: str, at: str | datetime, body: Any, **headers: str) -> Any:
        with at_the_clock(at):
            return self.client.post(
                f"/api/{path}",
                body,
                content_type="application/json",
                headers={**self.headers(), **headers},
            )

    def tap(
        self, verb: str, at: str | datetime, ident: UUID | str | None = None, **said: Any
    ) -> dict[str, Any]:
        """A happening as the phone keeps it."""
        self.count += 1
        moment = when(at) if isinstance(at, str) else at
        return {
            "id": str(ident or uuid4()),
            "verb": verb,
            "at": moment.isoformat(),
            "number": self.count,
            "said": said,
        }

    def tell(
        self,
        *taps: Any,
        at: str | datetime,
        slow_by: timedelta = timedelta(),
        unsent: int = 0,
    ) -> list[dict[str, Any]]:
        """Send taps in one batch; the answers."""
        now = when(at) if isinstance(at, str) else at
        body = {"sent_at": (now - slow_by).isoformat(), "unsent": unsent, "happenings": taps}
        response = self.post("happenings", now, body)
        assert response.status_code == 200, response.content
        return response.json()["answers"]


def paired(cast: Cast, role: str = Membership.Role.OWNER, name: str = "") -> PhoneAtDoor:
    """A phone of a person of this role."""
    teller: Teller = getattr(cast, role)
    assert teller.person is not None
    at = when("Mon 00:00")
    person = name or teller.person.name
    token, _ = pairing_offered(by=cast.owner, person_name=person, role=role, at=at)
    said = PhonePaired(token=token, phone_name=f"phone of {person}")
    phone, _, key = phone_paired(said=said, at=at)
    return PhoneAtDoor(phone, key)


@dataclass
class SensorAtDoor:
    """A sensor with its token."""

    sensor: Sensor
    token: str

    def post(self, path: str, at: str | datetime, body: Any) -> Any:
        headers = {"Authorization": f"Sensor {self.token}"}
        with at_the_clock(at):
            return Client().post(
                f"/api/{path}", body, content_type="application/json", headers=headers
            )


def sensor_in(cast: Cast, place: str = "Shed", rhythm_s: int = 900) -> SensorAtDoor:
    """A sensor in a place of this workshop."""
    said = SensorMade(place=cast.id(place), name=f"{place} sensor", rhythm_s=rhythm_s)
    return SensorAtDoor(*sensor_made(by=cast.owner, said=said))
