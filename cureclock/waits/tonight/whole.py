"""The whole of tonight in one answer, and what to see to before going."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from cureclock.core.wording.say import say
from cureclock.shop.models import Workshop
from cureclock.waits.check.scene import Scene
from cureclock.waits.current import current
from cureclock.waits.ledger import Ledger
from cureclock.waits.rags import rags_out
from cureclock.waits.tonight.ahead import GroupNight, IntoBox, into_box, nights_of
from cureclock.waits.tonight.air import PlaceNight, place_night
from cureclock.waits.tonight.press import PressUp, press_ups
from cureclock.waits.tonight.when import night_ahead


@dataclass(frozen=True)
class GoLine:
    """One thing to see to before going: rags first."""

    key: str
    says: str


@dataclass(frozen=True)
class Tonight:
    """The night ahead.

    Attributes:
        by: the hour at which something has to be open.
        home: when the last goes home, where anybody is there.
        back: when somebody is there again.
        groups: what it spoils, puts to sleep or lets close, in order of time.
        box: what should go where it stays warm.
        before_you_go: rags, windows, cold, the lid, temperatures nobody has entered.
    """

    now: datetime
    by: datetime
    home: datetime | None
    back: datetime | None
    places: tuple[PlaceNight, ...]
    press: tuple[PressUp, ...]
    groups: tuple[GroupNight, ...]
    box: tuple[IntoBox, ...]
    before_you_go: tuple[GoLine, ...]


def tonight(workshop: Workshop, at: datetime, by: str = "") -> Tonight:
    """The night from now on, looked at for an hour."""
    night = night_ahead(workshop, at, by)
    found = current(workshop, at)
    scene = Scene(workshop, at, at, ages=found.ages)
    places = tuple(place_night(scene, place) for place in scene.places)
    groups = nights_of(found, scene, night)
    box = into_box(found, groups, places, scene.ledger)
    rags = [coat.name for coat, _ in rags_out(workshop, at).values()]
    return Tonight(
        now=at,
        by=night.by,
        home=night.home,
        back=night.back,
        places=places,
        press=press_ups(scene, night),
        groups=groups,
        box=box,
        before_you_go=tuple(_before_you_go(rags, groups, box, places, scene.ledger)),
    )


def _before_you_go(
    rags: Sequence[str],
    groups: Sequence[GroupNight],
    box: Sequence[IntoBox],
    places: Sequence[PlaceNight],
    stock: Ledger,
) -> list[GoLine]:
    spoiled = [row.says for row in groups if row.what == "spoils"]
    closing = [row.says for row in groups if row.what == "closes"]
    boxes = [one.name for one in stock.lines if one.kind == "box"]
    unread = [place.name for place in places if place.unsure]
    said = {
        "rags": [say("check.tonight.rags", name=name) for name in rags],
        "cold": spoiled,
        "box": [goes.says for goes in box],
        "closes": closing,
        "lid": [say("check.tonight.lid", name=name) for name in boxes],
        "unsure": [say("check.tonight.enter", place=name) for name in unread],
    }
    return [GoLine(key, says) for key, lines in said.items() for says in lines]
