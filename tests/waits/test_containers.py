"""Bottles and cans: what speaks against one is said, and frost counts until a try has passed."""

from datetime import date

import pytest

from cureclock.shop.models import LabelVersion
from cureclock.shop.refusals import Refusal
from cureclock.waits.containers_shown import ContainerShown, containers_shown
from tests.cast import PVA_G, Cast, when

pytestmark = pytest.mark.django_db


def shelf() -> Cast:
    cast = Cast.open()
    cast.material()
    take_in(cast, "bottle 1", expires=date(2026, 2, 20), holds_g=750.0)
    return cast


def take_in(cast: Cast, name: str, at: str = "Mon 08:00", **said: object) -> None:
    material = said.pop("material", cast.id("PVA-G"))
    cast.do("container_taken_in", at, container=cast.id(name), material=material, name=name, **said)


def tell(cast: Cast, what: str, at: str, name: str = "bottle 1", **said: object) -> None:
    cast.do(f"container_{what}", at, container=cast.id(name), **said)


def shown(cast: Cast, at: str = "Tue 08:00", name: str = "bottle 1") -> ContainerShown:
    found = containers_shown(cast.workshop, when(at))
    return next(one for one in found if one.name == name)


def test_a_new_bottle_is_full_unopened_and_not_in_use() -> None:
    told = shown(shelf())
    assert (told.left_g, told.opened_at, told.in_use, told.odd) == (750.0, None, False, ())


def test_what_was_opened_last_and_is_not_empty_is_in_use() -> None:
    cast = shelf()
    take_in(cast, "bottle 2")
    tell(cast, "opened", "Mon 09:00")
    tell(cast, "opened", "Mon 10:00", "bottle 2")
    assert [shown(cast, name=name).in_use for name in ("bottle 1", "bottle 2")] == [False, True]
    tell(cast, "left", "Mon 11:00", "bottle 2", left_g=0.0)
    assert shown(cast, name="bottle 2").odd == ("empty",)
    assert [shown(cast, name=name).in_use for name in ("bottle 1", "bottle 2")] == [True, False]


def test_it_expires_at_the_end_of_its_day_by_the_shops_own_clock() -> None:
    cast = shelf()
    assert shown(cast, "18 23:59").odd == ()  # the 20th
    assert shown(cast, "19 00:01").odd == ("expired",)


def test_frost_counts_until_a_try_has_passed() -> None:
    cast = shelf()
    tell(cast, "frozen", "Tue 06:00", temp_c=-4.0)
    assert set(shown(cast).odd) == {"frozen", "test_due"}
    tell(cast, "tested", "Tue 07:00", passed=False, how="string test")
    assert set(shown(cast).odd) == {"frozen", "failed", "test_due"}
    tell(cast, "tested", "Tue 07:30", passed=True, how="string test")
    assert shown(cast).odd == ()


def test_a_test_is_due_by_its_rhythm_from_the_opening_on() -> None:
    cast = Cast.open()
    cast.material("Flake", "shellac", {})
    take_in(cast, "jar", material=cast.id("Flake"), test_every_days=3.0)
    tell(cast, "opened", "Tue 08:00", "jar")
    assert shown(cast, "Fri 07:59", "jar").odd == ()
    assert shown(cast, "Fri 08:00", "jar").odd == ("test_due",)
    tell(cast, "tested", "Fri 09:00", "jar", passed=True, how="drop dries hard")
    assert shown(cast, "Fri 10:00", "jar").odd == ()


def test_polyurethane_once_opened_keeps_two_months() -> None:
    cast = Cast.open()
    cast.material("PUR", "polyurethane", {})
    take_in(cast, "flask", material=cast.id("PUR"))
    tell(cast, "opened", "Tue 08:00", "flask")
    assert shown(cast, "+55 08:00", "flask").odd == ()
    assert shown(cast, "+65 08:00", "flask").odd == ("old_opened",)


def test_what_stood_longer_than_its_kind_keeps_is_old_unless_its_own_date_is_known() -> None:
    cast = Cast.open()
    cast.material("PUR", "polyurethane", {})
    take_in(cast, "flask", material=cast.id("PUR"))
    take_in(cast, "dated", material=cast.id("PUR"), expires=date(2031, 1, 1))
    assert shown(cast, "+350 08:00", "flask").odd == ()
    assert shown(cast, "+370 08:00", "flask").odd == ("old",)
    assert shown(cast, "+370 08:00", "dated").odd == ()
    flask = shown(cast, "+10 08:00", "flask")
    assert (round(flask.keeps_days or 0), round(flask.keeps_open_days or 0)) == (365, 61)


def test_a_label_is_read_from_a_container_of_the_same_material_only() -> None:
    cast = shelf()
    cast.material("Other", "pva_slow", {})
    said = {"family": "pva_interior", "name": "PVA-G", "values": PVA_G}
    ids = {"material": cast.id("PVA-G"), "label": cast.id("second")}
    cast.do("label_read", "Tue 08:00", **ids, **said, read_from=cast.id("bottle 1"))
    version = LabelVersion.objects.get(id=cast.id("second"))
    assert (version.read_from_id, version.container) == (cast.id("bottle 1"), "bottle 1")
    take_in(cast, "other", material=cast.id("Other"))
    ids["label"] = cast.id("third")
    with pytest.raises(Refusal, match="another material"):
        cast.do("label_read", "Tue 09:00", **ids, **said, read_from=cast.id("other"))


def test_a_container_belongs_to_one_material() -> None:
    cast = shelf()
    cast.material("Other", "pva_slow", {})
    with pytest.raises(Refusal):
        take_in(cast, "bottle 1", "Tue 08:00", material=cast.id("Other"))


def test_a_struck_frost_never_was() -> None:
    cast = shelf()
    before = shown(cast)
    cast.do("container_frozen", "Mon 10:00", container=cast.id("bottle 1"), ident=cast.id("frost"))
    cast.do("struck_out", "Mon 10:05", target=cast.id("frost"))
    assert shown(cast) == before
