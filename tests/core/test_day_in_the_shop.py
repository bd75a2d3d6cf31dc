"""Days in a shop, told from facts to words: the act, the blame and the moment.

The shop, its people and its times are invented for these tests.
"""

from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

import pytest

from cureclock.core.lathe import JointState, PieceState, may_spin
from cureclock.core.reminding.after_outage import item_of, sort_out
from cureclock.core.reminding.alerts import (
    Asleep,
    Closed,
    Closing,
    CoatLeft,
    ColdAhead,
    Correction,
    Forbidden,
    FormFree,
    NoWrap,
    Opens,
    Rags,
    Subject,
    SuspectFound,
)
from cureclock.core.reminding.compose import alert
from cureclock.core.reminding.corrections import corrections
from cureclock.core.reminding.due import changes, wanted
from cureclock.core.reminding.facts import DoubtFact, Facts, GateFact, RagFact, Shop
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.lathe_answer import lathe_said
from cureclock.core.reminding.lists import AfterOutage, BeforeGo, Item, Line, Morning
from cureclock.core.reminding.wall import Weekly
from cureclock.core.reminding.wants import Said, Wanted
from cureclock.core.reminding.who import Answer, Hand, Says, told_now
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, instant_us, moment_of
from cureclock.core.wording.times import Reader

ZONE = ZoneInfo("Europe/Dublin")
DAYS = {"Wed": 14, "Thu": 15, "Fri": 16, "Sat": 17, "Sun": 18, "Mon": 19, "Tue": 20}
LISTS = {Kind.MORNING, Kind.BEFORE_GO}


def _at(text: str) -> int:
    """An instant of that week of February 2024."""
    day, _, clock = text.partition(" ")
    return instant_us(datetime.fromisoformat(f"2024-02-{DAYS[day]} {clock}").replace(tzinfo=UTC))


HOURS = Weekly.of({str(day): ["08:00", "18:00"] for day in range(6)}).spells(ZONE, _at("Wed 12:00"))
MAKER = Hand("maker", HOURS, True, zone=ZONE, quiet_from=time(21), quiet_until=time(7))
HELPER_1 = Hand("helper 1", HOURS, zone=ZONE)
HELPER_2 = Hand("helper 2", HOURS, zone=ZONE, second=True)
SHOP = Shop("shop", (MAKER, HELPER_1, HELPER_2), HOURS, ZONE)


def _reader(text: str) -> Reader:
    return Reader(_at(text), ZONE)


def _clock(us: int | None) -> str:
    assert us is not None
    return f"{moment_of(us).astimezone(ZONE):%a %H:%M}"


def _gates(subject, gate, tags, *acts, **said):
    """The same gate of pieces, shared out between the first and the last instant."""
    first, last = _at(acts[0]), _at(acts[-1])
    step = (last - first) // max(len(tags) - 1, 1)
    return [
        GateFact(subject, tag, gate, first + place * step, **said) for place, tag in enumerate(tags)
    ]


def _wants(facts: Facts, at: str, said=()) -> list[Wanted]:
    return [one for one in wanted(facts, SHOP, _at(at), said) if one.kind not in LISTS]


STEMS = [f"{n:02d}" for n in range(1, 25)]


def test_a_cold_morning_tells_of_the_night_before_anybody_goes_to_the_lathe():
    """A. The list comes to the bed at 07:40; the suspect keeps everything off the lathe."""
    lists = [one for one in wanted(Facts(), SHOP, _at("Thu 03:00")) if one.kind == Kind.MORNING]
    assert _clock(lists[0].at_us) == "Thu 07:40"
    assert [_clock(to.not_before_us) for to in lists[0].to] == ["Thu 07:40"] * 3
    ring = Subject("g5", "ring loads 1")
    drums = Subject("g11", "drums", ["L-17", "L-18"])
    lines = [
        Line(Item.MOVED, ring, "light", _at("Thu 14:25")),
        Line(Item.SUSPECT, drums, cause="cold"),
    ]
    said = alert(Morning("shop", "4 °C", 3, 1, lines=lines), _reader("Thu 07:40"))
    assert said.title == "Start here – night low 4 °C, 3 waits later, 1 suspect"
    assert said.body.split("\n") == [
        "Bring nothing to the lathe yet.",
        "Hold back – drums L-17, 18: suspect, too cold before it set. Not the lathe.",
        "Wait longer – ring loads 1: no plane, no disc before 14:25",
    ]


