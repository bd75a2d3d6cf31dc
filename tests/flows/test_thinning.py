"""Readings of long ago are left out, and no due time changes: not now, and by nothing that comes later."""

from datetime import datetime, timedelta
from random import Random
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from cureclock.shop.models import Place, Reading
from cureclock.waits.ages import Ages
from cureclock.waits.figures import figures_of
from cureclock.waits.models import Gate, Seen, Suspicion
from cureclock.waits.rebuild import differences, rebuild
from cureclock.waits.thinning import NotTheSame, thin
from tests.draws import drawn
from tests.flows.test_random_shops import Shop, steps

pytestmark = [pytest.mark.django_db(transaction=False), pytest.mark.slow]
DAY = timedelta(days=1)
OLD = 80 * DAY
SELDOM, OFTEN = timedelta(hours=6), timedelta(minutes=30)


def tell_air(shop: Shop, since: datetime, often: int, days: int, chance: Random) -> None:
    """A sensor's readings: so many days of them often, the rest seldom."""
    times, at = [], since
    while at < since + days * DAY:
        times.append(at)
        at += OFTEN if at < since + often * DAY else SELDOM
    for name in ("Shed", "Box", "Yard"):
        place = Place.objects.get(id=shop.cast.id(name))
        Reading.objects.bulk_create(
            Reading(
                place=place,
                at=at,
                arrived_at=at,
                temp_c=round(12 + 6 * chance.random() + (number // 36 % 7), 1),
                rh_pct=60.0,
                mark=Reading.Mark.MEASURED,
            )
            for number, at in enumerate(times)
        )


def long_story(seed: int, many: int = 16) -> Shop:
    """Two months of air, two busy days, six months of air, and work in the last days."""
    chance, shop = Random(seed), Shop()
    shop.cast.place("Yard")
    tell_air(shop, shop.now - 65 * DAY, 20, 64, chance)
    busy = list(steps(chance))
    for step in busy[:many]:
        shop.step(step)
    tell_air(shop, shop.now, 0, 90, chance)
    tell_air(shop, shop.now + 90 * DAY, 10, 90, chance)
    shop.now += 180 * DAY
    rebuild(shop.cast.workshop, shop.now)
    for step in busy[-many // 2 :]:
        shop.step(step)
    return shop


def due(shop: Shop) -> dict[Any, Any]:
    """Every time that is still to come, and every doubt and check, by the facts as they stand."""
    gates = list(Gate.objects.with_clocks().filter(workshop=shop.cast.workshop))
    times = figures_of(gates, Ages(min(gate.stay_at for gate in gates), shop.now))
    found: dict[Any, Any] = {}
    for gate in gates:
        of = vars(times[gate.id]).items()
        found[gate.id] = (gate.state, {name: at for name, at in of if at is None or at > shop.now})
    doubts = Suspicion.objects.values_list("wait", "cause", "at", "cleared_by")
    seen = Seen.objects.values_list("id", "age_us", "ready")
    return {**found, "doubts": sorted(map(str, doubts)), "seen": sorted(map(str, seen))}


def go_on(shop: Shop) -> dict[Any, Any]:
    """What comes later: colder, warmer, late by days, a move, another glue-up; then all is undone."""
    kept = (shop.now, shop.glued, list(shop.told), dict(shop.cast.named))
    with transaction.atomic():
        for step in (("read", "Shed", 2.0, 0), ("read", "Box", 28.0, 26), ("glue", "PVA-G", 1),
                     ("move", 3, "Box", 2), ("lowest", -1.0), ("strike", 5),
                     ("read", "Shed", 17.0, 60)):  # fmt: skip
            shop.step(step)
        found = due(shop)
        transaction.set_rollback(True)
    shop.now, shop.glued, shop.told, shop.cast.named = kept
    return found


@pytest.mark.parametrize("seed", drawn(range(300, 380)))
def test_no_due_time_changes_by_leaving_out_nor_by_what_comes_later(seed: int) -> None:
    shop = long_story(seed)
    before, many = due(shop), Reading.objects.count()
    later = timeless(go_on(shop))
    taken = thin(shop.cast.workshop, shop.now - OLD, shop.now)
    assert taken > 500
    assert Reading.objects.count() == many - taken
    assert due(shop) == before
    assert differences(shop.cast.workshop, shop.now) == []
    assert timeless(go_on(shop)) == later
    assert thin(shop.cast.workshop, shop.now - OLD, shop.now) == 0


def timeless(found: dict[Any, Any]) -> list[str]:
    """Without ids: what comes later is told under new ones each time."""
    rows = [str(value) for key, value in found.items() if key not in ("doubts", "seen")]
    return sorted(rows)


def test_an_hour_keeps_one_and_a_day_its_extremes() -> None:
    shop = long_story(300, 3)
    yard = Reading.objects.filter(place=shop.cast.id("Yard"))
    since = shop.now - 86 * DAY
    day = yard.filter(at__date=since.date())
    lowest = min(day.values_list("temp_c", flat=True))
    many = day.count()
    thin(shop.cast.workshop, shop.now - OLD, shop.now)
    assert 24 <= day.count() <= 26 < many
    assert min(day.values_list("temp_c", flat=True)) == lowest


def test_what_was_typed_doubted_or_struck_stays() -> None:
    shop = long_story(301, 6)
    special = Reading.objects.exclude(mark=0, flag="", struck_by=None, floating=False)
    kept = set(special.values_list("id", flat=True))
    assert kept
    thin(shop.cast.workshop, shop.now, shop.now)
    assert set(special.values_list("id", flat=True)) == kept
    young = Reading.objects.filter(place=shop.cast.id("Yard"), at__gt=shop.now - 89 * DAY)
    assert young.count() >= 70 * DAY / SELDOM


def test_where_something_would_change_nothing_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """With where waits stood not known, and whole days left out, it would matter: it is noticed."""
    shop = long_story(302)
    shop.glue("PVA-G", 0)
    many = Reading.objects.count()
    monkeypatch.setattr("cureclock.waits.thinning.LEAST", timedelta())
    monkeypatch.setattr("cureclock.waits.thinning._spans", lambda *_: {})
    monkeypatch.setattr("cureclock.waits.thinning._spare", lambda day: [one[0] for one in day])
    with pytest.raises(NotTheSame):
        thin(shop.cast.workshop, shop.now, shop.now)
    assert Reading.objects.count() == many


def test_the_command_says_how_many_and_refuses_what_is_young(capsys: Any) -> None:
    Shop()
    call_command("thin", "--check")
    assert "0 readings could go" in capsys.readouterr().out
    with pytest.raises(CommandError, match="younger than 80 days all stay"):
        call_command("thin", "--older-than", "30")
