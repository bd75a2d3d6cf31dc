"""Happenings through the door: in order, each by itself, once whatever arrives how often."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from cureclock.shop.models import Event, GlueUp, Phone, Reading
from cureclock.waits.models import Gate, Wait
from tests.api.door import PhoneAtDoor, paired
from tests.cast import PVA_G, Cast, when

pytestmark = pytest.mark.django_db


def shed() -> tuple[Cast, PhoneAtDoor]:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    return cast, paired(cast)


def spread(
    cast: Cast, phone: PhoneAtDoor, at: str, name: str = "G1", **more: Any
) -> dict[str, Any]:
    said = {
        "glue_up": str(cast.id(name)),
        "name": name,
        "label": str(cast.id("PVA-G label")),
        "place": str(cast.id("Shed")),
        "joints": [
            {"id": str(cast.id(f"{name}/L-01")), "piece": str(cast.id("L-01")), "name": "upper"}
        ],
    }
    return phone.tap("spread_began", at, **{**said, **more})


def press(cast: Cast, phone: PhoneAtDoor, at: str, **more: Any) -> dict[str, Any]:
    return phone.tap("pressure_on", at, glue_up=str(cast.id("G1")), **more)


def outcomes(answers: list[dict[str, Any]]) -> list[str]:
    return [one["outcome"] for one in answers]


def test_taps_kept_without_a_signal_arrive_in_order_with_their_own_times() -> None:
    cast, phone = shed()
    taps = [spread(cast, phone, "Mon 12:20"), press(cast, phone, "Mon 12:30")]
    answers = phone.tell(*taps, at="Mon 17:10")
    assert outcomes(answers) == ["applied", "applied"]
    assert [one["id"] for one in answers] == [one["id"] for one in taps]
    event = Event.objects.get(kind="pressure_on")
    assert (event.happened_at, event.arrived_at) == (when("Mon 12:30"), when("Mon 17:10"))
    assert (event.phone, event.number) == (phone.phone, 2)
    assert Gate.objects.get(kind="spin").began_at == when("Mon 12:30")


def test_the_same_batch_twice_is_known_and_changes_nothing() -> None:
    cast, phone = shed()
    taps = [
        spread(cast, phone, "Mon 12:20"),
        press(cast, phone, "Mon 12:30"),
        phone.tap("reading_taken", "Mon 12:40", place=str(cast.id("Shed")), temp_c=12.0),
        phone.tap("lowest_last_night", "Mon 12:41", place=str(cast.id("Shed")), temp_c=3.0),
    ]
    assert outcomes(phone.tell(*taps, at="Mon 13:00")) == ["applied"] * 4
    counts = Event.objects.count(), Reading.objects.count(), Wait.objects.count()
    assert outcomes(phone.tell(*taps, at="Mon 13:05")) == ["known"] * 4
    assert (Event.objects.count(), Reading.objects.count(), Wait.objects.count()) == counts


def test_the_same_id_with_another_body_is_refused_and_the_first_stands() -> None:
    cast, phone = shed()
    first = phone.tap("place_made", "Mon 08:00", place=str(cast.id("Box")), name="Box")
    other = {**first, "said": {**first["said"], "name": "Cupboard"}}
    answers = phone.tell(first, other, at="Mon 08:01")
    assert outcomes(answers) == ["applied", "refused"]
    problem = answers[1]["problem"]
    assert (problem["key"], problem["status"], problem["field"]) == ("other_body", 422, "id")
    assert Event.objects.get(id=first["id"]).body["name"] == "Box"


def test_the_same_id_at_another_time_is_another_body() -> None:
    cast, phone = shed()
    tap = spread(cast, phone, "Mon 12:00")
    later = {**tap, "at": when("Mon 12:30").isoformat()}
    assert outcomes(phone.tell(tap, later, at="Mon 13:00")) == ["applied", "refused"]


def test_one_bad_happening_loses_no_other() -> None:
    cast, phone = shed()
    bad = phone.tap("pressure_on", "Mon 12:25", glue_up=str(uuid4()))
    taps = [spread(cast, phone, "Mon 12:20"), bad, {"id": 7}, press(cast, phone, "Mon 12:30")]
    assert outcomes(phone.tell(*taps, at="Mon 13:00")) == [
        "applied",
        "refused",
        "refused",
        "applied",
    ]
    assert Gate.objects.filter(kind="spin").exists()


def test_nothing_is_half_written_when_a_verb_is_refused() -> None:
    cast, phone = shed()
    joints = [
        {"id": str(uuid4()), "piece": str(cast.id("L-01")), "name": "upper"},
        {"id": str(uuid4()), "piece": str(uuid4()), "name": "lower"},
    ]
    (answer,) = phone.tell(spread(cast, phone, "Mon 12:20", joints=joints), at="Mon 13:00")
    assert (answer["outcome"], answer["problem"]["field"]) == ("refused", "pieces[1]")
    assert not GlueUp.objects.exists()
    assert not Event.objects.filter(kind="spread_began").exists()


def test_another_workshops_id_looks_like_none_at_all() -> None:
    _, phone = shed()
    other = Cast.open("Other shed")
    other.place()
    theirs = phone.tap("reading_taken", "Mon 12:00", place=str(other.id("Shed")), temp_c=12.0)
    none = phone.tap("reading_taken", "Mon 12:00", place=str(uuid4()), temp_c=12.0)
    one, two = phone.tell(theirs, none, at="Mon 12:01")
    assert one["problem"] == two["problem"]
    assert (one["problem"]["key"], one["problem"]["status"]) == ("not_here", 404)
    assert not Reading.objects.exists()


def test_contradictory_happenings_are_kept_and_become_a_conflict() -> None:
    cast, phone = shed()
    off = phone.tap("clamps_off", "Mon 12:10", glue_up=str(cast.id("G1")))
    taps = [spread(cast, phone, "Mon 12:00"), off, press(cast, phone, "Mon 12:30")]
    assert outcomes(phone.tell(*taps, at="Mon 13:00")) == ["applied"] * 3
    assert cast.workshop.conflicts.get().kind == "off_before_pressure"


def test_a_viewer_looks_and_does_not_record() -> None:
    cast, _ = shed()
    viewer = paired(cast, "viewer")
    (answer,) = viewer.tell(spread(cast, viewer, "Mon 12:00"), at="Mon 12:01")
    problem = answer["problem"]
    assert (answer["outcome"], problem["key"], problem["status"]) == ("refused", "not_allowed", 403)
    assert not GlueUp.objects.exists()


def test_how_many_taps_a_phone_still_keeps_is_noted() -> None:
    _, phone = shed()
    phone.tell(at="Mon 08:00", unsent=4)
    assert Phone.objects.get(id=phone.phone.id).unsent == 4


def test_a_clock_an_hour_slow_is_corrected_and_the_phone_is_told() -> None:
    cast, phone = shed()
    tap = spread(cast, phone, "Mon 11:20")
    (answer,) = phone.tell(tap, at="Mon 12:30", slow_by=timedelta(hours=1))
    assert (answer["outcome"], answer["corrected_by_s"]) == ("applied", 3600)
    event = Event.objects.get(id=tap["id"])
    assert (event.happened_at, event.said_at) == (when("Mon 12:20"), when("Mon 11:20"))


def test_a_repeat_from_a_slow_clock_is_the_same_happening() -> None:
    cast, phone = shed()
    tap = spread(cast, phone, "Mon 11:20")
    phone.tell(tap, at="Mon 12:30", slow_by=timedelta(hours=1))
    later = when("Mon 12:50") + timedelta(milliseconds=300)
    (answer,) = phone.tell(tap, at=later, slow_by=timedelta(hours=1, milliseconds=-800))
    assert answer["outcome"] == "known"


def test_a_clock_a_minute_fast_tells_of_now_not_of_the_future() -> None:
    cast, phone = shed()
    tap = spread(cast, phone, "Mon 12:31")
    (answer,) = phone.tell(tap, at="Mon 12:30", slow_by=-timedelta(minutes=1))
    assert answer["outcome"] == "applied"
    assert "corrected_by_s" not in answer
    event = Event.objects.get(id=tap["id"])
    assert (event.happened_at, event.said_at) == (when("Mon 12:30"), None)


@pytest.mark.parametrize(
    ("verb", "change", "field", "word"),
    [
        ("reading_taken", {"temp_c": 400}, "temp_c", "400"),
        ("reading_taken", {"rh_pct": 130}, "rh_pct", "130"),
        ("reading_taken", {"temp_c": "warm"}, "said.temp_c", "no number"),
        ("reading_taken", {"temp_c": "12"}, "said.temp_c", "no number"),
        ("reading_taken", {"temp_c": True}, "said.temp_c", "no number"),
        ("reading_taken", {"temp_c": None}, "said.temp_c", "empty"),
        ("reading_taken", {"temp_c": 10**400}, "said.temp_c", "too large"),
        ("reading_taken", {"temp": 4}, "said.temp", "not known"),
        ("reading_taken", {"place": "shed"}, "said.place", "no id"),
        ("reading_taken", {"place": 12}, "said.place", "no id"),
        ("spread_began", {"joints": []}, "said.joints", "empty"),
        ("spread_began", {"name": "   "}, "said.name", "empty"),
        ("spread_began", {"name": "x" * 81}, "said.name", "longer than 80"),
        ("spread_began", {"name": "a\0b"}, "said.name", "ull"),
        ("spread_began", {"name": "a\ud800b"}, "said.name", "urrogate"),
        ("spread_began", {"stressed": "yes"}, "said.stressed", "true nor false"),
        ("spread_began", {"joints": {"id": 1}}, "said.joints", "no list"),
        ("spread_began", {"joints": ["upper"]}, "said.joints[0]", "Invalid data"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(
    verb: str, change: dict[str, Any], field: str, word: str
) -> None:
    cast, phone = shed()
    if verb == "reading_taken":
        tap = phone.tap(verb, "Mon 12:00", place=str(cast.id("Shed")), temp_c=12.0)
    else:
        tap = spread(cast, phone, "Mon 12:00")
    tap["said"].update(change)
    (answer,) = phone.tell(tap, at="Mon 12:01")
    problem = answer["problem"]
    assert answer["outcome"] == "refused"
    assert problem["field"] == field
    assert word in problem["wrong"]
    assert problem["mend"]
    assert problem["status"] == 422
    assert not Event.objects.filter(id=tap["id"]).exists()
    assert not Reading.objects.exists()


def test_a_negative_thickness_is_refused_in_words() -> None:
    cast, phone = shed()
    joint = {
        "id": str(uuid4()),
        "piece": str(cast.id("L-01")),
        "name": "upper",
        "thickness_mm": -3,
    }
    (answer,) = phone.tell(spread(cast, phone, "Mon 12:00", joints=[joint]), at="Mon 12:01")
    problem = answer["problem"]
    assert (answer["outcome"], problem["field"]) == ("refused", "thickness")
    assert problem["wrong"] == "-3 mm cannot be"
    assert problem["mend"] == "give 0.5 to 400 mm"


@pytest.mark.parametrize(
    "said",
    [
        {"half_gap_h": 0},
        {"outside_low_c": -300},
        {"day": [{"clock": "7:30", "temp_c": 9}]},
        {"day": [{"clock": "25:00", "temp_c": 9}]},
        {"day": [{"clock": "07:30", "temp_c": 99}]},
        {"day": [{"clock": "07:30", "temp_c": 9}, {"clock": "07:30", "temp_c": 8}]},
        {"day": [{"clock": "07:30", "temp_c": 9, "rh_pct": 101}]},
    ],
)
def test_air_that_cannot_be_expected_is_refused_before_it_is_kept(said: dict[str, Any]) -> None:
    cast, phone = shed()
    tap = phone.tap("air_expected", "Mon 12:00", place=str(cast.id("Shed")), **said)
    (answer,) = phone.tell(tap, at="Mon 12:01")
    assert answer["outcome"] == "refused"
    assert not Event.objects.filter(kind="air_expected").exists()


@pytest.mark.parametrize(
    ("at", "word"),
    [
        ("2026-02-02T12:00:00", "no zone"),
        ("2026-02-02", "no zone"),
        ("2026-02-02T13:00:00Z", "future"),
        ("noon", "no time"),
        ("2026-02-30T12:00:00Z", "no time"),
        ("0001-01-01T00:00:00+14:00", "not in this age"),
        (1770033600, "no time"),
    ],
)
def test_a_time_that_is_none_is_refused_by_name(at: Any, word: str) -> None:
    cast, phone = shed()
    tap = {**spread(cast, phone, "Mon 12:00"), "at": at}
    (answer,) = phone.tell(tap, at="Mon 12:01")
    assert (answer["outcome"], answer["problem"]["field"]) == ("refused", "at")
    assert word in answer["problem"]["wrong"]


def test_a_naive_time_is_answered_with_what_to_send() -> None:
    cast, phone = shed()
    tap = {**spread(cast, phone, "Mon 12:00"), "at": "2026-02-02T12:00:00"}
    (answer,) = phone.tell(tap, at="Mon 12:01")
    assert answer["problem"]["mend"] == "send it with its offset from UTC"


def test_an_unknown_verb_is_answered_with_the_known_ones() -> None:
    _, phone = shed()
    (answer,) = phone.tell(phone.tap("danced", "Mon 12:00"), at="Mon 12:01")
    assert answer["problem"]["field"] == "verb"
    assert "spread_began" in answer["problem"]["mend"]


def test_a_label_is_refused_in_the_makers_words() -> None:
    _, phone = shed()
    said = {
        "material": str(uuid4()),
        "label": str(uuid4()),
        "name": "Glue",
        "family": "pva_interior",
        "values": {**PVA_G, "spin": -24},
    }
    (answer,) = phone.tell(phone.tap("label_read", "Mon 12:00", **said), at="Mon 12:01")
    assert answer["problem"]["field"] == "spin"


@pytest.mark.parametrize(
    "values",
    [
        {"spin": {"hours": 24, "rows": [[20, 24]] * 2001}},
        {"second": {"a": {"b": {"c": {"d": {"e": {"f": {"g": {}}}}}}}}},
        {"x" * 200: 1},
        {"spin": 10**400},
        {"spin": "a\0"},
        [],
    ],
)
def test_a_table_that_no_label_prints_is_refused(values: Any) -> None:
    _, phone = shed()
    said = {
        "material": str(uuid4()),
        "label": str(uuid4()),
        "name": "Glue",
        "family": "pva_interior",
        "values": values,
    }
    (answer,) = phone.tell(phone.tap("label_read", "Mon 12:00", **said), at="Mon 12:01")
    assert answer["outcome"] == "refused"
    assert answer["problem"]["status"] == 422


def test_an_id_that_stands_for_something_else_is_refused_and_nothing_is_written() -> None:
    cast, phone = shed()
    zone = {"id": str(uuid4()), "name": "drum"}
    twice = [{**zone, "id": str(uuid4())}, zone]
    piece = {"id": str(uuid4()), "tag": "L-02", "zones": twice}
    (answer,) = phone.tell(phone.tap("pieces_made", "Mon 12:00", pieces=[piece]), at="Mon 12:01")
    assert (answer["outcome"], answer["problem"]["key"]) == ("refused", "clash")
    assert not Event.objects.filter(kind="pieces_made", body__pieces__0__tag="L-02").exists()
    assert cast.workshop.pieces.count() == 1


@pytest.mark.parametrize(
    ("body", "status", "field"),
    [
        ("{", 400, "body"),
        ("[" * 100_000, 400, "body"),
        ("[]", 422, "body"),
        ('{"happenings": []}', 422, "sent_at"),
        ('{"sent_at": "2026-02-02T12:00:00Z", "happenings": 3}', 422, "happenings"),
        ('{"sent_at": "2026-02-02T12:00:00", "happenings": []}', 422, "sent_at"),
        ('{"sent_at": "2026-02-02T12:00:00Z", "happenings": [], "unsent": -1}', 422, "unsent"),
        ('{"sent_at": "2026-02-02T12:00:00Z", "happenings": [], "unsent": NaN}', 400, "body"),
    ],
)
def test_a_batch_that_is_none_is_refused_as_a_whole(body: str, status: int, field: str) -> None:
    _, phone = shed()
    response = phone.post("happenings", "Mon 12:00", body)
    problem = response.json()
    assert (response.status_code, problem["field"]) == (status, field)
    assert response["Content-Type"] == "application/problem+json"
    assert problem["wrong"]
    assert problem["mend"]


def test_a_body_larger_than_is_served_is_refused_unread(settings: Any) -> None:
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1024
    _, phone = shed()
    response = phone.post("happenings", "Mon 12:00", {"sent_at": "x" * 2000})
    assert (response.status_code, response.json()["key"]) == (413, "too_big")


def test_happenings_need_a_paired_phone() -> None:
    _, phone = shed()
    phone.client.cookies.clear()
    response = phone.post("happenings", "Mon 12:00", {"sent_at": "2026-02-02T12:00:00Z"})
    assert (response.status_code, response.json()["key"]) == (401, "not_paired")