def test_the_last_glue_up_of_the_day_is_told_what_the_night_forbids():
    """B. Pressed late in the box: what may come off, what not before when, what to check."""
    stacks = Subject("g8", "stacks", [str(n) for n in range(1, 9)], "box")
    late = ColdAhead(stacks, _at("Wed 19:30"), _at("Wed 16:40"))
    said = alert(late, _reader("Wed 16:50"))
    assert said.title.startswith("Warm it or stop – stacks 1–8")
    assert "last good time was 16:40" in said.body
    off = Opens(stacks, "clamps_off", [Forbidden("heavy", _at("Thu 02:20"))])
    assert "bandsaw before 02:20" in alert(off, _reader("Wed 17:50")).body
    lines = [
        Line(Item.LID, Subject("p", "box")),
        Line(Item.RECOAT_OR_SCUFF, Subject("c", "stems"), "recoat_closes", _at("Thu 03:10")),
        Line(Item.RAGS, Subject("c", "stems")),
    ]
    assert alert(BeforeGo("shop", lines), _reader("Wed 17:45")).body.split("\n") == [
        "Say where the rags are – stems",
        "Recoat now or scuff tomorrow – stems, window shuts 03:10",
        "Shut the lid – box",
    ]


def test_ring_day_counts_open_time_calls_to_scrape_and_rests_the_clamps():
    """C. Open time rings at two minutes; scrape, then clamps off with the disc forbidden."""
    rings = [str(n) for n in range(1, 15)]
    gates = [
        *_gates("g5", "open_time", rings, "Thu 09:10"),
        *_gates("g5", "scrape_opens", rings, "Thu 10:05"),
        *_gates("g5", "clamps_off", rings, "Thu 10:36"),
    ]
    found = _wants(Facts(gates), "Thu 09:02")
    assert [(one.kind, one.gate, _clock(one.at_us)) for one in found] == [
        (Kind.CLOSING, "open_time", "Thu 09:08"),
        (Kind.CLOSED, "open_time", "Thu 09:10"),
        (Kind.OPENS, "scrape_opens", "Thu 10:05"),
        (Kind.OPENS, "clamps_off", "Thu 10:36"),
    ]
    loads = Subject("g5", "rings", rings)
    closing = alert(Closing(loads, "open_time", _at("Thu 09:10")), _reader("Thu 09:08"))
    assert closing.title == "Close it up – 2 min of open time, rings 1–14"
    skinned = alert(Closed(loads, "open_time", _at("Thu 09:10")), _reader("Thu 09:10"))
    assert "Do not force it" in skinned.title
    off = Opens(loads, "clamps_off", [Forbidden("light", _at("Thu 14:25"))])
    said = alert(off, _reader("Thu 10:36"))
    assert said.title == "Take clamps off – rings 1–14"
    assert said.body == "No plane, no disc before 14:25."


def _joint(name: str, sure: str, read: str) -> JointState:
    return JointState(name, _at(sure), True, True, "", False, False, _at(read), 5)


def test_at_the_lathe_the_youngest_joint_rules():
    """D. Not yet, the waste block is to blame, until Friday; then yes, with tap and twist."""
    stem = ("stem", "Wed 08:50")
    block = ("waste block", "Fri 14:07")
    asked = PieceState([_joint(*j, "Thu 09:00") for j in (stem, block)], True, [], False, [])
    big, then, *_ = lathe_said(may_spin(asked, _at("Thu 10:20")), "07", _reader("Thu 10:20"))
    assert big == "Not yet – waste block until Fri 14:07"
    assert then.startswith("Not the lathe")
    asked = PieceState([_joint(*j, "Fri 14:30") for j in (stem, block)], True, [], False, [])
    big, then, *_ = lathe_said(may_spin(asked, _at("Fri 14:30")), "07", _reader("Fri 14:30"))
    assert big.startswith("Spin 07")
    assert "slowest speed first" in then


def test_a_first_coat_calls_to_the_drips_by_day_and_is_silent_at_night():
    """E. Drips and dust ring; recoat opens at 20:57 without a sound and is in the list."""
    gates = [
        *_gates("c1", "drip_check", STEMS, "Fri 11:35"),
        *_gates("c1", "dust_free", STEMS, "Fri 13:45"),
        *_gates("c1", "recoat_opens", STEMS, "Fri 20:57"),
    ]
    found = _wants(Facts(gates), "Fri 11:25")
    assert [(one.gate, one.listed, bool(one.to)) for one in found] == [
        ("drip_check", False, True),
        ("dust_free", False, True),
        ("recoat_opens", True, False),
    ]
    stems = Subject("c1", "stems", STEMS)
    drips = alert(Opens(stems, "drip_check"), _reader("Fri 11:35"))
    assert drips.title == "Look for drips – stems 01–24, the low ends"
    line = Line(Item.OPENS_BY, stems, "recoat_opens", _at("Sat 10:30"))
    assert alert(Morning("shop", lines=[line]), _reader("Sat 07:40")).body == (
        "Recoat – stems 01–24, any time before 10:30, start with the oldest"
    )


