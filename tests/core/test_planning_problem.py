"""Problems: what cannot be is refused in the maker's words; hours and waits can be drawn out."""

import numpy as np
import pytest

from cureclock.core.coat.shop_hours import ReadyTable
from cureclock.core.planning.problem import Batch, Begun, Person, Problem, reaching
from cureclock.core.planning.route import After, Step
from cureclock.core.refusal import Refused
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US
from tests.core.planning_samples import hours, steady, workdays

GLUE = Step("glue", 30 * MINUTE_US)
TURN = Step("turn", 30 * MINUTE_US, after=(After("glue", steady(8)),), who=("Maker",))
MAKER = Person("Maker", hours(workdays()))
TRAYS = Batch("trays", 3, (GLUE, TURN))


def asked(**said):
    given = {
        "from_us": 0,
        "until_us": 14 * DAY_US,
        "people": (MAKER,),
        "batches": (TRAYS,),
        **said,
    }
    return Problem(**given)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"from_us": 7}, "whole number of slots"),
        ({"until_us": 0}, "end of the plan"),
        ({"until_us": -DAY_US}, "1 to 400 days"),
        ({"until_us": 500 * DAY_US}, "1 to 400 days"),
        ({"slot_us": 1}, "slot"),
        ({"until_us": 300 * DAY_US, "slot_us": MINUTE_US}, "slots of the plan"),
        ({"people": (MAKER, MAKER)}, "people"),
        ({"people": ()}, "who can turn"),
        ({"people": (Person("Helper", None),)}, "Maker"),
        ({"batches": ()}, "batches"),
        ({"batches": (TRAYS, TRAYS)}, "batches"),
        ({"machines": {"lathe": -1}}, "number of lathe"),
        ({"things": {"clamp": 0.5}}, "number of clamp"),
        ({"begun": (Begun("bowls", "glue", 1, 0, 0),)}, "batch bowls"),
        ({"begun": (Begun("trays", "sand", 1, 0, 0),)}, "step of trays"),
        ({"begun": (Begun("trays", "glue", 1, HOUR_US, HOUR_US),)}, "in the future"),
        ({"begun": (Begun("trays", "glue", 1, 0, 0, ("Stranger",)),)}, "people who work here"),
        ({"begun": (Begun("trays", "glue", 4, 0, 0),)}, "pieces through glue"),
        ({"begun": (Begun("trays", "turn", 1, 0, 0),)}, "at most the 0 through glue"),
    ],
)
def test_a_problem_that_cannot_be_is_refused_in_words(said, words):
    with pytest.raises(Refused, match=words):
        asked(**said)


@pytest.mark.parametrize("count", [0, -1, 2.5, 10_000, float("nan")])
def test_a_batch_of_no_pieces_or_parts_of_one_is_refused(count):
    with pytest.raises(Refused, match="pieces of trays"):
        Batch("trays", count, (GLUE,))


def test_a_gate_of_being_done_after_a_step_that_is_not_there_is_refused():
    with pytest.raises(Refused, match="sand"):
        Batch("trays", 1, (GLUE,), done=(After("sand"),))


def test_what_ended_before_it_began_is_refused():
    with pytest.raises(Refused, match="not before it began"):
        Begun("trays", "glue", 1, 10, 5)


def test_a_longer_problem_goes_on_with_the_hours_of_its_last_week():
    longer = asked().until(28 * DAY_US)
    opens = np.asarray(longer.people[0].hours.open_us) // DAY_US
    assert [day for day in opens.tolist() if day < 28] == workdays(4)
    assert longer.until(20 * DAY_US) is longer


def test_in_a_longer_problem_a_later_wait_is_as_long_as_the_last():
    table = ReadyTable([0, DAY_US], [HOUR_US, DAY_US + 3 * HOUR_US])
    longer = reaching(table, 9 * DAY_US)
    assert longer.ready(5 * DAY_US) == 5 * DAY_US + 3 * HOUR_US
    assert longer.ready(DAY_US // 2) == table.ready(DAY_US // 2)


def test_the_last_steps_are_those_that_nothing_follows():
    legs = Batch("legs", 1, (GLUE, TURN, Step("mark", after=(After("glue"),))))
    assert legs.last_steps == ("turn", "mark")
