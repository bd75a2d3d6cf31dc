"""A fixed cast for every room of tests: an owner, a helper, a viewer, a stranger, a shed.

Everything happens by calling verbs, as a phone would; `at` is told, never read.
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from cureclock.actions.registry import verbs
from cureclock.actions.verb import Done
from cureclock.shop.happening import Happening, Teller
from cureclock.shop.models import Membership, Person, Workshop

MONDAY = datetime(2026, 2, 2, tzinfo=UTC)  # a Monday in late winter
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

# The demo scenario's label, in label-hours at 20 degC: invented, kept for tests.
PVA_G: dict[str, Any] = {
    "total_assembly": 0.2,
    "open_time": None,
    "scrape_opens": None,
    "scrape_closes": None,
    "clamps_off": 0.75,
    "light": 4,
    "heavy": 12,
    "spin": 24,
    "service": 72,
    "final_surfacing": 168,
    "keep_warm": 2,
    "min_c": 10,
    "states_rule": True,
}


def when(text: str) -> datetime:
    """ "Mon 16:00", or "+8 02:30" for the ninth day, as an instant."""
    day, clock = text.split()
    number = DAYS.index(day) if day in DAYS else int(day)
    hour, minute = (int(part) for part in clock.split(":"))
    return MONDAY + timedelta(days=number, hours=hour, minutes=minute)


@dataclass
class Cast:
    """One workshop with its people, told of by verbs."""

    workshop: Workshop
    owner: Teller
    helper: Teller
    viewer: Teller
    named: dict[str, UUID] = field(default_factory=dict)

    @classmethod
    def open(cls, name: str = "Slipway shed") -> "Cast":
        workshop = Workshop.objects.create(name=name, zone="UTC", made_at=when("Mon 00:00"))
        tellers = []
        for role in (Membership.Role.OWNER, Membership.Role.HELPER, Membership.Role.VIEWER):
            person = Person.objects.create(name=f"{role.title()} of {name}")
            Membership.objects.create(workshop=workshop, person=person, role=role)
            tellers.append(Teller(workshop, person, role))
        return cls(workshop, *tellers)

    def id(self, name: str) -> UUID:
        """The id of a thing by the name the test gives it, made at its first mention."""
        return self.named.setdefault(name, uuid4())

    def do(
        self,
        verb: str,
        at: str | datetime,
        *,
        arrived: str | datetime | None = None,
        by: Teller | None = None,
        ident: UUID | None = None,
        **said: Any,
    ) -> Done:
        """Tell a verb; plain words for its shape."""
        happened = when(at) if isinstance(at, str) else at
        came = when(arrived) if isinstance(arrived, str) else arrived or happened
        told = verbs()[verb]
        happening = Happening(ident or uuid4(), by or self.owner, happened, came)
        return told.do(happening, told.shape(**said))

    def place(self, name: str = "Shed", at: str = "Mon 00:00") -> UUID:
        self.do("place_made", at, place=self.id(name), name=name)
        return self.id(name)

    def material(
        self,
        name: str = "PVA-G",
        family: str = "pva_interior",
        values: dict[str, Any] | None = None,
        at: str = "Mon 00:00",
    ) -> UUID:
        """A material with its label read; the label's id."""
        self.do(
            "label_read",
            at,
            material=self.id(name),
            label=self.id(f"{name} label"),
            name=name,
            family=family,
            values=PVA_G if values is None else values,
        )
        return self.id(f"{name} label")

    def piece(self, tag: str, at: str = "Mon 00:00", **said: Any) -> UUID:
        from cureclock.actions.pieces_made import PieceSaid

        self.do("pieces_made", at, pieces=(PieceSaid(self.id(tag), tag, **said),))
        return self.id(tag)

    def spread(
        self,
        name: str,
        tags: list[str],
        at: str,
        *,
        label: str = "PVA-G label",
        place: str = "Shed",
        thickness_mm: float | None = None,
    ) -> UUID:
        """A glue-up of one joint on each piece, of wood so thick."""
        from cureclock.actions.spread_began import JointSaid

        joints = tuple(
            JointSaid(self.id(f"{name}/{t}"), self.id(t), f"{name} {t}", thickness_mm) for t in tags
        )
        self.do(
            "spread_began",
            at,
            glue_up=self.id(name),
            name=name,
            label=self.id(label),
            place=self.id(place),
            joints=joints,
        )
        return self.id(name)

    def press(self, name: str, at: str, **more: Any) -> Done:
        return self.do("pressure_on", at, glue_up=self.id(name), **more)

    def read(self, at: str, temp_c: float, rh_pct: float | None = None, **more: Any) -> Done:
        place = more.pop("place", "Shed")
        return self.do(
            "reading_taken", at, place=self.id(place), temp_c=temp_c, rh_pct=rh_pct, **more
        )
