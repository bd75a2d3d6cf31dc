"""I've got it, later, not me; and who is rung when nobody has it."""

import pytest

from cureclock.reminders import again
from cureclock.reminders.models import Alert, Delivery, Minding
from cureclock.shop.refusals import NotHere, Refusal
from tests.cast import Cast, when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db


def both() -> Stage:
    """An owner and a helper, both there, both reachable; clamps may come off at 09:45."""
    stage = Stage.open()
    stage.way(stage.cast.helper)
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    return stage


def says(stage: Stage, teller: str, what: str) -> None:
    person = getattr(stage.cast, teller).person
    alert = Alert.objects.filter(gate="clamps_off").order_by("-seq").first()
    assert alert is not None
    again.answer(stage.cast.workshop, alert.id, person, what, stage.clock.now())


def told(stage: Stage, *times: str) -> list[str]:
    """When and to whom it was said that clamps may come off."""
    found = []
    for time in times:
        before = len(stage.memory.sent)
        stage.tick(time)
        found += [
            f"{time} {address}"
            for address, message in stage.memory.sent[before:]
            if message.title.startswith("Take clamps off")
        ]
    return found


def test_it_is_told_to_everybody_there() -> None:
    assert sorted(told(both(), "Mon 09:45")) == ["Mon 09:45 helper", "Mon 09:45 owner"]


def test_taken_by_one_it_is_not_sent_to_the_other_any_more() -> None:
    stage = both()
    from cureclock.reminders.outcome import Accepted, TryAgain

    stage.memory.answers = [Accepted(201), TryAgain(503, "busy")]
    (first,) = told(stage, "Mon 09:45")
    says(stage, first.split()[-1], "mine")
    assert told(stage, "Mon 09:46", "Mon 09:50") == []
    states = Delivery.objects.filter(alert__gate="clamps_off").values_list("state", flat=True)
    assert set(states) == {Delivery.State.SENT, Delivery.State.SUPERSEDED}


def test_taken_and_not_done_it_goes_back_to_all_after_a_while() -> None:
    stage = both()
    told(stage, "Mon 09:45")
    says(stage, "helper", "mine")
    assert told(stage, "Mon 09:50", "Mon 09:59") == []
    assert sorted(told(stage, "Mon 10:00")) == ["Mon 10:00 helper", "Mon 10:00 owner"]
    one, two = stage.memory.sent[-2:]
    assert one[1].tag == two[1].tag == f"{stage.cast.id('G1')} clamps_off"


def test_taken_and_done_it_does_not_come_back() -> None:
    stage = both()
    told(stage, "Mon 09:45")
    says(stage, "helper", "mine")
    stage.cast.do("clamps_off", "Mon 09:55", glue_up=stage.cast.id("G1"))
    assert told(stage, "Mon 10:00", "Mon 10:30") == []


def test_later_rings_again_after_a_quarter_of_an_hour() -> None:
    stage = both()
    told(stage, "Mon 09:45")
    says(stage, "owner", "later")
    says(stage, "helper", "not_me")
    assert told(stage, "Mon 09:46", "Mon 09:59") == []
    assert told(stage, "Mon 10:00") == ["Mon 10:00 owner"]


def test_not_me_from_the_only_one_told_rings_the_others() -> None:
    stage = both()
    assert stage.cast.owner.person is not None
    Minding.objects.create(
        workshop=stage.cast.workshop, person=stage.cast.owner.person, since=when("Mon 08:00")
    )
    from cureclock.shop.models import Membership

    Membership.objects.filter(person=stage.cast.helper.person).update(
        hours={"6": ["08:00", "09:00"]}
    )
    assert told(stage, "Mon 09:45") == ["Mon 09:45 owner"]
    says(stage, "owner", "not_me")
    assert told(stage, "Mon 09:46") == ["Mon 09:46 helper"]


def test_an_answer_that_is_none_and_an_alert_of_another_shop_are_refused() -> None:
    stage = both()
    told(stage, "Mon 09:45")
    alert = Alert.objects.get(gate="clamps_off")
    owner = stage.cast.owner.person
    assert owner is not None
    with pytest.raises(Refusal):
        again.answer(stage.cast.workshop, alert.id, owner, "perhaps", stage.clock.now())
    with pytest.raises(NotHere):
        again.answer(Cast.open("Other").workshop, alert.id, owner, "mine", stage.clock.now())
