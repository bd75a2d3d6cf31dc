"""Outages, half-done work, cold nights and late readings, told from facts to words."""

import pytest

from cureclock.core.reminding.after_outage import item_of, sort_out
from cureclock.core.reminding.alerts import (
    Asleep,
    Closed,
    CoatLeft,
    ColdAhead,
    Correction,
    Forbidden,
    FormFree,
    Subject,
    SuspectFound,
)
from cureclock.core.reminding.compose import alert
from cureclock.core.reminding.corrections import corrections
from cureclock.core.reminding.due import changes, wanted
from cureclock.core.reminding.facts import DoubtFact, Facts, GateFact, Shop
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.lists import AfterOutage, Item, Line, Morning
from cureclock.core.reminding.wall import Weekly
from cureclock.core.reminding.wants import Said
from cureclock.core.reminding.who import Answer, Says, told_now
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US
from tests.core.invented_shop import LISTS, SHOP, STEMS, ZONE, clock, gates, reader, wants, when


def test_after_a_power_cut_one_message_says_what_passed_and_nothing_bursts():
    """H. Off from 18:40 to 06:50: one summary, a form to leave shut, the gap unmeasured."""
    at = when("Thu 06:50")
    moments = {"drip_check": "Wed 18:50", "dust_free": "Wed 21:00", "touch": "Thu 00:10"}
    facts = Facts([row for gate, act in moments.items() for row in gates("c1", gate, ["1"], act)])
    rims = Subject("g10", "rim 3", place="box")
    due = [one for one in wants(facts, "Wed 18:39") if one.at_us <= at]
    found = sort_out(due, at)
    assert found.alone == ()
    assert [(one.item, one.of.gate) for one in found.summed] == [(Item.OPENS, "touch")]
    lines = [
        Line(Item.OPENS, Subject("c1", "stems", ["1"]), "touch", when("Thu 00:10")),
        Line(Item.CORRECTION, rims, "clamps_off_stressed", when("Thu 10:20")),
    ]
    said = alert(AfterOutage("shop", when("Wed 18:40"), at, lines), reader("Thu 06:50"))
    assert said.title == "Read what passed – no word from Wed 18:40 to 06:50"
    assert said.body.split("\n") == [
        "In between nothing was measured: enter the lowest. Until then nothing goes on the lathe.",
        "Wait after all – rim 3, box: no freeing of the bend before 10:20",
        "Touch it – stems 1",
    ]


def test_one_helper_takes_it_the_others_are_quiet_and_after_a_quarter_hour_all_hear_it():
    """J. Clamps off rings all three; taken; not done in 15 minutes; lunch holds it."""
    raised = when("Sat 09:00")

    def told(minutes: int, *answers: Answer, **said):
        at_us = raised + minutes * MINUTE_US
        return told_now(SHOP.people, answers, raised_us=raised, at_us=at_us, **said)

    mine = Answer("helper 1", Says.MINE, raised + MINUTE_US)
    assert told(0).people == ("maker", "helper 1", "helper 2")
    assert (told(2, mine).people, told(2, mine).taken_by) == (("helper 1",), "helper 1")
    assert told(16, mine).people == ("maker", "helper 1", "helper 2")
    lunch = raised + 40 * MINUTE_US
    assert told(5, held_until_us=lunch).people == ()
    assert told(5, held_until_us=lunch, urgent=True).people == ("maker", "helper 1", "helper 2")


def test_resin_that_sleeps_says_how_cold_and_that_hard_is_no_leave_to_sand():
    """P. The pot is told minutes before its end; asleep at 11 degrees; sanding not before Thu."""
    (closing, closed) = wants(Facts(gates("g1", "pot_life", ["7"], "Wed 13:12")), "Wed 13:00")
    assert (clock(closing.at_us), closing.gate) == ("Wed 13:07", "pot_life")
    assert closed.kind == Kind.CLOSED
    fill = Subject("g1", "void fill", ["7"])
    until = Forbidden("sand_glue_line", when("Tue 09:00"))
    said = alert(Asleep(fill, "11 °C", "15 °C", until), reader("Thu 07:00"))
    assert said.title == "Warm it – void fill 7: asleep at 11 °C, needs 15 °C"
    assert "no sanding of the glue line before Tue 09:00" in said.body


