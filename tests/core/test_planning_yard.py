"""What is in use while the hours go by."""

import pytest

from cureclock.core.planning.layout import lay_out
from cureclock.core.planning.problem import Batch
from cureclock.core.planning.route import After, Step, Take
from cureclock.core.planning.yard import Yard, spoils
from tests.core.planning_samples import minutes, problem, steady

GLUE = Step("glue", minutes(30), takes=(Take("clamp", 2, "unclamp"),))
UNCLAMP = Step("unclamp", minutes(5), after=(After("glue"),))


def yard(*steps, count=2, **owned):
    layout = lay_out(problem(Batch("box", count, steps), **owned))
    return Yard(layout), layout.goes


def test_a_machine_is_free_again_when_it_has_run():
    cut = Step("cut", minutes(5), machine="cnc", alone_us=minutes(20))
    shop, (first, second) = yard(cut, machines={"cnc": 1})
    assert shop.free(first, 0)
    assert sorted(shop.take(first, 0, False, ("Maker",))) == [1, 5]
    assert not shop.free(second, 4)
    assert shop.free(second, 5)
    assert shop.hands == {"Maker": 1}


def test_of_two_machines_each_takes_one():
    cut = Step("cut", minutes(5), machine="cnc", alone_us=minutes(20))
    shop, goes = yard(cut, count=3, machines={"cnc": 2})
    for go in goes[:2]:
        assert shop.free(go, 0)
        shop.take(go, 0, False, ())
    assert not shop.free(goes[2], 0)


def test_clamps_stay_on_until_somebody_takes_them_off():
    shop, (first, second, off, _) = yard(GLUE, UNCLAMP, things={"clamp": 3})
    shop.take(first, 0, False, ())
    assert not shop.free(second, 100)
    shop.take(off, 100, False, ())
    assert not shop.free(second, 100)
    assert shop.free(second, 101)


@pytest.mark.parametrize(
    ("dry", "harmed_until"),
    [(Step("sand", minutes(5), place="shed", dusty=True), 25),
     (Step("grind", minutes(5), place="shed", sparks=True), 49),
     (Step("carve", minutes(5), place="shed"), 0),
     (Step("sand", minutes(5), place="cupboard", dusty=True), 0)],
)  # fmt: skip
def test_no_dust_where_it_is_wet_and_no_sparks_in_fumes(dry, harmed_until):
    coat = Step("coat", minutes(5), place="shed", dust_free=steady(2), fumes=steady(4))
    shop, (wet, other) = yard(coat, dry, count=1)
    shop.take(wet, 0, False, ())
    assert shop.free(other, harmed_until)
    assert harmed_until == 0 or not shop.free(other, harmed_until - 1)


def test_nothing_is_coated_where_dust_is_still_made():
    coat = Step("coat", minutes(5), place="shed", dust_free=steady(2))
    sand = Step("sand", minutes(15), place="shed", dusty=True)
    shop, (wet, dry) = yard(coat, sand, count=1)
    shop.take(dry, 0, False, ())
    assert not shop.free(wet, 2)
    assert shop.free(wet, 3)
    assert spoils(dry, wet)
    assert not spoils(wet, dry)
