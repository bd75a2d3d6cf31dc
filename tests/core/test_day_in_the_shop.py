"""Days in a shop, told from facts to words: the act, the blame and the moment."""

from cureclock.core.lathe import JointState, PieceState, may_spin
from cureclock.core.reminding.alerts import (
    Closed,
    Closing,
    ColdAhead,
    Forbidden,
    Opens,
    Rags,
    Subject,
)
from cureclock.core.reminding.compose import alert
from cureclock.core.reminding.due import wanted
from cureclock.core.reminding.facts import Facts, RagFact
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.lathe_answer import lathe_said
from cureclock.core.reminding.lists import BeforeGo, Item, Line, Morning
from cureclock.core.reminding.wants import Said
from cureclock.core.units import MINUTE_US
from tests.core.invented_shop import SHOP, STEMS, clock, gates, reader, wants, when


def test_a_cold_morning_tells_of_the_night_before_anybody_goes_to_the_lathe():
    """A. The list comes to the bed at 07:40; the suspect keeps everything off the lathe."""
    lists = [one for one in wanted(Facts(), SHOP, when("Thu 03:00")) if one.kind == Kind.MORNING]
    assert clock(lists[0].at_us) == "Thu 07:40"
    assert [clock(to.not_before_us) for to in lists[0].to] == ["Thu 07:40"] * 3
    ring = Subject("g5", "ring loads 1")
    drums = Subject("g11", "drums", ["L-17", "L-18"])
    lines = [
        Line(Item.MOVED, ring, "light", when("Thu 14:25")),
        Line(Item.SUSPECT, drums, cause="cold"),
    ]
    said = alert(Morning("shop", "4 °C", 3, 1, lines=lines), reader("Thu 07:40"))
    assert said.title == "Start here – night low 4 °C, 3 waits later, 1 suspect"
    assert said.body.split("\n") == [
        "Bring nothing to the lathe yet.",
        "Hold back – drums L-17, 18: suspect, too cold before it set. Not the lathe.",
        "Wait longer – ring loads 1: no plane, no disc before 14:25",
    ]


def test_the_last_glue_up_of_the_day_is_told_what_the_night_forbids():
    """B. Pressed late in the box: what may come off, what not before when, what to check."""
    stacks = Subject("g8", "stacks", [str(n) for n in range(1, 9)], "box")
    late = ColdAhead(stacks, when("Wed 19:30"), when("Wed 16:40"))
    said = alert(late, reader("Wed 16:50"))
    assert said.title.startswith("Warm it or stop – stacks 1–8")
    assert "last good time was 16:40" in said.body
    off = Opens(stacks, "clamps_off", [Forbidden("heavy", when("Thu 02:20"))])
    assert "bandsaw before 02:20" in alert(off, reader("Wed 17:50")).body
    lines = [
        Line(Item.LID, Subject("p", "box")),
        Line(Item.RECOAT_OR_SCUFF, Subject("c", "stems"), "recoat_closes", when("Thu 03:10")),
        Line(Item.RAGS, Subject("c", "stems")),
    ]
    assert alert(BeforeGo("shop", lines), reader("Wed 17:45")).body.split("\n") == [
        "Say where the rags are – stems",
        "Recoat now or scuff tomorrow – stems, window shuts 03:10",
        "Shut the lid – box",
    ]


def test_ring_day_counts_open_time_calls_to_scrape_and_rests_the_clamps():
    """C. Open time rings at two minutes; scrape, then clamps off with the disc forbidden."""
    rings = [str(n) for n in range(1, 15)]
    rows = [
        *gates("g5", "open_time", rings, "Thu 09:10"),
        *gates("g5", "scrape_opens", rings, "Thu 10:05"),
        *gates("g5", "clamps_off", rings, "Thu 10:36"),
    ]
    found = wants(Facts(rows), "Thu 09:02")
    assert [(one.kind, one.gate, clock(one.at_us)) for one in found] == [
        (Kind.CLOSING, "open_time", "Thu 09:08"),
        (Kind.CLOSED, "open_time", "Thu 09:10"),
        (Kind.OPENS, "scrape_opens", "Thu 10:05"),
        (Kind.OPENS, "clamps_off", "Thu 10:36"),
    ]
    loads = Subject("g5", "rings", rings)
    closing = alert(Closing(loads, "open_time", when("Thu 09:10")), reader("Thu 09:08"))
    assert closing.title == "Close it up – 2 min of open time, rings 1–14"
    skinned = alert(Closed(loads, "open_time", when("Thu 09:10")), reader("Thu 09:10"))
    assert "Do not force it" in skinned.title
    off = Opens(loads, "clamps_off", [Forbidden("light", when("Thu 14:25"))])
    said = alert(off, reader("Thu 10:36"))
    assert said.title == "Take clamps off – rings 1–14"
    assert said.body == "No plane, no disc before 14:25."


def _joint(name: str, sure: str, read: str) -> JointState:
    return JointState(name, when(sure), True, True, "", False, False, when(read), 5)


