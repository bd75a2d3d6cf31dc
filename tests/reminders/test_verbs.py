"""What people say of the shop, of themselves and of alerts, told as any happening is."""

from datetime import time, timedelta
from uuid import UUID, uuid4

import pytest

from cureclock.core.refusal import Refused
from cureclock.reminders.models import Alert, Answered, Lull, Minding
from cureclock.reminders.people import house
from cureclock.shop.models import Membership
from cureclock.shop.own_hours import DayHours
from cureclock.shop.refusals import NotHere, Refusal
from tests.cast import Cast, when
from tests.reminders.stage import Stage
from tests.reminders.test_looks import through

pytestmark = pytest.mark.django_db
WEEK = tuple(DayHours(day, "07:30", "16:00") for day in range(5))


def told(stage: Stage, verb: str, at: str, **said: object) -> UUID:
    return stage.cast.do(verb, at, **said).id


def test_name_hours_and_home_time_are_what_was_said_last_in_any_order() -> None:
    cast = Cast.open()
    cast.do("shop_told", "Tue 09:00", home_time="16:30", name="Creek shed")
    cast.do("shop_told", "Mon 09:00", arrived="Tue 10:00", hours=WEEK, home_time="17:00")
    cast.workshop.refresh_from_db()
    assert (cast.workshop.name, cast.workshop.home_time) == ("Creek shed", time(16, 30))
    assert cast.workshop.hours["0"] == ["07:30", "16:00"]
    assert "5" not in cast.workshop.hours


def test_what_is_struck_out_holds_no_more_and_what_was_said_before_holds_again() -> None:
    cast = Cast.open()
    cast.do("shop_told", "Mon 09:00", home_time="17:00")
    last = cast.do("shop_told", "Mon 10:00", home_time="15:00", hours=WEEK).id
    cast.do("struck_out", "Mon 10:05", target=last)
    cast.workshop.refresh_from_db()
    assert cast.workshop.home_time == time(17)
    assert cast.workshop.hours["5"] == ["08:00", "18:00"]  # as a new workshop has it


def test_hours_are_the_owners_to_say() -> None:
    cast = Cast.open()
    with pytest.raises(Refusal):
        cast.do("shop_told", "Mon 09:00", by=cast.helper, home_time="15:00")


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"home_time": "half past"},
        {"hours": (DayHours(9, "08:00", "18:00"),)},
        {"hours": (DayHours(1, "08:00", "18:00"), DayHours(1, "09:00", "18:00"))},
        {"hours": (DayHours(1, "8", ""),)},
    ],
)
def test_hours_that_are_none_are_refused(said: dict[str, object]) -> None:
    cast = Cast.open()
    with pytest.raises((Refusal, Refused)):
        cast.do("shop_told", "Mon 09:00", **said)
    cast.workshop.refresh_from_db()
    assert cast.workshop.home_time == time(18)


def test_a_new_home_time_moves_the_last_look_of_the_same_day() -> None:
    """Home at 18:00 the list comes at 17:45; told at 15:30 that it is 16:00 today, at 15:45."""
    stage = Stage.open()
    stage.cast.read("Mon 08:00", 20.0)
    from tests.reminders.test_looks import coated

    coated(stage, "Mon 10:40", "Mon 11:00")
    through(stage, "Mon 11:00", "Mon 15:30", minutes=30)
    days = tuple(DayHours(day, "08:00", "16:00") for day in range(6))
    told(stage, "shop_told", "Mon 15:30", home_time="16:00", hours=days)
    found = through(stage, "Mon 15:31", "Mon 18:00", minutes=1)
    lists = [at for at, lines in found.items() if any("before you go" in one for one in lines)]
    assert lists
    assert lists[0] <= "Mon 15:45"
    assert not any(at > "Mon 16:00" for at in lists)