def test_one_form_one_rim_a_night():
    """Q. Free at 23:19 rings nobody; in the morning: take it out, the next goes in, let it rest."""
    rows = gates("g4", "clamps_off_stressed", ["rim 4"], "Thu 23:19")
    (free,) = wants(Facts(rows), "Thu 17:20")
    assert free.listed
    said = alert(
        FormFree(
            Subject("g4", "rim 4"), "rim 5", [Forbidden("final_surfacing", when("Mon 08:00"))]
        ),
        reader("Fri 08:00"),
    )
    assert said.title == "Take rim 4 out – form free for rim 5"
    assert said.body == "No final surfacing before Mon 08:00."


def test_a_monday_after_a_holiday_is_one_list_not_sixty_alerts():
    """R. Windows shut, drums to ask for at the lathe, tapes and holds still on."""
    drums = [f"{n:02d}" for n in range(1, 9)]
    rows = [
        *gates("c1", "touch", STEMS, "Fri 15:00"),
        *gates("c1", "recoat_opens", STEMS, "Fri 20:57"),
        *gates("c1", "recoat_closes", STEMS, "Sat 11:00"),
        *gates("g7", "light", drums, "Fri 10:00"),
        *gates("g7", "heavy", drums, "Fri 16:00"),
        *gates("t1", "tape_off", ["1", "2"], "Sat 09:00"),
        *gates("h1", "remove_by", ["5"], "Fri 18:00"),
    ]
    away = Shop(
        "shop",
        SHOP.people,
        Weekly.of({"0": ["08:00", "18:00"]}).spells(ZONE, when("Wed 12:00")),
        ZONE,
    )
    at = when("Mon 08:00")
    due = [
        one
        for one in wanted(Facts(rows), away, when("Thu 12:00"))
        if one.kind not in LISTS and one.at_us <= at - 15 * MINUTE_US
    ]
    shut = [one for one in wanted(Facts(rows), away, at) if one.kind == Kind.CLOSED]
    assert {clock(one.at_us) for one in shut} == {"Mon 08:00"}
    assert all(one.listed for one in due)
    found = sort_out([*due, *shut], at + 15 * MINUTE_US)
    assert found.alone == ()
    assert sorted((one.item, one.of.gate) for one in found.summed) == [
        (Item.CLOSED, "tape_off"),
        (Item.HOLD, "remove_by"),
        (Item.OPENS, "heavy"),
        (Item.SCUFF, "recoat_closes"),
    ]


def test_two_helpers_stop_half_way_and_are_told_how_many_are_left():
    """Twelve of 24 stems are recoated; the windows of the others shut from 10:59 on."""
    rows = [
        *gates("c1", "recoat_closes", STEMS[:12], "Sat 10:30", over=True, hands_us=58 * MINUTE_US),
        *gates(
            "c1", "recoat_closes", STEMS[12:], "Sat 10:59", "Sat 11:25", hands_us=58 * MINUTE_US
        ),
    ]
    left, closed = wants(Facts(rows), "Sat 10:19")
    assert (left.kind, left.tags) == (Kind.COAT_LEFT, tuple(STEMS[12:]))
    assert when("Sat 10:19") <= left.at_us <= when("Sat 10:30")
    assert when("Sat 10:50") <= left.start_by_us <= when("Sat 10:59")
    assert closed.kind == Kind.CLOSED
    said = alert(
        CoatLeft(Subject("c1", "stems", left.tags), left.start_by_us, left.about_us),
        reader("Sat 10:30"),
    )
    assert said.title.startswith("Coat the other 12 – stems 13–24, start by 10:5")
    scuff = alert(
        Closed(Subject("c1", "stems", STEMS[12:]), "recoat_closes", when("Sat 10:59")),
        reader("Sat 11:30"),
    )
    assert scuff.title == "Scuff first – stems 13–24, window shut since 10:59"