def test_at_the_lathe_the_youngest_joint_rules():
    """D. Not yet, the waste block is to blame, until Friday; then yes, with tap and twist."""
    stem = ("stem", "Wed 08:50")
    block = ("waste block", "Fri 14:07")
    asked = PieceState([_joint(*j, "Thu 09:00") for j in (stem, block)], True, [], False, [])
    big, then, *_ = lathe_said(may_spin(asked, when("Thu 10:20")), "07", reader("Thu 10:20"))
    assert big == "Not yet – waste block until Fri 14:07"
    assert then.startswith("Not the lathe")
    asked = PieceState([_joint(*j, "Fri 14:30") for j in (stem, block)], True, [], False, [])
    big, then, *_ = lathe_said(may_spin(asked, when("Fri 14:30")), "07", reader("Fri 14:30"))
    assert big.startswith("Spin 07")
    assert "slowest speed first" in then


def test_a_first_coat_calls_to_the_drips_by_day_and_is_silent_at_night():
    """E. Drips and dust ring; recoat opens at 20:57 without a sound and is in the list."""
    rows = [
        *gates("c1", "drip_check", STEMS, "Fri 11:35"),
        *gates("c1", "dust_free", STEMS, "Fri 13:45"),
        *gates("c1", "recoat_opens", STEMS, "Fri 20:57"),
    ]
    found = wants(Facts(rows), "Fri 11:25")
    assert [(one.gate, one.listed, bool(one.to)) for one in found] == [
        ("drip_check", False, True),
        ("dust_free", False, True),
        ("recoat_opens", True, False),
    ]
    stems = Subject("c1", "stems", STEMS)
    drips = alert(Opens(stems, "drip_check"), reader("Fri 11:35"))
    assert drips.title == "Look for drips – stems 01–24, the low ends"
    line = Line(Item.OPENS_BY, stems, "recoat_opens", when("Sat 10:30"))
    assert alert(Morning("shop", lines=[line]), reader("Sat 07:40")).body == (
        "Recoat – stems 01–24, any time before 10:30, start with the oldest"
    )


def test_a_window_that_shuts_at_three_is_said_at_a_quarter_to_five_and_never_at_three():
    """F. 45 minutes of work and home at 18:00 make 16:45; afterwards it is scuffing."""
    hooks = [str(n) for n in range(1, 13)]
    rows = gates("c1", "recoat_closes", hooks, "Fri 03:00", hands_us=45 * MINUTE_US)
    closing, closed = wants(Facts(rows), "Thu 11:00")
    assert clock(closing.at_us) == "Thu 16:45"
    assert closing.before_home
    assert clock(closed.at_us) == "Fri 08:00"
    subject = Subject("c1", "hooks", hooks)
    said = Closing(subject, "recoat_closes", when("Fri 03:00"), closing.start_by_us, True)
    message = alert(said, reader("Thu 16:45"))
    assert message.title == "Recoat before you go – hooks 1–12 (not after 03:00)"
    assert message.body.startswith("Or scuff tomorrow")
    scuff = alert(Closed(subject, "recoat_closes", when("Fri 03:00")), reader("Fri 08:00"))
    assert scuff.title == "Scuff first – hooks 1–12, window shut since 03:00"


def test_oil_is_wiped_off_in_time_and_its_rags_keep_asking():
    """G. Wipe-off rings five minutes before; the rags ring until somebody says where."""
    panels = [str(n) for n in range(1, 7)]
    oil = Facts(
        [
            *gates("c1", "wipe_off", panels, "Thu 14:20"),
            *gates("c1", "rewipe", panels, "Thu 14:50"),
        ],
        rags=[RagFact("c1", when("Thu 14:20"))],
    )
    found = {(one.kind, one.gate): one for one in wants(oil, "Thu 14:00")}
    assert clock(found[Kind.CLOSING, "wipe_off"].at_us) == "Thu 14:15"
    assert clock(found[Kind.OPENS, "rewipe"].at_us) == "Thu 14:50"
    wipe = Closing(
        Subject("c1", "panels", panels), "wipe_off", when("Thu 14:20"), cautions=["rags"]
    )
    message = alert(wipe, reader("Thu 14:15"))
    assert message.title == "Wipe off – panels 1–6, all by 14:20"
    assert (message.urgent, message.cautions) == (True, ("rags",))
    rung, said = [], []
    for _ in range(3):
        (ring,) = [one for one in wants(oil, "Thu 14:21", said) if one.kind == Kind.RAGS]
        rung.append((clock(ring.at_us), {to.person for to in ring.to}))
        said.append(Said.of(ring, ring.at_us))
    assert [clock for clock, _ in rung] == ["Thu 14:25", "Thu 14:35", "Thu 14:45"]
    asked = alert(Rags(Subject("c1", "panels", panels), "oil", 2), reader("Thu 14:45"))
    assert "keeps asking" in asked.body
    answered = Facts(rags=[RagFact("c1", when("Thu 14:20"), "flat_outside")])
    assert wants(answered, "Thu 14:46", said) == []
