"""A form that may be emptied says so, and what goes in next; what hangs may hang by the dry zone.

And what was said to be fit for wrapping and is not is not to be wrapped.
"""

from typing import Any

import pytest

from cureclock.actions.counted import ThingCount
from cureclock.actions.pieces_made import PieceSaid, ZoneSaid
from cureclock.actions.route_told import AfterSaid, StepSaid, TakeSaid
from cureclock.core.planning.solve import Effort
from cureclock.planner.resolve import Work, claim, resolve
from cureclock.reminders.channels.message import Outgoing
from tests.cast import when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db

QUICK = Work(Effort(limit_s=0.3), Effort(limit_s=0.3), None)
VARNISH = {"wipe_off": None, "touch": 1, "handle": 3, "wrap": 100, "recoat_opens": None}


def told(on: Stage, until: str, *clocks: str) -> list[Outgoing]:
    return [one for clock in (*clocks, until) for one in on.tick(clock)]


def forms(on: Stage, *, bent: bool = True) -> Stage:
    on.cast.read("Mon 08:00", 20.0)
    said = {"thing": on.cast.id("form"), "name": "tray form", "count": 1}
    on.cast.do("things_owned", "Mon 08:00", **said, kind="form" if bent else "clamp")
    for tag in ("R-4", "R-5"):
        piece = (PieceSaid(on.cast.id(tag), tag),)
        batch = {"batch": on.cast.id("rims"), "batch_name": "rims"}
        on.cast.do("pieces_made", "Mon 08:00", pieces=piece, **batch)
    return on


def pressed(on: Stage) -> Stage:
    on.cast.spread("Rim", ["R-4"], "Mon 09:00")
    on.cast.press("Rim", "Mon 09:05", things=(ThingCount(on.cast.id("form"), 1),))
    return on


def freed(on: Stage) -> Outgoing:
    (found,) = [one for one in told(on, "Mon 10:10", "Mon 09:51") if "Rim R-4" in one.title]
    return found


def test_a_form_that_may_be_emptied_says_so_at_the_gate_and_what_is_still_forbidden():
    found = freed(pressed(forms(Stage.open())))
    assert found.title == "Take Rim R-4 out – form free"
    assert "No plane, no disc before" in found.body


def test_the_plan_says_what_goes_in_next():
    on = pressed(forms(Stage.open()))
    cast = on.cast
    glue = StepSaid(
        "bend rims",
        hands_min=20,
        place=cast.id("Shed"),
        material=cast.id("PVA-G"),
        takes=(TakeSaid(cast.id("form"), 1, "rim out"),),
    )
    out = StepSaid("rim out", hands_min=5, after=(AfterSaid("bend rims", "clamps_off"),))
    cast.do("route_told", "Mon 09:10", route=cast.id("route"), name="rims", steps=(glue, out))
    cast.do("batch_routed", "Mon 09:10", batch=cast.id("rims"), count=2, route=cast.id("route"))
    claim(cast.workshop.id, when("Mon 09:11"))
    resolve(cast.workshop, when("Mon 09:11"), QUICK)
    assert freed(on).title == "Take Rim R-4 out – form free for bend rims"


def test_clamps_come_off_in_their_own_words_and_so_does_a_form_that_somebody_freed():
    assert freed(pressed(forms(Stage.open(), bent=False))).title.startswith("Take clamps off")
    on = pressed(forms(Stage.open()))
    on.cast.do("things_freed", "Mon 09:20", about=on.cast.id("Rim"))
    assert freed(on).title.startswith("Take clamps off")


def coated(on: Stage, kind: str, zones: tuple[str, ...] = ("stem",)) -> list[Outgoing]:
    cast = on.cast
    cast.read("Mon 08:00", 20.0)
    cast.material("Varnish", "varnish_wiping", VARNISH)
    said = {"thing": cast.id("hook"), "name": "beam", "kind": kind, "count": 24}
    cast.do("things_owned", "Mon 08:00", **said)
    own = tuple(ZoneSaid(cast.id(zone), zone) for zone in zones)
    cast.do("pieces_made", "Mon 08:00", pieces=(PieceSaid(cast.id("L-1"), "L-1", zones=own),))
    more: dict[str, Any] = {"label": cast.id("Varnish label"), "place": cast.id("Shed")}
    hooks = (ThingCount(cast.id("hook"), 1),)
    ids = tuple(cast.id(zone) for zone in zones)
    cast.do("coat_began", "Mon 09:00", coat=cast.id("C"), name="C", zones=ids, things=hooks, **more)
    cast.do("coat_ended", "Mon 09:05", coat=cast.id("C"))
    sent = told(on, "Mon 12:20", "Mon 10:10", "Mon 12:06")
    return [one for one in sent if one.title.startswith(("Hang", "Handle"))]


def test_what_hangs_on_a_hook_may_hang_by_the_zone_that_is_dry_to_handle():
    (found,) = coated(Stage.open(), "hook")
    assert found.title == "Hang by the stem – C L-1, Shed, dry to handle"
    assert "wrapping before" in found.body


@pytest.mark.parametrize(("kind", "zones"), [("point", ("top",)), ("hook", ("stem", "drum"))])
def test_what_lies_on_points_or_is_wet_in_several_zones_is_told_to_be_handled(kind, zones):
    (found,) = coated(Stage.open(), kind, zones)
    assert found.title.startswith("Handle with clean hands")


def test_what_was_said_to_be_fit_for_wrapping_and_is_not_is_told_so_with_when():
    on = Stage.open()
    cast = on.cast
    cast.read("Mon 08:00", 20.0)
    cast.material("Varnish", "varnish_wiping", {**VARNISH, "handle": None, "wrap": 2})
    own = (ZoneSaid(cast.id("stem"), "stem"),)
    cast.do("pieces_made", "Mon 08:00", pieces=(PieceSaid(cast.id("L-1"), "L-1", zones=own),))
    more: dict[str, Any] = {"label": cast.id("Varnish label"), "place": cast.id("Shed")}
    cast.do("coat_began", "Mon 09:00", coat=cast.id("C"), name="C", zones=(own[0].id,), **more)
    cast.do("coat_ended", "Mon 09:05", coat=cast.id("C"))
    titles = [one.title for one in told(on, "Mon 11:06", "Mon 10:10")]
    assert "Stack or wrap – C L-1, Shed" in titles
    cast.read("Mon 11:07", 6.0)
    sent = told(on, "Mon 11:09", "Mon 11:07", "Mon 11:08")
    (found,) = [one for one in sent if one.title.startswith("Do not wrap before ")]
    assert "the air was colder" in found.body
    assert "the film prints" in found.body
