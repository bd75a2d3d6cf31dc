"""The rags question: it repeats, wakes people, outlives what it asks about, and only its answer ends it."""

from datetime import time
from typing import Any
from uuid import uuid4

import pytest

from cureclock.reminders import rags
from cureclock.reminders.models import Alert, Delivery, Lull, RagsQuestion
from cureclock.shop.models import Batch, Coat, CoatedZone, Membership, Piece
from cureclock.shop.refusals import Refusal
from tests.cast import when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db


def oiled(at: str = "Mon 14:20", family: str = "hardwax_oil") -> Stage:
    from cureclock.actions.pieces_made import ZoneSaid

    stage = Stage.open("Mon 13:00")
    cast = stage.cast
    cast.read("Mon 13:00", 20.0)
    cast.material("Oil", family, {})
    cast.piece("T-1", zones=(ZoneSaid(cast.id("T-1/top"), "top"),))
    said = {"coat": cast.id("oil"), "name": "panels", "label": cast.id("Oil label")}
    cast.do("coat_began", "Mon 14:00", place=cast.id("Shed"), zones=(cast.id("T-1/top"),), **said)
    cast.do("coat_ended", at, coat=cast.id("oil"))
    return stage


def asked(stage: Stage, *times: str) -> list[str]:
    """At which of these times the question was put, and to whom."""
    found = []
    for time_ in times:
        before = len(stage.memory.sent)
        stage.tick(time_)
        found += [
            f"{time_} {address}"
            for address, message in stage.memory.sent[before:]
            if message.title.startswith("Put the rags safe")
        ]
    return found


def test_it_is_asked_five_minutes_after_and_then_every_ten() -> None:
    stage = oiled()
    times = [f"Mon 14:{minute}" for minute in range(20, 60)]
    assert asked(stage, *times) == [f"Mon 14:{minute} owner" for minute in (25, 35, 45, 55)]


def test_an_answer_ends_it_and_stays_with_where_and_by_whom() -> None:
    stage = oiled()
    assert asked(stage, "Mon 14:25")
    stage.cast.do("rag_placed", "Mon 14:27", coat=stage.cast.id("oil"), where="flat_outside")
    assert asked(stage, "Mon 14:35", "Mon 15:00") == []
    row = RagsQuestion.objects.get()
    assert (row.where, row.by_name) == ("flat_outside", "Owner of Slipway shed")


@pytest.mark.parametrize("where", ["in the bin", "", "heap"])
def test_nothing_but_a_safe_place_ends_it(where: str) -> None:
    stage = oiled()
    with pytest.raises(Refusal):
        stage.cast.do("rag_placed", "Mon 14:27", coat=stage.cast.id("oil"), where=where)
    with pytest.raises(Refusal):
        rags.placed(
            stage.cast.workshop,
            RagsQuestion.objects.get().id,
            where,
            stage.cast.owner.person,  # type: ignore[arg-type]
            stage.clock.now(),
        )
    assert asked(stage, "Mon 14:35")


def test_a_finish_whose_rags_do_not_heat_asks_nothing() -> None:
    stage = oiled(family="shellac")
    assert asked(stage, "Mon 14:30", "Mon 15:00") == []
    assert not RagsQuestion.objects.exists()


def test_from_the_second_repeat_the_second_person_is_rung_too() -> None:
    stage = oiled()
    stage.way(stage.cast.helper)
    from cureclock.reminders.models import Minding

    assert stage.cast.owner.person is not None
    Minding.objects.create(
        workshop=stage.cast.workshop, person=stage.cast.owner.person, since=when("Mon 08:00")
    )
    Membership.objects.filter(person=stage.cast.helper.person).update(
        hours={"6": ["08:00", "09:00"]}
    )
    told = asked(stage, "Mon 14:25", "Mon 14:35", "Mon 14:45")
    assert told[:2] == ["Mon 14:25 owner", "Mon 14:35 owner"]
    assert sorted(told[2:]) == ["Mon 14:45 helper", "Mon 14:45 owner"]


def test_quiet_hours_holds_and_answers_to_the_alert_do_not_touch_it() -> None:
    from cureclock.reminders import again

    stage = oiled("Mon 22:20")
    Membership.objects.update(quiet_from=time(21), quiet_until=time(7))
    Lull.objects.create(
        workshop=stage.cast.workshop, since=when("Mon 22:00"), until=when("Mon 23:30")
    )
    assert asked(stage, "Mon 22:25")
    alert = Alert.objects.get(kind="rags")
    for says in ("later", "not_me", "mine"):
        again.answer(
            stage.cast.workshop, alert.id, stage.cast.owner.person, says, stage.clock.now()
        )  # type: ignore[arg-type]
    assert asked(stage, "Mon 22:35", "Tue 03:00")


def test_it_survives_a_restart_and_an_outage_asks_once() -> None:
    stage = oiled()
    assert asked(stage, "Mon 14:25")
    stage.clock.move_to(when("Mon 18:00"))
    stage.turn = stage.started()
    assert asked(stage, "Mon 18:00") == ["Mon 18:00 owner"]
    assert asked(stage, "Mon 18:05") == []


def test_it_outlives_the_coat_the_batch_and_the_person() -> None:
    stage = oiled()
    assert asked(stage, "Mon 14:25")
    CoatedZone.objects.all().delete()
    Coat.objects.all().delete()
    Piece.objects.all().delete()
    Batch.objects.all().delete()
    assert asked(stage, "Mon 14:35")
    helper = stage.cast.helper.person
    assert helper is not None
    question = RagsQuestion.objects.get()
    rags.placed(stage.cast.workshop, question.id, "under_water", helper, stage.clock.now())
    helper.delete()
    row = RagsQuestion.objects.get()
    assert (row.where, row.by, row.by_name) == ("under_water", None, "Helper of Slipway shed")
    assert asked(stage, "Mon 15:00") == []


def test_wiping_asks_anew_and_a_struck_act_asks_no_more() -> None:
    stage = oiled()
    assert asked(stage, "Mon 14:25")
    wiped = stage.cast.do("wiped", "Mon 14:30", coat=stage.cast.id("oil")).id
    assert asked(stage, "Mon 14:34") == []
    assert asked(stage, "Mon 14:35")
    stage.cast.do("struck_out", "Mon 14:36", target=wiped)
    open_ones = RagsQuestion.objects.filter(answered_at=None, struck_at=None)
    assert [row.acted_at for row in open_ones] == [when("Mon 14:20")]
    ended = stage.cast.do("coat_ended", "Mon 14:20", coat=stage.cast.id("oil"), ident=uuid4()).id
    assert ended


def test_an_older_ring_that_never_got_out_is_dropped_for_the_newer() -> None:
    from cureclock.reminders.outcome import TryAgain

    stage = oiled()
    stage.memory.answers = [TryAgain(503, "busy")] * 40
    asked(stage, "Mon 14:25", "Mon 14:35", "Mon 14:45")
    pending: Any = Delivery.objects.filter(state=Delivery.State.PENDING, alert__kind="rags")
    assert [row.alert.seq for row in pending] == [2]