def test_everybody_says_their_own_quiet_hours_and_the_owner_everybodys() -> None:
    cast = Cast.open()
    assert cast.helper.person is not None
    cast.do("person_told", "Mon 09:00", by=cast.helper, zone="Europe/London")
    helper = cast.helper.person.id
    cast.do("person_told", "Mon 09:01", person=helper, quiet_from="21:00", quiet_until="07:00")
    member = Membership.objects.select_related("person").get(person=helper)
    assert (member.quiet_from, member.quiet_until) == (time(21), time(7))
    assert member.person.zone == "Europe/London"
    assert cast.owner.person is not None
    with pytest.raises(Refusal):
        cast.do("person_told", "Mon 09:02", by=cast.helper, person=cast.owner.person.id, zone="")
    with pytest.raises(NotHere):
        cast.do("person_told", "Mon 09:02", person=uuid4(), zone="")
    with pytest.raises(Refused):
        cast.do("person_told", "Mon 09:02", by=cast.helper, zone="Mars/Olympus")


def opened() -> Stage:
    """Clamps may come off and two were told."""
    stage = Stage.open()
    stage.way(stage.cast.helper)
    stage.cast.read("Mon 08:00", 20.0)
    stage.glue("G1", ["L-01"], "Mon 09:00")
    stage.tick("Mon 09:45")
    return stage


def test_an_answer_told_as_a_happening_counts_from_when_it_was_given_and_once() -> None:
    stage = opened()
    alert = Alert.objects.get(gate="clamps_off")
    ident = uuid4()
    said = {"alert": alert.id, "says": "mine"}
    stage.cast.do("alert_answered", "Mon 09:46", arrived="Mon 09:50", ident=ident, **said)
    again = stage.cast.do("alert_answered", "Mon 09:46", arrived="Mon 09:51", ident=ident, **said)
    assert not again.new
    assert [row.at for row in Answered.objects.all()] == [when("Mon 09:46")]
    told = through(stage, "Mon 09:52", "Mon 10:05", minutes=1)
    lines = [at for at, lines in told.items() if any("clamps" in line for line in lines)]
    assert lines == ["Mon 10:01"]  # fifteen minutes without the act: back to all


def test_an_answer_to_nothing_or_of_no_meaning_is_refused() -> None:
    stage = opened()
    alert = Alert.objects.get(gate="clamps_off")
    with pytest.raises(NotHere):
        stage.cast.do("alert_answered", "Mon 09:46", alert=uuid4(), says="mine")
    with pytest.raises(Refusal):
        stage.cast.do("alert_answered", "Mon 09:46", alert=alert.id, says="done")


def test_who_minds_the_shop_is_told_first_and_the_second_is_not() -> None:
    cast = Cast.open()
    assert cast.helper.person is not None
    cast.do("shop_minded", "Mon 08:00")
    cast.do("shop_minded", "Mon 08:00", person=cast.helper.person.id, second=True)
    home = house(cast.workshop.id, when("Mon 20:00"))
    assert home is not None
    assert [(one.minds_shop, one.second) for one in home.shop.people] == [
        (True, False),
        (False, True),
    ]
    cast.do("shop_minded", "Mon 20:00", over=True)
    assert Minding.objects.filter(until=None).count() == 1


def test_lunch_holds_what_is_not_urgent_for_an_hour_at_most_and_can_be_ended() -> None:
    stage = opened()
    with pytest.raises(Refusal):
        told(stage, "alerts_held", "Mon 12:00", until=when("Mon 13:30"))
    told(stage, "alerts_held", "Mon 12:00", until=when("Mon 12:40"))
    assert Lull.objects.get().until == when("Mon 12:40")
    told(stage, "alerts_held", "Mon 12:20")
    assert Lull.objects.get().until == when("Mon 12:20")


def test_what_people_say_to_alerts_is_said_anew_not_struck_out() -> None:
    stage = opened()
    ident = told(stage, "alerts_held", "Mon 12:00", until=when("Mon 12:00") + timedelta(minutes=9))
    with pytest.raises(Refusal):
        told(stage, "struck_out", "Mon 12:01", target=ident)
