"""Looks: the last useful moment, cold ahead, silence, doubt; each said once and early enough."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from cureclock.actions.readings_taken import readings_taken
from cureclock.reminders.clock import FakeClock
from cureclock.reminders.models import Alert, Delivery
from cureclock.reminders.silence import last_words
from cureclock.shop.models import Place, Sensor
from cureclock.shop.readings import ReadingSaid
from cureclock.waits.current import load
from tests.cast import when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db

# The demo scenario's varnish, in label-hours at 20 degC: invented, kept for tests.
VARNISH: dict[str, Any] = {
    "dust_free": 2,
    "touch": 4,
    "recoat_opens": 8,
    "handle": 12,
    "recoat_closes": 24,
    "wrap": 168,
    "states_rule": True,
}


def titles(stage: Stage, *times: str) -> dict[str, list[str]]:
    """What was sent when, minute by minute as named."""
    told = {time: [message.title for message in stage.tick(time)] for time in times}
    return {time: lines for time, lines in told.items() if lines}


def through(stage: Stage, first: str, last: str, minutes: int = 5) -> dict[str, list[str]]:
    """What was sent from one time to another of the day, looked at every few minutes."""
    at, found = when(first), {}
    while at <= when(last):
        lines = [message.title for message in stage.tick(at)]
        if lines:
            found[f"{at:%a %H:%M}"] = lines
        at += timedelta(minutes=minutes)
    return found


def coated(stage: Stage, began: str, ended: str, pieces: int = 12) -> None:
    """A coat on hooks 1 to 12."""
    from cureclock.actions.pieces_made import ZoneSaid

    cast = stage.cast
    cast.material(
        "Varnish-W", "varnish_brushing", {**VARNISH, "recoat_opens": 5, "recoat_closes": 16}
    )
    tags = [f"H-{n:02d}" for n in range(1, pieces + 1)]
    for tag in tags:
        cast.piece(tag, zones=(ZoneSaid(cast.id(f"{tag}/stem"), "stem"),))
    zones = tuple(cast.id(f"{tag}/stem") for tag in tags)
    said = {"coat": cast.id("stems"), "name": "stems", "label": cast.id("Varnish-W label")}
    cast.do("coat_began", began, place=cast.id("Shed"), zones=zones, **said)
    cast.do("coat_ended", ended, coat=cast.id("stems"))
    cast.do("rag_placed", ended, coat=cast.id("stems"), where="flat_outside")


def test_a_window_that_closes_in_the_night_is_told_before_home_and_not_at_its_limit() -> None:
    """Coat ended 11:00, closes 03:00, home at 18:00: told in the afternoon, silent at 03:00."""
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    coated(stage, "Mon 10:40", "Mon 11:00")
    told = through(stage, "Mon 11:00", "Tue 07:00", minutes=15)
    closing = {
        at: line for at, lines in told.items() for line in lines if "Recoat before you go" in line
    }
    assert len(closing) == 1
    (at,) = closing
    assert "Mon 16:00" <= at <= "Mon 17:30"
    assert not any(at.startswith("Tue 0") and at < "Tue 07:00" for at in told)


def test_what_shut_in_the_night_is_said_by_the_morning_list() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    coated(stage, "Mon 10:40", "Mon 11:00")
    through(stage, "Mon 11:00", "Tue 07:00", minutes=15)
    stage.cast.read("Tue 07:00", 18.0)
    told = through(stage, "Tue 07:05", "Tue 09:00")
    mornings = [line for lines in told.values() for line in lines if line.startswith("Start here")]
    assert len(mornings) == 1
    assert all("Scuff first" not in line for lines in told.values() for line in lines)
    body = stage.memory.sent[-1][1].body
    assert "scuff" in body.lower()
    late = Delivery.objects.filter(held="list")
    assert set(late.values_list("state", flat=True)) == {Delivery.State.SUPERSEDED}


def test_the_last_look_names_the_form_that_could_be_empty_and_the_lid_of_the_box() -> None:
    """One rim could come out; the other is not due; nothing is in the second box."""
    from cureclock.actions.counted import ThingCount

    stage = Stage.open()
    cast = stage.cast
    cast.place("Warm box")
    cast.place("Old box")
    cast.read("Mon 08:00", 20.0)
    cast.read("Mon 08:00", 20.0, place="Warm box")
    for name, kind, place in (
        ("Rim form", "form", None),
        ("Warm box", "box", "Warm box"),
        ("Old box", "box", "Old box"),
    ):
        ident, where = cast.id(f"{name} owned"), place and cast.id(place)
        cast.do(
            "things_owned", "Mon 08:00", thing=ident, name=name, kind=kind, count=2, place=where
        )
    for rim, at in (("Rim 1", "Mon 10:00"), ("Rim 2", "Mon 17:30")):
        cast.piece(f"{rim} piece")
        cast.spread(rim, [f"{rim} piece"], at, place="Warm box")
        cast.press(rim, at, things=(ThingCount(cast.id("Rim form owned"), 1),))
    (look,) = [one for one in stage.tick("Mon 17:45") if "before you go" in one.title]
    assert "Take Rim 1 out of the form" in look.body
    assert "Rim 2" not in look.body
    assert "Shut the lid – Warm box" in look.body
    assert "Old box" not in look.body


def test_what_the_morning_list_says_does_not_ring_again_as_the_door_opens() -> None:
    """Closes 09:30, may close at 06:18 already: the list says it at 07:40, and nothing at 08:00."""
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    coated(stage, "Mon 17:10", "Mon 17:30")
    stage.cast.read("Mon 17:35", 20.0)
    through(stage, "Mon 17:40", "Tue 07:10", minutes=30)
    (morning,) = stage.tick("Tue 07:40")
    recoat = [line for line in morning.body.split("\n") if "Recoat" in line]
    assert len(recoat) == 1
    assert "not after 09:" in recoat[0]
    later = titles(stage, "Tue 08:00", "Tue 08:01", "Tue 08:11", "Tue 08:45", "Tue 09:00")
    assert [line for lines in later.values() for line in lines if "Recoat" in line] == []


def test_an_act_that_is_done_is_not_asked_for() -> None:
    from uuid import uuid4

    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    coated(stage, "Mon 08:15", "Mon 09:00", pieces=2)
    zones = tuple(stage.cast.id(f"H-{n:02d}/stem") for n in (1, 2))
    told = through(stage, "Mon 09:00", "Mon 17:10", minutes=10)
    assert any("Recoat before you go" in line for lines in told.values() for line in lines)
    Delivery.objects.all().delete()
    stage.cast.do(
        "coat_began",
        "Mon 17:10",
        coat=uuid4(),
        name="second",
        label=stage.cast.id("Varnish-W label"),
        place=stage.cast.id("Shed"),
        zones=zones,
    )
    told = through(stage, "Mon 17:11", "Tue 12:00", minutes=15)
    assert not any("scuff" in line.lower() for lines in told.values() for line in lines)


def test_a_cold_night_that_spoils_a_joint_is_told_once_and_before_it_comes() -> None:
    stage = Stage.open("Wed 08:00")
    stage.cast.read("Wed 16:00", 17.0)
    stage.clock.move_to(when("Wed 18:05"))
    stage.cast.do(
        "air_expected",
        "Wed 18:00",
        place=stage.cast.id("Shed"),
        outside_low_c=1.0,
        heater_off=True,
    )
    stage.glue("G11", ["L-17", "L-18"], "Wed 18:10")
    told = through(stage, "Wed 18:10", "Wed 20:00")
    cold = [(at, line) for at, lines in told.items() for line in lines if "too cold" in line]
    assert len(cold) == 1
    assert cold[0][0] == "Wed 18:10"
    assert "L-17, 18" in cold[0][1]


def test_a_place_that_falls_silent_is_told_once() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 08:30")
    told = through(stage, "Mon 08:30", "Mon 17:00", minutes=10)
    silent = [(at, line) for at, lines in told.items() for line in lines if "temperature" in line]
    assert len(silent) == 1
    assert "Mon 12:00" <= silent[0][0] <= "Mon 13:00"


@pytest.mark.parametrize(
    ("said_s", "every_h", "missed"),
    [(900, 4, "Mon 21:00"), (4 * 3600, 4, "Mon 21:00"), (900, 1, "Mon 20:00")],
    ids=["learned", "said", "quick"],
)
def test_a_sensor_is_missed_by_its_own_rhythm(said_s: int, every_h: int, missed: str) -> None:
    """One that speaks every four hours is missed after five; no place before four hours."""
    stage = Stage.open()
    cast = stage.cast
    cast.workshop.hours = {str(day): ["00:00", "23:59"] for day in range(7)}
    cast.workshop.save()
    place = Place.objects.get(id=cast.id("Shed"))
    logger = Sensor.objects.create(place=place, name="logger", rhythm_s=said_s)
    stage.glue("G1", ["L-01"], "Mon 08:30")
    spoken = [when(f"Mon {hour:02d}:00") for hour in range(0, 17, every_h)]
    rows = [ReadingSaid(uuid4(), at, 20.0, None) for at in spoken]
    readings_taken(cast.owner, place, rows, when("Mon 16:00"), logger)
    due = when(missed)
    told = {minutes: stage.tick(due + timedelta(minutes=minutes)) for minutes in (-60, -1, 1, 60)}
    asked = [
        minutes
        for minutes, messages in told.items()
        if any("temperature" in message.title for message in messages)
    ]
    assert asked == [1]


def test_a_doubt_is_told_once_with_its_cause() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 08:30")
    stage.cast.do("clamps_off", "Mon 08:45", glue_up=stage.cast.id("G1"))
    told = through(stage, "Mon 08:45", "Mon 10:00")
    doubts = [line for lines in told.values() for line in lines if line.startswith("Hold back")]
    assert len(doubts) == 1
    assert "clamps off before their gate" in doubts[0]


def test_a_doubt_that_is_cleared_before_it_is_told_is_not_told() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 08:30")
    ident = stage.cast.do("clamps_off", "Mon 08:45", glue_up=stage.cast.id("G1")).id
    stage.cast.do("struck_out", "Mon 08:46", target=ident)
    told = through(stage, "Mon 08:46", "Mon 09:00")
    assert not any("Hold back" in line for lines in told.values() for line in lines)


def test_a_look_writes_nothing_where_nothing_changed() -> None:
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    coated(stage, "Mon 10:40", "Mon 11:00")
    stage.tick("Mon 11:01")
    before = list(Alert.objects.order_by("id").values_list("id", "said", "due_at"))
    from cureclock.reminders import looks

    looks.mark(stage.cast.workshop, stage.clock.now())
    stage.tick("Mon 11:02")
    assert list(Alert.objects.order_by("id").values_list("id", "said", "due_at")) == before


def test_one_shop_that_cannot_be_looked_at_holds_up_no_other(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from cureclock.reminders import looks
    from cureclock.reminders.models import Look, Trouble
    from cureclock.reminders.scan import scan

    one, other = Stage.open(), Stage.open()
    other.clock = one.clock

    def half(loaded: Any, waits: Any) -> Any:
        if loaded.workshop == one.cast.workshop:
            raise ZeroDivisionError
        return scan(loaded, waits)

    monkeypatch.setattr(looks, "scan", half)
    for stage in (one, other):
        stage.cast.read("Mon 08:00", 20.0)
    one.tick("Mon 08:05")
    changed = Look.objects.filter(name="changed")
    assert changed.get(workshop=other.cast.workshop).next_at is None
    assert changed.get(workshop=one.cast.workshop).next_at > one.clock.now()
    assert "ZeroDivisionError" in Trouble.objects.get().why


def test_a_look_over_more_than_a_thousand_groups_is_a_look_like_any_other() -> None:
    """SQLite takes no question as deep as a framework would ask for so many."""
    from cureclock.reminders.models import Look, Trouble
    from tests import many

    now = when("Tue 10:00")
    cast = many.shop(now)
    many.waits(cast, [now + timedelta(hours=3)] * 1100, kind="heavy", pressed=when("Tue 07:00"))
    stage = Stage(cast, FakeClock(now))
    stage.tick(now)
    assert list(Trouble.objects.values_list("why", flat=True)) == []
    assert Look.objects.get(name="changed").next_at is None


def test_the_last_words_of_many_places_take_as_many_questions_as_of_one(
    django_assert_num_queries: Any,
) -> None:
    stage = Stage.open()
    for number in range(4):
        stage.cast.place(f"Shed {number}")
        for hour in range(8, 8 + 5 * number):  # none, fewer than tell a rhythm, more
            stage.cast.read(f"Mon {hour:02d}:00", 20.0, place=f"Shed {number}")
    places = [stage.cast.id(f"Shed {number}") for number in range(4)]
    with django_assert_num_queries(2):
        found = last_words(places)
    assert [found[place].at for place in places] == [
        None,
        *(when(f"Mon {hour:02d}:00") for hour in (12, 17, 22)),
    ]


def test_a_look_loads_its_waits_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Those that are near, and those that somebody was told of, together."""
    from cureclock.reminders import looks
    from cureclock.reminders.people import house

    loads = []
    monkeypatch.setattr(looks, "load", lambda *told: loads.append(told) or load(*told))
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    assert len(stage.tick("Mon 09:45")) == 1  # told, and near no more
    home = house(stage.cast.workshop.id, when("Mon 09:46"))
    assert home is not None
    loads.clear()
    looks._found(home, when("Mon 09:46"))
    assert len(loads) == 1
