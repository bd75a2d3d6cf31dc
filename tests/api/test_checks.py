"""The checks refuse what cannot be, reach no other workshop, record nothing, and ask little."""

from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cureclock.shop.models import Event, Membership
from tests.api.door import paired
from tests.cast import Cast
from tests.flows.before import Before

pytestmark = pytest.mark.django_db

PANEL = {"kind": "stripe", "strips": 5, "length_mm": 440, "thickness_mm": 22, "strip_mm": 65}
IMPOSSIBLE: list[dict[str, Any]] = [
    {"shape": {"kind": "area", "area_m2": 0}},
    {"shape": {"kind": "area", "area_m2": -1}},
    {"shape": {"kind": "area", "area_m2": 1e9}},
    {"shape": {"kind": "area"}},
    {"shape": {"kind": "anvil"}},
    {"shape": {**PANEL, "strips": 1}},
    {"shape": {**PANEL, "length_mm": 440_000}},
    {"shape": {"kind": "ring", "segments": 2, "outside_mm": 100, "inside_mm": 50}},
    {"shape": {"kind": "annulus", "outside_mm": 50, "inside_mm": 100}},
    {"count": 0},
    {"count": 100_000},
    {"hands": {"spread_s": -1}},
    {"hands": {"spread_s": 20, "spreaders": 0}},
    {"hands": {"spread_s": 20, "clamps_each": -1}},
    {"press": {"per_stack": 0}},
    {"press": {"pressure_mpa": 50}},
    {"wood": {"density_kg_m3": 5}},
    {"wood": {"moistures_pct": [-1]}},
    {"wood": {"temp_c": 200}},
    {"wood": {"woods": ["plastic"]}, "shape": PANEL},
    {"wood": {"cut_at": "2026-02-05T08:00:00Z"}},
    {"spread_g_m2": 0},
    {"loss": 20},
    {"mix_g": 0},
    {"at": "2026-01-01T08:00:00Z"},
    {"at": "2026-03-01T08:00:00Z"},
    {"at": "noon"},
    {"what": "else"},
]


@pytest.mark.parametrize("wrong", IMPOSSIBLE, ids=str)
def test_what_cannot_be_is_refused_in_words(wrong: dict[str, Any]) -> None:
    shop = Before()
    shop.cast.read("Mon 08:00", 20.0, 50.0)
    told = shop.glue_up("Mon 08:05", status=422, **wrong)
    assert told["field"]
    assert told["mend"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"areas": [{"area_m2": 0}]},
        {"areas": [{"area_m2": 1, "coats": 0}]},
        {"coverage_m2_l": 0},
        {"due": "2026-02-05T08:00:00Z"},
        {"due": "2026-02-01T08:00:00Z", "minutes": 40},
        {"due": "2027-02-01T08:00:00Z", "minutes": 40},
        {"minutes": -1},
        {"wood_c": 99},
    ],
    ids=str,
)
def test_a_coat_that_cannot_be_is_refused_in_words(wrong: dict[str, Any]) -> None:
    shop = Before()
    shop.cast.read("Mon 08:00", 20.0, 50.0)
    oil = str(shop.cast.material("Oil", "oil_varnish_blend", {}))
    told = shop.coat("Mon 08:05", oil, status=422, **wrong)
    assert told["field"]
    assert told["mend"]


def test_a_glue_is_no_finish_and_a_finish_no_glue() -> None:
    shop = Before()
    oil = str(shop.cast.material("Oil", "oil_varnish_blend", {}))
    assert shop.glue_up("Mon 08:05", label=oil, status=422)["field"] == "label"
    glue = str(shop.cast.id("PVA-G label"))
    assert shop.coat("Mon 08:05", glue, status=422)["field"] == "label"


def test_what_is_unknown_or_anothers_is_not_here() -> None:
    shop, other = Before(), Before(Cast.open("Other"))
    theirs = other.own("Clamps", 9)
    piece = str(other.cast.piece("X-1"))
    asked: list[dict[str, Any]] = [
        {"label": str(other.cast.id("PVA-G label"))},
        {"place": str(other.cast.id("Shed"))},
        {"pieces": [piece]},
        {"press": {"thing": theirs}},
        {"press": {"thing": str(uuid4())}},
        {"wood": {"from_place": str(other.cast.id("Shed"))}},
    ]
    for wrong in asked:
        assert shop.glue_up("Mon 08:05", status=404, **wrong)["key"] == "not_here"


def test_nobody_who_is_not_paired_may_ask_and_a_viewer_may() -> None:
    shop = Before()
    viewer = paired(shop.cast, Membership.Role.VIEWER)
    body = {"label": str(shop.cast.id("PVA-G label")), "place": str(shop.cast.id("Shed"))}
    assert viewer.post("check/glue-up", "Mon 08:05", body).status_code == 200
    viewer.client.cookies.clear()
    assert viewer.post("check/glue-up", "Mon 08:05", body).status_code == 401
    assert viewer.get("ledger", "Mon 08:05").status_code == 401


def test_asking_records_nothing() -> None:
    shop = Before()
    shop.cast.read("Mon 08:00", 20.0, 50.0)
    before = Event.objects.count()
    shop.glue_up("Mon 08:05", count=8, shape=PANEL, hands={"spread_s": 20})
    assert Event.objects.count() == before


def test_a_place_nobody_has_read_is_care_and_never_go() -> None:
    told = Before().glue_up("Mon 08:05", hands={"spread_s": 20})
    assert told["word"] == "care"
    assert {one["key"] for one in told["lines"] if one["word"] == "care"} >= {"air", "night"}


def test_a_label_nobody_has_read_is_care() -> None:
    shop = Before()
    shop.cast.read("Mon 08:00", 20.0, 50.0)
    label = str(shop.cast.material("Some glue", "pva_yellow", {}))
    told = shop.glue_up("Mon 08:05", label=label, hands={"spread_s": 20})
    assert "label" in {one["key"] for one in told["lines"] if one["word"] == "care"}


def test_every_family_of_glue_and_finish_can_be_asked_about() -> None:
    from cureclock.core.materials.library import adhesives, finishes

    shop = Before()
    shop.cast.read("Mon 08:00", 12.0, 70.0)
    for key in adhesives():
        label = str(shop.cast.material(key, key, {}))
        told = shop.glue_up(
            "Mon 08:05", label=label, count=4, shape=PANEL, hands={"spread_s": 20}, mix_g=150
        )
        assert told["word"] in ("go", "care", "not_now")
    for key in finishes():
        label = str(shop.cast.material(key, key, {}))
        asked = {"areas": [{"area_m2": 1}], "minutes": 40, "due": "2026-02-20T17:00:00Z"}
        assert shop.coat("Mon 08:05", label, **asked)["word"] in ("go", "care", "not_now")


def test_the_number_of_queries_is_the_same_however_much_waits_and_is_held() -> None:
    def asked(groups: int) -> tuple[int, int]:
        shop = Before()
        shop.own("Clamps", 200, force_kn=4.0)
        shop.cast.read("Mon 08:00", 20.0, 50.0)
        oil = str(shop.cast.material("Oil", "oil_varnish_blend", {}))
        for number in range(groups):
            shop.held(f"G{number}", [f"R-{number}"], "Mon 08:05", Clamps=2)
        with CaptureQueriesContext(connection) as glue:
            shop.glue_up("Mon 08:10", count=8, shape=PANEL, hands={"spread_s": 20})
        with CaptureQueriesContext(connection) as coat:
            shop.coat("Mon 08:10", oil, count=8)
        return len(glue), len(coat)

    few, many = asked(2), asked(15)
    assert few == many
    assert max(many) <= 40
