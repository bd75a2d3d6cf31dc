"""The week of the demo shop, day by day: glue-ups, coats, four mistakes, and how they ended."""

from collections.abc import Sequence
from datetime import date

from cureclock.actions.air_expected import DayPoint
from cureclock.actions.counted import ThingCount
from cureclock.actions.spread_began import JointSaid
from cureclock.demo.log import DAYS, EXPECTED_WEDNESDAY
from cureclock.demo.route import evening, promised, route
from cureclock.demo.shop import numbered, open_demo, pieces
from cureclock.demo.store import stock
from cureclock.demo.teller import Story, Tick

BILLETS = numbered("A-", range(1, 7), 1)
STEMS = numbered("ST-", range(1, 25))
HALVES = numbered("HR-", range(1, 49))
RINGS = numbered("R-", range(1, 25))
STANDS = numbered("L-", range(1, 25))
TRAYS = numbered("T-", range(1, 7), 1)
RIMS = numbered("RM-", range(1, 7), 1)
STEM_ZONES = (("stem", False), ("tenon", True))
STAND_ZONES = (("drum", False), ("foot", False))
TRAY_ZONES = (("top", False), ("underside", False))
DRUM = ("lower", "upper")  # the joints of a drum: disc to ring, ring to disc
REGLUED = ("L-17", "L-18", "L-20", "L-21", "L-22", "L-23", "L-24")


def tell(
    monday: date,
    *,
    zone: str = "Europe/London",
    end: str = "Sun 20:00",
    tick: Tick | None = None,
) -> Story:
    """The demo shop's week from Monday to `end`, told by calling actions."""
    story = open_demo(monday, zone=zone, end=end, tick=tick)
    stock(story)
    route(story)
    days = (_monday, _tuesday, _wednesday, _thursday, _friday, _saturday, _sunday)
    for name, day in zip(DAYS, days, strict=True):
        day(story)
        evening(story, name)
    story.read_until(end)
    story.ended()
    return story


def glue(
    story: Story,
    name: str,
    label: str,
    joints: Sequence[tuple[str, str]],
    *,
    spread: str,
    press: str,
    place: str = "Shed",
    stressed: bool = False,
    under: tuple[str, int] | None = None,
) -> None:
    """A glue-up: spread, then under pressure of so many things. Joints are (piece, joint name)."""
    said = tuple(
        JointSaid(story.id(f"{name}/{tag}/{joint}"), story.id(tag), f"{tag} {joint}")
        for tag, joint in joints
    )
    story.act(
        spread,
        "spread_began",
        glue_up=story.id(name),
        name=name,
        label=story.id(f"{label} label"),
        place=story.id(place),
        joints=said,
        stressed=stressed,
    )
    things = () if under is None else (ThingCount(story.id(under[0]), under[1]),)
    story.act(press, "pressure_on", glue_up=story.id(name), things=things)


def on_each(tags: Sequence[str], *joints: str) -> list[tuple[str, str]]:
    """The same joints on each piece."""
    return [(tag, joint) for tag in tags for joint in joints]


def panel_joints(tags: Sequence[str]) -> list[tuple[str, str]]:
    """Five boards have four joints."""
    return on_each(tags, "joint 1", "joint 2", "joint 3", "joint 4")


def _monday(story: Story) -> None:
    pieces(story, "Mon 12:00", BILLETS, "ash billet", batch="Batch L", lot="Ash")
    promised(story, "Mon 12:05", "Batch L")
    glue(
        story,
        "G1 stem billets",
        "PVA-G",
        on_each(BILLETS, "face"),
        spread="Mon 12:20",
        press="Mon 12:30",
        under=("F-clamps", 33),
    )
    pieces(story, "Mon 13:30", HALVES, "half-ring of five segments", batch="Batch L", lot="Plum")
    story.act("Mon 13:40", "clamps_off", glue_up=story.id("G1 stem billets"))
    mitres = on_each(HALVES, "mitre 1", "mitre 2", "mitre 3", "mitre 4")
    glue(story, "G2 half-rings", "PVA-G", mitres, spread="Mon 13:50", press="Mon 14:00")
    pieces(story, "Mon 15:50", TRAYS, "elm tray", batch="Batch T", zones=TRAY_ZONES, lot="Elm")
    promised(story, "Mon 15:55", "Batch T")
    glue(
        story,
        "G3 panels T-1, T-2",
        "PVA-X",
        panel_joints(TRAYS[:2]),
        spread="Mon 16:04",
        press="Mon 16:10",
        under=("long bars", 6),
    )
    pieces(story, "Mon 17:00", RIMS, "bent pear rim", batch="Batch T", lot="Pear")
    _rim(story, 1, "G4 rim 1", "Mon")
    story.act("Mon 18:05", "clamps_off", glue_up=story.id("G3 panels T-1, T-2"))