def test_a_window_that_shuts_at_three_is_said_at_a_quarter_to_five_and_never_at_three():
    """F. 45 minutes of work and home at 18:00 make 16:45; afterwards it is scuffing."""
    hooks = [str(n) for n in range(1, 13)]
    gates = _gates("c1", "recoat_closes", hooks, "Fri 03:00", hands_us=45 * MINUTE_US)
    closing, closed = _wants(Facts(gates), "Thu 11:00")
    assert _clock(closing.at_us) == "Thu 16:45"
    assert closing.before_home
    assert _clock(closed.at_us) == "Fri 08:00"
    subject = Subject("c1", "hooks", hooks)
    said = Closing(subject, "recoat_closes", _at("Fri 03:00"), closing.start_by_us, True)
    message = alert(said, _reader("Thu 16:45"))
    assert message.title == "Recoat before you go – hooks 1–12 (not after 03:00)"
    assert message.body.startswith("Or scuff tomorrow")
    scuff = alert(Closed(subject, "recoat_closes", _at("Fri 03:00")), _reader("Fri 08:00"))
    assert scuff.title == "Scuff first – hooks 1–12, window shut since 03:00"


def test_oil_is_wiped_off_in_time_and_its_rags_keep_asking():
    """G. Wipe-off rings five minutes before; the rags ring until somebody says where."""
    panels = [str(n) for n in range(1, 7)]
    oil = Facts(
        [
            *_gates("c1", "wipe_off", panels, "Thu 14:20"),
            *_gates("c1", "rewipe", panels, "Thu 14:50"),
        ],
        rags=[RagFact("c1", _at("Thu 14:20"))],
    )
    found = {(one.kind, one.gate): one for one in _wants(oil, "Thu 14:00")}
    assert _clock(found[Kind.CLOSING, "wipe_off"].at_us) == "Thu 14:15"
    assert _clock(found[Kind.OPENS, "rewipe"].at_us) == "Thu 14:50"
    wipe = Closing(Subject("c1", "panels", panels), "wipe_off", _at("Thu 14:20"), cautions=["rags"])
    message = alert(wipe, _reader("Thu 14:15"))
    assert message.title == "Wipe off – panels 1–6, all by 14:20"
    assert (message.urgent, message.cautions) == (True, ("rags",))
    rung, said = [], []
    for _ in range(3):
        (ring,) = [one for one in _wants(oil, "Thu 14:21", said) if one.kind == Kind.RAGS]
        rung.append((_clock(ring.at_us), {to.person for to in ring.to}))
        said.append(Said.of(ring, ring.at_us))
    assert [clock for clock, _ in rung] == ["Thu 14:25", "Thu 14:35", "Thu 14:45"]
    asked = alert(Rags(Subject("c1", "panels", panels), "oil", 2), _reader("Thu 14:45"))
    assert "keeps asking" in asked.body
    answered = Facts(rags=[RagFact("c1", _at("Thu 14:20"), "flat_outside")])
    assert _wants(answered, "Thu 14:46", said) == []


def test_after_a_power_cut_one_message_says_what_passed_and_nothing_bursts():
    """H. Off from 18:40 to 06:50: one summary, a form to leave shut, the gap unmeasured."""
    at = _at("Thu 06:50")
    moments = {"drip_check": "Wed 18:50", "dust_free": "Wed 21:00", "touch": "Thu 00:10"}
    facts = Facts([row for gate, act in moments.items() for row in _gates("c1", gate, ["1"], act)])
    rims = Subject("g10", "rim 3", place="box")
    due = [one for one in _wants(facts, "Wed 18:39") if one.at_us <= at]
    found = sort_out(due, at)
    assert found.alone == ()
    assert [(one.item, one.of.gate) for one in found.summed] == [(Item.OPENS, "touch")]
    lines = [
        Line(Item.OPENS, Subject("c1", "stems", ["1"]), "touch", _at("Thu 00:10")),
        Line(Item.CORRECTION, rims, "clamps_off_stressed", _at("Thu 10:20")),
    ]
    said = alert(AfterOutage("shop", _at("Wed 18:40"), at, lines), _reader("Thu 06:50"))
    assert said.title == "Read what passed – no word from Wed 18:40 to 06:50"
    assert said.body.split("\n") == [
        "In between nothing was measured: enter the lowest. Until then nothing goes on the lathe.",
        "Wait after all – rim 3, box: no freeing of the bend before 10:20",
        "Touch it – stems 1",
    ]


