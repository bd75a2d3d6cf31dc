"""The demo shop's wood store and shelf: lots, bowls that dry by the scale, bottles and cans."""

from datetime import timedelta
from typing import Any

from cureclock.demo.teller import Story

# Lot, wood, moisture as metered [%], and what is wanted of it. Invented.
LOTS = (
    ("Sycamore", "sycamore", 11.0, 12.0),
    ("Plum", "plum", 9.6, 12.0),
    ("Ash", "ash", 11.6, 12.0),
    ("Pear", "pear", 9.0, 10.0),
    ("Elm", "elm", 12.4, 12.0),
    ("Poplar", "poplar", 13.5, 12.0),
)
BOWL_G = (1840, 1712, 1622, 1559, 1515)  # R-1, week by week
OTHER_BOWLS = {"R-2": 0.96, "R-3": 1.03, "R-4": 0.91, "R-5": 1.08}  # R-1's weights times this
ROWAN = ((67, 24.0), (7, 18.0))  # days before Sunday, and metered [%]
RACK_EMC_PCT = 12.0
# Container of which material, days since it was opened, months it is good for, grams left of.
SHELF = (
    ("PVA-G", "bottle of PVA-G", 20, 540, 2600.0, 5000.0),
    ("PVA-X", "bottle of PVA-X", 45, 300, 700.0, 1000.0),
    ("Urea-U", "tin of Urea-U", 60, 280, 1400.0, 2500.0),
    ("Varnish-W", "can of Varnish-W", 12, 700, 800.0, 1000.0),
    ("Hardwax-H", "can of Hardwax-H", 90, 600, 350.0, 750.0),
)
# What ties things up: name, kind, kind of clamp, how many, force of one [kN], pieces that one
# takes, where it hangs.
THINGS = (
    ("F-clamps", "clamp", "f_clamp", 36, 4.0, 1, ""),
    ("long bars", "clamp", "", 8, 5.0, 1, ""),
    ("band clamps", "band", "", 14, None, 1, ""),
    ("hand screws", "clamp", "", 8, None, 1, ""),
    ("press columns", "column", "", 2, 50.0, 4, ""),
    ("tray form", "form", "", 1, None, 1, ""),
    ("beam hooks", "hook", "", 24, None, 1, "Shed"),
    ("cupboard hooks", "hook", "", 12, None, 1, "Cupboard"),
    ("points", "point", "", 40, None, 1, ""),
)
SUNDAY = timedelta(days=6, hours=2, minutes=30)  # from Monday half past seven


def stock(story: Story) -> None:
    """What was in the shop when the week began, out of the maker's notebook."""
    for name, wood, mc_pct, wanted_pct in LOTS:
        _lot(story, name, wood=wood, wanted_pct=wanted_pct, place=story.id("Shed"))
        story.act("Mon 07:30", "metered", lot=story.id(f"lot {name}"), mc_pct=mc_pct)
    _lot(story, "Rowan plank", wood="rowan", wanted_pct=14.0, emc_pct=RACK_EMC_PCT, ago_days=70)
    for days, mc_pct in ROWAN:
        ago = timedelta(days=days) - SUNDAY
        story.act("Mon 07:30", "metered", ago=ago, lot=story.id("lot Rowan plank"), mc_pct=mc_pct)
    for name, share in {"R-1": 1.0, **OTHER_BOWLS}.items():
        _lot(story, name, wood="robinia", ago_days=40)
        for week, weight_g in enumerate(BOWL_G):
            ago = timedelta(weeks=len(BOWL_G) - week) - SUNDAY
            weight = round(weight_g * share)
            story.act("Mon 07:30", "weighed", ago=ago, lot=story.id(f"lot {name}"), weight_g=weight)
    _shelf(story)
    _ledger(story)


def _lot(story: Story, name: str, *, ago_days: int = 0, **said: Any) -> None:
    ago = timedelta(days=ago_days)
    story.act("Mon 07:30", "lot_taken_in", ago=ago, lot=story.id(f"lot {name}"), name=name, **said)


def _shelf(story: Story) -> None:
    for material, name, opened_days, good_days, left_g, holds_g in SHELF:
        container = story.id(name)
        ago = timedelta(days=opened_days)
        story.act(
            "Mon 07:30",
            "container_taken_in",
            ago=ago,
            container=container,
            material=story.id(material),
            name=name,
            expires=story.monday + timedelta(days=good_days),
            holds_g=holds_g,
        )
        story.act("Mon 07:30", "container_opened", ago=ago, container=container)
        story.act("Mon 07:30", "container_left", container=container, left_g=left_g)


def _ledger(story: Story) -> None:
    for name, kind, sort, count, force_kn, takes, place in THINGS:
        story.act(
            "Mon 07:30",
            "things_owned",
            thing=story.id(name),
            name=name,
            kind=kind,
            sort=sort,
            count=count,
            force_kn=force_kn,
            takes=takes,
            place=story.id(place) if place else None,
        )