def _rim(story: Story, number: int, name: str, day: str) -> None:
    """Six plies round the form, in the warm box for the night."""
    glue(
        story,
        name,
        "Urea-U",
        on_each(RIMS[number - 1 : number], "plies"),
        spread=f"{day} 17:05",
        press=f"{day} 17:15",
        place="Warm box",
        stressed=True,
        under=("tray form", 1),
    )


def _tuesday(story: Story) -> None:
    story.act("Tue 08:00", "clamps_off", glue_up=story.id("G4 rim 1"), by="Helper 1")
    story.act("Tue 08:20", "witness", glue_up=story.id("G1 stem billets"), torn_tenths=9)
    sawn = [[BILLETS[number // 4]] for number in range(24)]
    pieces(story, "Tue 08:50", STEMS, "stem", batch="Batch L", parts=sawn, zones=STEM_ZONES)
    halves = [HALVES[2 * number : 2 * number + 2] for number in range(24)]
    pieces(story, "Tue 09:10", RINGS, "ring", batch="Batch L", parts=halves)
    closing = ("closing 1", "closing 2")
    glue(
        story,
        "G5 rings 1-14",
        "PVA-G",
        on_each(RINGS[:14], *closing),
        spread="Tue 09:20",
        press="Tue 09:30",
        under=("band clamps", 14),
    )
    story.act("Tue 10:40", "clamps_off", glue_up=story.id("G5 rings 1-14"), by="Helper 1")
    glue(
        story,
        "G6 rings 15-24",
        "PVA-G",
        on_each(RINGS[14:], *closing),
        spread="Tue 11:36",
        press="Tue 11:45",
        under=("band clamps", 10),
    )
    story.act("Tue 12:40", "clamps_off", glue_up=story.id("G6 rings 15-24"), by="Helper 1")
    _early_planing(story)
    _first_drums(story)


def _first_drums(story: Story) -> None:
    drums = [[ring] for ring in RINGS]
    pieces(
        story,
        "Tue 15:00",
        STANDS,
        "lantern stand",
        batch="Batch L",
        parts=drums,
        zones=STAND_ZONES,
        lot="Sycamore",
    )
    glue(
        story,
        "G7 drums L-01-08",
        "PVA-G",
        on_each(STANDS[:8], *DRUM),
        spread="Tue 15:22",
        press="Tue 15:30",
        under=("press columns", 2),
    )
    glue(
        story,
        "G7b panels T-3, T-4",
        "PVA-X",
        panel_joints(TRAYS[2:4]),
        spread="Tue 16:14",
        press="Tue 16:20",
        under=("long bars", 6),
    )
    story.act("Tue 16:40", "clamps_off", glue_up=story.id("G7 drums L-01-08"))
    _rim(story, 2, "Rim 2", "Tue")


def _early_planing(story: Story) -> None:
    """T-1 planed at 14.3 of 24 label-hours, because it looked dry."""
    first = [story.id(f"G3 panels T-1, T-2/T-1/joint {number}") for number in range(1, 5)]
    story.act(
        "Tue 14:20",
        "override",
        glue_up=story.id("G3 panels T-1, T-2"),
        act="heavy",
        reason="looks dry",
        joints=tuple(first),
    )


def _wednesday(story: Story) -> None:
    story.act("Wed 08:00", "clamps_off", glue_up=story.id("Rim 2"), by="Helper 1")
    story.act("Wed 08:10", "clamps_off", glue_up=story.id("G7b panels T-3, T-4"))
    story.act("Wed 08:30", "witness", glue_up=story.id("G7 drums L-01-08"), torn_tenths=8)
    glue(
        story,
        "G8 drums L-09-16",
        "PVA-G",
        on_each(STANDS[8:16], *DRUM),
        spread="Wed 10:22",
        press="Wed 10:30",
        under=("press columns", 2),
    )
    waste = on_each(STANDS[:8], "waste block")
    glue(
        story,
        "G9 waste blocks L-01-08",
        "PVA-G",
        waste,
        spread="Wed 11:12",
        press="Wed 11:20",
        under=("hand screws", 8),
    )
    story.act("Wed 11:40", "clamps_off", glue_up=story.id("G8 drums L-09-16"), by="Helper 1")
    story.act("Wed 12:20", "clamps_off", glue_up=story.id("G9 waste blocks L-01-08"))
    _rim(story, 3, "G10 rim 3", "Wed")
    points = tuple(DayPoint(clock, temp_c, rh) for clock, temp_c, rh in EXPECTED_WEDNESDAY)
    story.act("Wed 17:55", "air_expected", place=story.id("Shed"), day=points)
    glue(
        story,
        "G11 drums L-17-24",
        "PVA-G",
        on_each(STANDS[16:], *DRUM),
        spread="Wed 18:02",
        press="Wed 18:10",
        under=("press columns", 2),
    )


def _thursday(story: Story) -> None:
    story.act("Thu 08:00", "air_expected", place=story.id("Shed"), day=())
    g11 = story.id("G11 drums L-17-24")
    story.act("Thu 09:35", "things_freed", about=g11)  # out of the columns, and one to the lathe
    l19 = tuple(story.id(f"G11 drums L-17-24/L-19/{joint}") for joint in DRUM)
    story.act(
        "Thu 09:40", "override", glue_up=g11, act="spin", reason="hard squeeze-out", joints=l19
    )
    story.act("Thu 09:42", "joint_opened", glue_up=g11, joints=l19[1:], why="opened on the lathe")
    story.act("Thu 09:45", "piece_lost", piece=story.id("R-19"), why="ring and disc lost")
    story.act("Thu 10:00", "witness", glue_up=g11, torn_tenths=1)
    story.act("Thu 10:20", "clamps_off", glue_up=story.id("G10 rim 3"), by="Helper 1")
    split = "split by hand, faces cut anew"
    story.act("Thu 10:40", "joint_opened", glue_up=g11, why=split, by_hand=True)
    story.act("Thu 11:00", "hours_lost", glue_up=g11, hours=1.5, why="make L-19's ring again")
    story.act(
        "Thu 14:50", "hours_lost", glue_up=g11, hours=2.3, why="split and re-face seven drums"
    )
    again = on_each(REGLUED, *DRUM)
    glue(
        story,
        "G12 drums glued anew",
        "PVA-G",
        again,
        spread="Thu 14:57",
        press="Thu 15:05",
        under=("press columns", 2),
    )
    waste = on_each(STANDS[8:16], "waste block")
    glue(
        story,
        "G13 waste blocks L-09-16",
        "PVA-G",
        waste,
        spread="Thu 15:52",
        press="Thu 16:00",
        under=("hand screws", 8),
    )
    story.act("Thu 16:10", "clamps_off", glue_up=story.id("G12 drums glued anew"))
    story.act("Thu 17:00", "clamps_off", glue_up=story.id("G13 waste blocks L-09-16"))
    _rim(story, 4, "Rim 4", "Thu")


def _friday(story: Story) -> None:
    story.act("Fri 08:00", "clamps_off", glue_up=story.id("Rim 4"), by="Helper 1")
    story.act("Fri 08:30", "witness", glue_up=story.id("G12 drums glued anew"), torn_tenths=9)
    for tag in STANDS[:8]:
        story.act("Fri 10:00", "joints_declared", piece=story.id(tag))
    _coat(story, "Stems, coat 1", "Varnish-W", [(tag, "stem") for tag in STEMS], at="Fri 10:30")
    story.act("Fri 11:25", "coat_ended", coat=story.id("Stems, coat 1"))
    story.act("Fri 11:34", "rag_placed", coat=story.id("Stems, coat 1"), where="flat_outside")
    _rim(story, 5, "Rim 5", "Fri")
    story.act(
        "Fri 19:00", "checked", coat=story.id("Stems, coat 1"), gate="recoat_opens", result="tacky"
    )


def _coat(
    story: Story,
    name: str,
    label: str,
    zones: Sequence[tuple[str, str]],
    *,
    at: str,
    by: str = "Maker",
) -> None:
    story.act(
        at,
        "coat_began",
        by=by,
        coat=story.id(name),
        name=name,
        label=story.id(f"{label} label"),
        place=story.id("Shed"),
        zones=tuple(story.id(f"{tag}/{zone}") for tag, zone in zones),
    )


def _saturday(story: Story) -> None:
    story.act("Sat 08:00", "clamps_off", glue_up=story.id("Rim 5"))
    story.act(
        "Sat 08:30", "checked", coat=story.id("Stems, coat 1"), gate="recoat_opens", result="ready"
    )
    first = [(tag, "stem") for tag in STEMS[:12]]
    _coat(story, "Stems 1-12, coat 2", "Varnish-W", first, at="Sat 09:50", by="Helper 2")
    _tags_swapped(story)
    story.act("Sat 10:19", "coat_ended", coat=story.id("Stems 1-12, coat 2"), by="Helper 2")
    rest = [(tag, "stem") for tag in STEMS[12:]]
    shut = tuple(story.id(f"{tag}/stem") for tag in STEMS[12:])
    story.act("Sat 11:50", "scuffed", coat=story.id("Stems, coat 1"), zones=shut)
    why = "scuff twelve stems"
    story.act("Sat 11:52", "hours_lost", coat=story.id("Stems, coat 1"), hours=0.6, why=why)
    _coat(story, "Stems 13-24, coat 2", "Varnish-W", rest, at="Sat 11:55")
    story.act("Sat 12:23", "coat_ended", coat=story.id("Stems 13-24, coat 2"))
    for name in ("Stems 1-12, coat 2", "Stems 13-24, coat 2"):
        story.act("Sat 12:51", "rag_placed", coat=story.id(name), where="under_water")
    for tag in STANDS[8:16]:
        story.act("Sat 13:00", "joints_declared", piece=story.id(tag))
    _coat(story, "T-1, coat 1", "Hardwax-H", [("T-1", "top")], at="Sat 14:00")
    story.act("Sat 14:10", "coat_ended", coat=story.id("T-1, coat 1"))
    story.act("Sat 14:19", "wiped", coat=story.id("T-1, coat 1"))
    story.act("Sat 14:27", "rag_placed", coat=story.id("T-1, coat 1"), where="flat_outside")
    story.act("Sat 14:50", "wiped", coat=story.id("T-1, coat 1"))
    story.act("Sat 14:55", "rag_placed", coat=story.id("T-1, coat 1"), where="flat_outside")


def _tags_swapped(story: Story) -> None:
    """L-05 and L-06 changed tags on Friday; found when one showed what nobody had done to it."""
    story.act(
        "Sat 10:05",
        "records_swapped",
        by="Helper 2",
        first=story.id("L-05"),
        second=story.id("L-06"),
        since=story.when("Fri 15:00"),
        note="L-05 showed two coats before anyone had coated it",
    )


def _sunday(story: Story) -> None:
    tray, sunk = story.id("T-1, coat 1"), story.id("G3 panels T-1, T-2")
    story.act("Sun 00:10", "checked", coat=tray, gate="recoat_opens", result="tacky")
    story.act("Sun 08:20", "checked", coat=tray, gate="recoat_opens", result="ready")
    story.act("Sun 10:00", "checked", glue_up=sunk, gate="final_surfacing", result="bad")
    why = "strip T-1 and surface it again"
    story.act("Sun 10:00", "hours_lost", glue_up=sunk, hours=0.8, why=why)
    held = (DayPoint("00:00", 13.0, 67.0),)
    story.act("Sun 20:00", "air_expected", place=story.id("Shed"), day=held)