def test_one_helper_takes_it_the_others_are_quiet_and_after_a_quarter_hour_all_hear_it():
    """J. Clamps off rings all three; taken; not done in 15 minutes; lunch holds it."""
    raised = _at("Sat 09:00")

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
    (closing, closed) = _wants(Facts(_gates("g1", "pot_life", ["7"], "Wed 13:12")), "Wed 13:00")
    assert (_clock(closing.at_us), closing.gate) == ("Wed 13:07", "pot_life")
    assert closed.kind == Kind.CLOSED
    fill = Subject("g1", "void fill", ["7"])
    until = Forbidden("sand_glue_line", _at("Tue 09:00"))
    said = alert(Asleep(fill, "11 °C", "15 °C", until), _reader("Thu 07:00"))
    assert said.title == "Warm it – void fill 7: asleep at 11 °C, needs 15 °C"
    assert "no sanding of the glue line before Tue 09:00" in said.body


def test_one_form_one_rim_a_night():
    """Q. Free at 23:19 rings nobody; in the morning: take it out, the next goes in, let it rest."""
    gates = _gates("g4", "clamps_off_stressed", ["rim 4"], "Thu 23:19")
    (free,) = _wants(Facts(gates), "Thu 17:20")
    assert free.listed
    said = alert(
        FormFree(Subject("g4", "rim 4"), "rim 5", [Forbidden("final_surfacing", _at("Mon 08:00"))]),
        _reader("Fri 08:00"),
    )
    assert said.title == "Take rim 4 out – form free for rim 5"
    assert said.body == "No final surfacing before Mon 08:00."


def test_a_monday_after_a_holiday_is_one_list_not_sixty_alerts():
    """R. Windows shut, drums to ask for at the lathe, tapes and holds still on."""
    drums = [f"{n:02d}" for n in range(1, 9)]
    gates = [
        *_gates("c1", "touch", STEMS, "Fri 15:00"),
        *_gates("c1", "recoat_opens", STEMS, "Fri 20:57"),
        *_gates("c1", "recoat_closes", STEMS, "Sat 11:00"),
        *_gates("g7", "light", drums, "Fri 10:00"),
        *_gates("g7", "heavy", drums, "Fri 16:00"),
        *_gates("t1", "tape_off", ["1", "2"], "Sat 09:00"),
        *_gates("h1", "remove_by", ["5"], "Fri 18:00"),
    ]
    away = Shop(
        "shop",
        SHOP.people,
        Weekly.of({"0": ["08:00", "18:00"]}).spells(ZONE, _at("Wed 12:00")),
        ZONE,
    )
    at = _at("Mon 08:00")
    due = [
        one
        for one in wanted(Facts(gates), away, _at("Thu 12:00"))
        if one.kind not in LISTS and one.at_us <= at - 15 * MINUTE_US
    ]
    shut = [one for one in wanted(Facts(gates), away, at) if one.kind == Kind.CLOSED]
    assert {_clock(one.at_us) for one in shut} == {"Mon 08:00"}
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
    gates = [
        *_gates("c1", "recoat_closes", STEMS[:12], "Sat 10:30", over=True, hands_us=58 * MINUTE_US),
        *_gates(
            "c1", "recoat_closes", STEMS[12:], "Sat 10:59", "Sat 11:25", hands_us=58 * MINUTE_US
        ),
    ]
    left, closed = _wants(Facts(gates), "Sat 10:19")
    assert (left.kind, left.tags) == (Kind.COAT_LEFT, tuple(STEMS[12:]))
    assert _at("Sat 10:19") <= left.at_us <= _at("Sat 10:30")
    assert _at("Sat 10:50") <= left.start_by_us <= _at("Sat 10:59")
    assert closed.kind == Kind.CLOSED
    said = alert(
        CoatLeft(Subject("c1", "stems", left.tags), left.start_by_us, left.about_us),
        _reader("Sat 10:30"),
    )
    assert said.title.startswith("Coat the other 12 – stems 13–24, start by 10:5")
    scuff = alert(
        Closed(Subject("c1", "stems", STEMS[12:]), "recoat_closes", _at("Sat 10:59")),
        _reader("Sat 11:30"),
    )
    assert scuff.title == "Scuff first – stems 13–24, window shut since 10:59"


