"""The demo workshop before its week begins: people, places, loggers, materials, pieces."""

from collections.abc import Sequence
from datetime import date

from cureclock.actions.air_expected import DayPoint
from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.demo.log import BOX_C, BOX_RH
from cureclock.demo.teller import Story, Tick
from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership, Person, Sensor, Workshop

# Label values of the demo's own containers, in label-hours at 20 degC (invented). Each maker
# states the doubling rule as his own, down to the minimum.
LABELS: dict[str, tuple[str, dict[str, object]]] = {
    "PVA-G": (
        "pva_interior",
        {
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
        },
    ),
    "PVA-X": (
        "pva_cross_linking",
        {
            "open_time": None,
            "scrape_opens": None,
            "scrape_closes": None,
            "pot_life": None,
            "clamps_off": 1.5,
            "light": 6,
            "heavy": 24,
            "spin": 24,
            "service": 96,
            "final_surfacing": 168,
            "keep_warm": 3,
            "min_c": 12,
            "states_rule": True,
        },
    ),
    "Urea-U": (
        "urea_powder",
        {
            "clamps_off_stressed": 8,
            "clamps_off": 8,
            "light": 12,
            "heavy": 24,
            "spin": 48,
            "min_c": 18,
            "sleep_below_c": 18,
            "states_rule": True,
        },
    ),
    "Varnish-W": (
        "varnish_wiping",
        {
            "wipe_off": None,
            "dust_free": 2,
            "touch": 4,
            "recoat_opens": 8,
            "handle": 12,
            "recoat_closes": {"hours": 24, "by_wall": True},
            "wrap": 168,
            "states_rule": True,
        },
    ),
    "Hardwax-H": (
        "hardwax_oil",
        {
            "wipe_off": 1 / 3,
            "dust_free": 4,
            "touch": 8,
            "recoat_opens": 12,
            "handle": 24,
            "recoat_closes": 48,
            "wrap": 120,
            "states_rule": True,
        },
    ),
}
PLACES = ("Shed", "Warm box", "Cupboard")


def open_demo(
    monday: date,
    *,
    zone: str = "Europe/London",
    end: str = "Sun 20:00",
    tick: Tick | None = None,
) -> Story:
    """The demo workshop with its people, places, loggers and labels, on Monday at midnight."""
    story = _people(monday, zone, end, tick)
    for name in PLACES:
        story.act("Mon 00:00", "place_made", place=story.id(name), name=name)
    for name in PLACES:
        place = story.workshop.places.select_related("workshop").get(name=name)
        rhythm_s = 4 * 3600
        story.sensors[name] = Sensor.objects.create(
            id=story.id(f"{name} logger"), place=place, name=f"{name} logger", rhythm_s=rhythm_s
        )
    steady = (DayPoint("00:00", BOX_C, BOX_RH),)
    story.act("Mon 00:00", "air_expected", place=story.id("Warm box"), day=steady)
    for name, (family, values) in LABELS.items():
        story.act(
            "Mon 00:00",
            "label_read",
            material=story.id(name),
            label=story.id(f"{name} label"),
            name=name,
            family=family,
            values=values,
            container=f"first container of {name}",
        )
    return story


def _people(monday: date, zone: str, end: str, tick: Tick | None) -> Story:
    workshop = Workshop(name="Slipway shed", zone=zone)
    story = Story(workshop, {}, monday, end, tick)
    workshop.made_at = story.when("Mon 00:00")
    workshop.save()
    roles = {"Maker": "owner", "Helper 1": "helper", "Helper 2": "helper"}
    for name, role in roles.items():
        person = Person.objects.create(id=story.id(name), name=name)
        Membership.objects.create(workshop=workshop, person=person, role=role)
        story.people[name] = Teller(workshop, person, role)
    return story


def numbered(prefix: str, numbers: Sequence[int], digits: int = 2) -> list[str]:
    """Tags in order.

    >>> numbered("L-", [1, 12])
    ['L-01', 'L-12']
    """
    return [f"{prefix}{number:0{digits}d}" for number in numbers]


def pieces(
    story: Story,
    at: str,
    tags: Sequence[str],
    what: str,
    *,
    batch: str = "",
    parts: Sequence[Sequence[str]] = (),
    zones: Sequence[tuple[str, bool]] = (),
    lot: str = "",
) -> None:
    """Pieces get their numbers; each may be made from others, of a lot of wood, and have zones."""
    said = tuple(
        PieceSaid(
            story.id(tag),
            tag,
            what,
            tuple(ZoneSaid(story.id(f"{tag}/{name}"), name, bare) for name, bare in zones),
            tuple(story.id(part) for part in (parts[number] if parts else ())),
            story.id(f"lot {lot}") if lot else None,
        )
        for number, tag in enumerate(tags)
    )
    known = story.id(batch) if batch else None
    story.act(at, "pieces_made", pieces=said, batch=known, batch_name=batch)
