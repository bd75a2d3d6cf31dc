"""Goes of every step, the gates between them, and what beginning them when means."""

import numpy as np

from cureclock.core.planning.layout import at, lay_out
from cureclock.core.planning.problem import Batch, Begun
from cureclock.core.planning.route import After, Step, Take
from cureclock.core.units import DAY_US, HOUR_US
from tests.core.planning_samples import minutes, night_slows, problem, steady

GLUE = Step("glue", minutes(30), takes=(Take("clamp", 2, "unclamp"),))
UNCLAMP = Step("unclamp", minutes(5), after=(After("glue", steady(1)),))
COAT = Step("coat", minutes(5), each_us=minutes(2), at_once=4, after=(After("unclamp"),))


def laid(count=6, steps=(GLUE, UNCLAMP, COAT), **more):
    return lay_out(problem(Batch("stands", count, steps), things={"clamp": 6}, **more))


def test_pieces_are_shared_out_over_goes_and_the_last_takes_the_rest():
    layout = laid()
    goes = [layout.goes[i] for i in layout.by_step["stands", "coat"]]
    assert [(go.first, go.pieces, go.slots) for go in goes] == [(0, 4, 3), (4, 2, 2)]


def test_a_go_waits_for_the_last_of_its_pieces():
    layout = laid()
    coat = layout.by_step["stands", "coat"][0]
    opened = [layout.goes[link.before].first for link in layout.links_to[coat] if link.opens]
    assert opened == [3]


def test_what_closes_counts_from_the_first_of_its_pieces():
    window = After("unclamp", closes=steady(5), late_us=0)
    layout = laid(steps=(GLUE, UNCLAMP, Step("coat", minutes(5), at_once=4, after=(window,))))
    coat = layout.by_step["stands", "coat"][0]
    limits = [layout.goes[link.before].first for link in layout.links_to[coat] if link.limits]
    assert limits == [0]


def test_things_are_freed_by_the_go_that_has_the_last_piece():
    layout = laid(steps=(GLUE, Step("unclamp", 5, at_once=3, after=(After("glue"),))))
    freed_by = {layout.goes[h.taker].first: layout.goes[h.releaser].first for h in layout.holds}
    assert freed_by == {0: 0, 1: 0, 2: 0, 3: 3, 4: 3, 5: 3}


def test_a_wait_that_ends_at_night_opens_in_the_morning():
    layout = laid()
    glue = layout.goes[0]
    link = layout.links_from[glue.index][0]
    opens = layout.opens(link)
    eight, half_past_four, half_past_five = 0, 102, 114
    assert opens[eight] == (HOUR_US + HOUR_US // 2) // minutes(5)
    assert (opens[half_past_four], opens[half_past_five]) == (120, 120)


def test_a_later_beginning_never_opens_a_gate_sooner():
    slow = After("glue", night_slows(9))
    layout = laid(steps=(GLUE, Step("unclamp", minutes(5), after=(slow,))))
    for link in layout.links:
        assert np.all(np.diff(layout.opens(link)) >= 0)


def test_what_is_begun_comes_first_and_stands():
    begun = (
        Begun("stands", "glue", 1, DAY_US, DAY_US + HOUR_US, ("Maker",)),
        Begun("stands", "glue", 2, DAY_US - HOUR_US, DAY_US, ("Maker",)),
    )
    asked = problem(Batch("stands", 6, (GLUE, UNCLAMP)), things={"clamp": 6}, begun=())
    from dataclasses import replace

    layout = lay_out(replace(asked, from_us=DAY_US + 9 * HOUR_US, begun=begun))
    goes = [layout.goes[i] for i in layout.by_step["stands", "glue"]]
    assert [(go.first, go.pieces, go.begun is not None) for go in goes] == [
        (0, 2, True),
        (2, 1, True),
        (3, 1, False),
        (4, 1, False),
        (5, 1, False),
    ]
    assert layout.ends_us(goes[0]).tolist() == [DAY_US]
    assert at(layout.ends_us(goes[0]), 7) == DAY_US


def test_hands_of_a_running_go_are_free_once_it_is_loaded_and_else_at_its_end():
    from dataclasses import replace

    now = DAY_US + 8 * HOUR_US
    steps = (
        Step("cnc", minutes(10), machine="cnc", alone_us=minutes(50)),
        Step("turn", minutes(60)),
    )
    begun = (
        Begun("stands", "cnc", 1, now - minutes(5), now + minutes(55), ("Maker",)),
        Begun("stands", "turn", 1, now - minutes(5), now + minutes(70), ("Maker",)),
    )
    asked = problem(Batch("stands", 1, steps), machines={"cnc": 1})
    layout = lay_out(replace(asked, from_us=now, begun=begun))
    cnc, turn = layout.goes
    assert layout.frees_hands(cnc, 0) == 1
    assert at(layout.frees_machine(cnc), 0) == 11
    assert layout.frees_hands(turn, 0) == 14


def test_next_and_last_starts_are_the_nearest_that_fit():
    layout = laid()
    glue = layout.goes[0]
    closing = 115  # 17:35, too late for half an hour
    assert layout.next_start(glue)[closing] == 120
    assert layout.last_start(glue)[closing] == 114
    assert layout.next_start(glue)[len(layout.calendar) - 1] == layout.never


def test_nothing_begins_before_its_own_first_moment():
    layout = laid(steps=(Step("glue", minutes(30), not_before_us=2 * DAY_US),))
    assert np.flatnonzero(layout.starts(layout.goes[0]))[0] == 240