def test_drums_pressed_into_a_falling_night_are_told_of_before_and_after():
    """Cold ahead rings even at night; found suspect it names the cause; then it wants nothing."""
    drums = ["17", "18", "20", "21", "22", "23", "24"]
    ahead = DoubtFact("g11", Kind.COLD, drums, _at("Wed 18:10"), "ahead")
    (ring,) = _wants(Facts(doubts=[ahead]), "Wed 18:10")
    assert {to.person for to in ring.to} == {"maker"}
    assert [_clock(to.not_before_us) for to in ring.to] == ["Wed 18:10"]
    subject = Subject("g11", "drums", drums)
    said = alert(ColdAhead(subject, _at("Wed 19:30"), pressed=True), _reader("Wed 18:10"))
    assert said.title == "Move it to warmth – drums 17, 18, 20–24, too cold to set by 19:30"
    found = alert(SuspectFound(subject, "cold"), _reader("Thu 09:40"))
    assert "Waiting will not clear it" in found.body
    gates = _gates("g11", "light", drums, "Thu 10:00", suspect=True)
    assert _wants(Facts(gates), "Thu 09:40") == []


def test_a_colder_reading_moves_what_is_pending_and_corrects_what_was_said():
    """Said open at 10:00; a late reading makes it 12:00: one correction, then told anew."""
    before = Facts(_gates("g7", "heavy", ["1"], "Thu 10:00"))
    after = Facts(_gates("g7", "heavy", ["1"], "Thu 12:00"))
    pending = _wants(before, "Thu 09:00")
    moved = changes(_wants(after, "Thu 09:30"), pending, _at("Thu 09:30")).move
    assert [_clock(one.at_us) for one in moved] == ["Thu 12:00"]
    said = [Said.of(pending[0], _at("Thu 10:00"))]
    (wrong,) = corrections(said, after, SHOP, _at("Thu 10:30"))
    message = alert(
        Correction(
            Subject("g7", "drum", ["1"]), "heavy", wrong.was_us, wrong.wanted.about_us, "colder"
        ),
        _reader("Thu 10:30"),
    )
    assert message.title == "Wait after all – drum 1: no CNC, thicknesser or bandsaw before 12:00"
    assert message.body.startswith("Said 10:00")
    taken_back = [Said(said[0].key, Kind.OPENS, "heavy", "g7", ["1"], stands=False)]
    (anew,) = _wants(after, "Thu 10:30", taken_back)
    assert (_clock(anew.at_us), anew.part) == ("Thu 12:00", 1)


def test_a_last_coat_is_not_wrapped_before_its_day():
    said = alert(NoWrap(Subject("c2", "stems", STEMS), _at("Tue 17:17")), _reader("Sat 12:30"))
    assert said.title == "Do not wrap before Tue 17:17 – stems 01–24"


@pytest.mark.parametrize("kind", [Kind.CLOSING, Kind.CLOSED])
def test_a_window_in_the_night_never_rings_at_night(kind):
    """F again, for every hour of closing and every length of work."""
    for hour in range(0, 96, 3):
        for hands in (0, 45, 240):
            closes = _at("Thu 11:00") + hour * HOUR_US
            row = GateFact("c1", "1", "recoat_closes", closes, hands_us=hands * MINUTE_US)
            found = [one for one in _wants(Facts([row]), "Thu 11:00") if one.kind == kind]
            assert all("08:00" <= _clock(one.at_us)[4:] <= "18:00" for one in found)
            assert all(one.at_us < _at("Thu 11:00") + 5 * DAY_US for one in found)


def test_every_line_that_was_held_for_the_morning_has_its_words():
    gates = [*_gates("c1", "touch", ["1"], "Thu 20:00"), *_gates("g1", "light", ["1"], "Thu 21:00")]
    held = [one for one in _wants(Facts(gates), "Thu 17:00") if one.listed]
    lines = []
    for one in held:
        item = item_of(one, _at("Fri 07:40"))
        assert item is not None
        lines.append(Line(item, Subject(one.subject, "x", one.tags), one.gate, one.about_us))
    body = alert(Morning("shop", lines=lines), _reader("Fri 07:40")).body
    assert body.split("\n") == ["Touch it – x 1", "Plane or trim – x 1"]