def test_drums_pressed_into_a_falling_night_are_told_of_before_and_after():
    """Cold ahead rings even at night; found suspect it names the cause; then it wants nothing."""
    drums = ["17", "18", "20", "21", "22", "23", "24"]
    ahead = DoubtFact("g11", Kind.COLD, drums, when("Wed 18:10"), "ahead")
    (ring,) = wants(Facts(doubts=[ahead]), "Wed 18:10")
    assert {to.person for to in ring.to} == {"maker"}
    assert [clock(to.not_before_us) for to in ring.to] == ["Wed 18:10"]
    subject = Subject("g11", "drums", drums)
    said = alert(ColdAhead(subject, when("Wed 19:30"), pressed=True), reader("Wed 18:10"))
    assert said.title == "Move it to warmth – drums 17, 18, 20–24, too cold to set by 19:30"
    found = alert(SuspectFound(subject, "cold"), reader("Thu 09:40"))
    assert "Waiting will not clear it" in found.body
    rows = gates("g11", "light", drums, "Thu 10:00", suspect=True)
    assert wants(Facts(rows), "Thu 09:40") == []


def test_a_colder_reading_moves_what_is_pending_and_corrects_what_was_said():
    """Said open at 10:00; a late reading makes it 12:00: one correction, then told anew."""
    before = Facts(gates("g7", "heavy", ["1"], "Thu 10:00"))
    after = Facts(gates("g7", "heavy", ["1"], "Thu 12:00"))
    pending = wants(before, "Thu 09:00")
    moved = changes(wants(after, "Thu 09:30"), pending, when("Thu 09:30")).move
    assert [clock(one.at_us) for one in moved] == ["Thu 12:00"]
    said = [Said.of(pending[0], when("Thu 10:00"))]
    (wrong,) = corrections(said, after, SHOP, when("Thu 10:30"))
    message = alert(
        Correction(
            Subject("g7", "drum", ["1"]), "heavy", wrong.was_us, wrong.wanted.about_us, "colder"
        ),
        reader("Thu 10:30"),
    )
    assert message.title == "Wait after all – drum 1: no CNC, thicknesser or bandsaw before 12:00"
    assert message.body.startswith("Said 10:00")
    taken_back = [Said(said[0].key, Kind.OPENS, "heavy", "g7", ["1"], stands=False)]
    (anew,) = wants(after, "Thu 10:30", taken_back)
    assert (clock(anew.at_us), anew.part) == ("Thu 12:00", 1)


def test_a_coat_that_was_said_to_be_fit_for_wrapping_and_is_not_says_so_by_its_day():
    stems = Subject("c2", "stems", STEMS)
    untrue = Correction(stems, "wrap", when("Tue 12:00"), when("Tue 17:17"), "colder")
    said = alert(untrue, reader("Tue 12:30"))
    assert said.title == "Do not wrap before Tue 17:17 – stems 01–24"
    assert said.body.startswith("Said 12:00; it is not so: ")
    assert "the film prints" in said.body


@pytest.mark.parametrize("kind", [Kind.CLOSING, Kind.CLOSED])
def test_a_window_in_the_night_never_rings_at_night(kind):
    """F again, for every hour of closing and every length of work."""
    for hour in range(0, 96, 3):
        for hands in (0, 45, 240):
            closes = when("Thu 11:00") + hour * HOUR_US
            row = GateFact("c1", "1", "recoat_closes", closes, hands_us=hands * MINUTE_US)
            found = [one for one in wants(Facts([row]), "Thu 11:00") if one.kind == kind]
            assert all("08:00" <= clock(one.at_us)[4:] <= "18:00" for one in found)
            assert all(one.at_us < when("Thu 11:00") + 5 * DAY_US for one in found)


def test_every_line_that_was_held_for_the_morning_has_its_words():
    rows = [*gates("c1", "touch", ["1"], "Thu 20:00"), *gates("g1", "light", ["1"], "Thu 21:00")]
    held = [one for one in wants(Facts(rows), "Thu 17:00") if one.listed]
    lines = []
    for one in held:
        item = item_of(one, when("Fri 07:40"))
        assert item is not None
        lines.append(Line(item, Subject(one.subject, "x", one.tags), one.gate, one.about_us))
    body = alert(Morning("shop", lines=lines), reader("Fri 07:40")).body
    assert body.split("\n") == ["Touch it – x 1", "Plane or trim – x 1"]
