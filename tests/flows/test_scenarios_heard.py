"""Days in the shop from taps to what is heard: the act, what is to blame for it, and the moment.

Every tap goes through the API, and the clock that fires and sends stands where the tap stood.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import pytest

from cureclock.reminders.channels.message import Outgoing
from tests.api.door import PhoneAtDoor, paired
from tests.cast import PVA_G, Cast
from tests.flows.before import Answer, clock, hours
from tests.reminders.stage import Stage

pytestmark = [pytest.mark.django_db, pytest.mark.slow]


@dataclass
class Day:
    """A shed, a phone that taps and hears, and the clock."""

    stage: Stage = field(default_factory=lambda: Stage.open("Mon 00:00"))
    phone: PhoneAtDoor = field(init=False)

    def __post_init__(self) -> None:
        self.phone = paired(self.cast)

    @property
    def cast(self) -> Cast:
        return self.stage.cast

    def tap(self, verb: str, at: str, **said: Any) -> None:
        """One tap, sent at once."""
        (answer,) = self.phone.tell(self.phone.tap(verb, at, **said), at=at)
        assert answer["outcome"] == "applied", answer

    def pieces(self, *tags: str, at: str = "Mon 00:01") -> None:
        made = [{"id": str(self.cast.id(tag)), "tag": tag} for tag in tags]
        self.tap("pieces_made", at, pieces=made)

    def pressed(self, name: str, tags: Sequence[str], spread: str, press: str, **more: Any) -> None:
        """Spread, and pressure on."""
        joints = [
            {
                "id": str(self.cast.id(f"{name}/{tag}")),
                "piece": str(self.cast.id(tag)),
                "name": f"{name} {tag}",
            }
            for tag in tags
        ]
        place = str(self.cast.id(more.pop("place", "Shed")))
        ids = {"glue_up": str(self.cast.id(name))}
        label = str(self.cast.id("PVA-G label"))
        self.tap("spread_began", spread, **ids, name=name, label=label, place=place, joints=joints)
        self.tap("pressure_on", press, **ids, **more)

    def heard(self, *at: str) -> list[Outgoing]:
        """What is heard as the clock goes from moment to moment."""
        return [one for moment in at for one in self.stage.tick(moment)]

    def group(self, name: str, at: str) -> dict[str, Answer]:
        """The gates of a glue-up as the phone shows them."""
        told = self.phone.get(f"groups/{self.cast.id(name)}", at).json()
        return {gate["kind"]: gate for gate in told["gates"]}


def one(heard: Sequence[Outgoing], start: str) -> Outgoing:
    """The one message that begins so."""
    found = [message for message in heard if message.title.startswith(start)]
    assert len(found) == 1, [message.title for message in heard]
    return found[0]


def test_a_cold_night_is_told_in_the_morning_and_the_lowest_that_is_entered_moves_the_rest() -> (
    None
):
    """A. Rings pressed at noon were set before the cold, drums pressed in the evening were not."""
    day = Day()
    day.cast.read("Mon 08:00", 18.0)
    day.pieces("R-1", "L-1")
    day.pressed("Ring loads 1", ["R-1"], "Mon 11:55", "Mon 12:00")
    day.pressed("Drums", ["L-1"], "Mon 17:40", "Mon 17:45")
    day.cast.read("Mon 17:50", 11.5)
    day.heard("Mon 12:46", "Mon 17:51", "Mon 18:31", "Mon 20:00")
    day.cast.read("Tue 04:00", 4.0)
    morning = one(day.heard("Tue 04:01", "Tue 07:39", "Tue 07:40"), "Start here")
    assert morning.title.startswith("Start here – night low 4 °C")
    assert "1 suspect" in morning.title
    assert morning.body.startswith("Bring nothing to the lathe yet.")
    assert "Hold back – Drums L-1" in morning.body
    assert "Hold back – Ring" not in morning.body
    before = clock(day.group("Ring loads 1", "Tue 07:54")["spin"]["acts"], "last")
    day.tap("lowest_last_night", "Tue 07:55", place=str(day.cast.id("Shed")), temp_c=1.0)
    after = clock(day.group("Ring loads 1", "Tue 07:56")["spin"]["acts"], "last")
    assert after > before + 0.1
    said = day.phone.get(f"pieces/{day.cast.id('L-1')}/may?act=spin", "Tue 07:56").json()
    assert said["word"] == "no"
    assert "suspect_cold" in {reason["key"] for reason in said["reasons"]}


def test_pressed_into_the_box_the_clamps_call_by_day_and_the_last_look_names_what_shuts() -> None:
    """B. In the box at ten past five; off before home, the CNC not before the night, the lid."""
    day = Day()
    cast = day.cast
    cast.place("Warm box")
    cast.read("Mon 16:30", 13.0)
    cast.read("Mon 16:30", 24.0, place="Warm box")
    said = {"thing": cast.id("Box"), "name": "Warm box", "kind": "box", "count": 300}
    cast.do("things_owned", "Mon 00:01", **said, place=cast.id("Warm box"))
    tags = [f"S-{number}" for number in range(1, 9)]
    day.pieces(*tags)
    day.pressed("Stacks", tags, "Mon 17:05", "Mon 17:11", place="Warm box")
    gates = day.group("Stacks", "Mon 17:12")
    assert clock(gates["clamps_off"]["acts"], "last") == pytest.approx(
        hours("Mon", "17:45"), abs=0.06
    )
    assert clock(gates["heavy"]["acts"], "last") == pytest.approx(hours("Tue", "02:20"), abs=0.2)
    off = one(day.heard("Mon 17:12", "Mon 17:44", "Mon 17:46"), "Take clamps off – Stacks")
    assert "no plane, no disc before 20:" in off.body.lower()
    told = day.phone.get("tonight", "Mon 17:47").json()
    assert "lid" in {line["key"] for line in told["before_you_go"]}


def test_on_ring_day_open_time_the_bead_and_the_bands_call_in_their_order() -> None:
    """C. Two minutes before it skins, when it scrapes, when the bands come off; the disc rests."""
    day = Day()
    cast = day.cast
    del cast.named["PVA-G label"]
    values = {**PVA_G, "open_time": 0.2, "total_assembly": 0.5, "scrape_opens": 0.6}
    cast.material(values={**values, "scrape_closes": 1.0})
    cast.read("Tue 08:30", 20.0)
    said = {"thing": cast.id("Bands"), "name": "Bands", "kind": "band", "count": 14}
    cast.do("things_owned", "Mon 00:01", **said)
    tags = [f"R-{number:02d}" for number in range(1, 15)]
    day.pieces(*tags)
    things = [{"thing": str(cast.id("Bands")), "count": 14}]
    joints = [
        {"id": str(cast.id(f"j{tag}")), "piece": str(cast.id(tag)), "name": tag} for tag in tags
    ]
    ids = {"glue_up": str(cast.id("Load 1"))}
    label, place = str(cast.id("PVA-G label")), str(cast.id("Shed"))
    day.tap(
        "spread_began", "Tue 09:02", **ids, name="Load 1", label=label, place=place, joints=joints
    )
    close = one(day.heard("Tue 09:03", "Tue 09:12"), "Close it up")
    assert close.title.startswith("Close it up – 2 min of open time, Load 1")
    day.tap("pressure_on", "Tue 09:13", **ids, things=things)
    scrape = one(day.heard("Tue 09:14", "Tue 09:48", "Tue 09:50"), "Scrape the squeeze-out")
    assert "Load 1 R-01–14" in scrape.title
    off = one(day.heard("Tue 09:57", "Tue 09:59"), "Take clamps off")
    assert "no plane, no disc before 13:13" in off.body.lower()
    day.tap("clamps_off", "Tue 10:05", **ids)
    (bands,) = day.phone.get("ledger", "Tue 10:06").json()["lines"]
    assert (bands["free"], bands["held"]) == (14, 0)
    assert day.heard("Tue 10:10", "Tue 10:20") == []


def test_what_shuts_at_three_is_said_before_home_and_nothing_rings_at_three() -> None:
    """F. 45 minutes of work and home at six make a quarter to five; in the morning it is scuffing."""
    day = Day()
    cast = day.cast
    cast.read("Mon 10:00", 18.0)
    values = {"recoat_opens": 4, "recoat_closes": {"hours": 16, "by_wall": True}, "wipe_off": None}
    cast.material("Varnish", "varnish_wiping", values)
    tags = [f"S-{number}" for number in range(1, 13)]
    made = [
        {
            "id": str(cast.id(tag)),
            "tag": tag,
            "zones": [{"id": str(cast.id(f"{tag} stem")), "name": "stem"}],
        }
        for tag in tags
    ]
    day.tap("pieces_made", "Mon 00:01", pieces=made)
    ids = {"coat": str(cast.id("Hooks"))}
    zones = [str(cast.id(f"{tag} stem")) for tag in tags]
    label, place = str(cast.id("Varnish label")), str(cast.id("Shed"))
    day.tap("coat_began", "Mon 10:40", **ids, name="Hooks", label=label, place=place, zones=zones)
    day.tap("coat_ended", "Mon 11:00", **ids)
    one(day.heard("Mon 11:05", "Mon 11:06"), "Put the rags safe")
    day.tap("rag_placed", "Mon 11:09", **ids, where="flat_outside")
    heard = day.heard(*[f"Mon {h:02d}:{m:02d}" for h in range(15, 19) for m in (0, 45)])
    recoat = one(heard, "Recoat before you go – Hooks S-1–12")
    assert "not after 02:4" in recoat.title
    assert "scuff tomorrow" in recoat.body
    night = [f"{at}:{m:02d}" for at in ("Tue 02", "Tue 03", "Tue 04") for m in (0, 15, 30, 45)]
    assert day.heard("Mon 23:00", *night) == []
    morning = day.heard("Tue 07:40", "Tue 08:00", "Tue 08:20", "Tue 08:40")
    assert any("Scuff first – Hooks" in f"{message.title}\n{message.body}" for message in morning)
