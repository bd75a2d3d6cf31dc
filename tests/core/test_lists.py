"""Several things in one message, in the order that matters."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.reminding.alerts import Subject
from cureclock.core.reminding.compose import alert
from cureclock.core.reminding.lists import (
    MOST_LINES,
    AfterOutage,
    BeforeGo,
    Item,
    Line,
    Morning,
    line,
)
from cureclock.core.units import DAY_US, HOUR_US
from tests.core.said_samples import AT_US, DAYS_US, NIGHT_US, READER, SOON_US, STEMS

BOX = Subject("p2", "warm box")
RAGS = Line(Item.RAGS, STEMS)
RECOAT = Line(Item.RECOAT_OR_SCUFF, STEMS, "recoat_closes", NIGHT_US)
LID = Line(Item.LID, BOX)


def test_rags_come_first_whatever_the_order_and_bring_their_caution():
    said = alert(BeforeGo("shop", [LID, RECOAT, RAGS]), READER)
    lines = said.body.split("\n")
    assert said.title == "Check 3 things before you go"
    assert [text.split(" – ")[0] for text in lines] == [
        "Say where the rags are",
        "Recoat now or scuff tomorrow",
        "Shut the lid",
    ]
    assert said.cautions == ("rags",)
    assert alert(BeforeGo("shop", [LID]), READER).cautions == ()


def test_a_morning_says_how_cold_what_is_later_what_is_suspect_and_keeps_off_the_lathe():
    said = alert(Morning("shop", "4 °C", 3, 1, lathe_out=True), READER)
    assert said.title == "Start here – night low 4 °C, 3 waits later, 1 suspect"
    assert said.body == "Bring nothing to the lathe yet."
    assert said.cautions == ("lathe",)


def test_a_suspect_keeps_off_the_lathe_by_itself():
    assert alert(Morning("shop", suspects=1), READER).body.startswith("Bring nothing to the lathe")


def test_a_good_night_says_what_may_be_done():
    opens = Line(Item.OPENS_BY, STEMS, "recoat_opens", SOON_US)
    said = alert(Morning("shop", lines=[opens]), READER)
    assert said.title == "Start here – what the night left"
    assert said.body == (
        "Recoat – stems L-01–24, shed, any time before 11:00, start with the oldest"
    )


def test_an_outage_is_told_with_both_its_ends_and_the_gap_unmeasured():
    said = alert(AfterOutage("shop", AT_US - 16 * HOUR_US, AT_US, [RECOAT]), READER)
    assert said.title == "Read what passed – no word from Wed 18:20 to 10:20"
    assert said.body.split("\n")[0].startswith("In between nothing was measured: enter the lowest.")


@pytest.mark.parametrize(
    ("item", "gate", "at_us", "words"),
    [
        (
            Item.MOVED,
            "spin",
            DAYS_US,
            "Wait longer – stems L-01–24, shed: not the lathe before Fri",
        ),
        (Item.MOVED, "spin", None, "Wait longer – stems L-01–24, shed: not the lathe yet"),
        (Item.CORRECTION, "heavy", SOON_US, "no CNC, thicknesser or bandsaw before 11:00"),
        (Item.SCUFF, "recoat_closes", AT_US, "Scuff first – stems L-01–24, shed, window shut"),
        (Item.CLOSED, "tape_off", AT_US, "Score the edge, then pull the tape"),
        (Item.HOLD, "remove_by", AT_US, "Take the hold off – stems L-01–24, shed, still on"),
        (Item.UNSURE, "", None, "Enter the temperature – shed, no word yet"),
        (Item.UNSURE, "", AT_US - HOUR_US, "Enter the temperature – shed, no word since 09:20"),
        (Item.ASK_LATHE, "spin", AT_US, "Ask at the lathe – stems L-01–24, shed, piece by piece"),
    ],
)
def test_a_line_says_the_act_and_its_time(item, gate, at_us, words):
    assert words in line(Line(item, STEMS, gate, at_us), READER)


@pytest.mark.parametrize(
    ("item", "gate", "at_us"),
    [
        (Item.MOVED, "rewipe", AT_US),
        (Item.SCUFF, "recoat_opens", AT_US),
        (Item.OPENS, "", AT_US),
        (Item.CLOSING, "tape_off", None),
        (Item.CLOSED, "tape_off", None),
        (Item.COLD, "", None),
    ],
)
def test_a_line_that_cannot_be_said_is_refused(item, gate, at_us):
    with pytest.raises(Refused, match="of a line"):
        Line(item, STEMS, gate, at_us)


ITEMS = st.sampled_from([Item.RAGS, Item.LID, Item.HOLD, Item.FORM, Item.ASK_LATHE, Item.ASLEEP])
LINES = st.lists(st.builds(Line, ITEMS, st.just(STEMS), at_us=st.integers(0, DAY_US)), max_size=30)


@given(LINES, st.randoms())
def test_no_list_is_endless_and_none_hides_how_much_it_leaves_out(lines, random):
    said = alert(BeforeGo("shop", lines), READER)
    texts = said.body.split("\n") if said.body else []
    assert len(texts) <= MOST_LINES + 1
    if len(lines) > MOST_LINES:
        assert texts[-1] == f"And {len(lines) - MOST_LINES} more in the app."
    shuffled = list(lines)
    random.shuffle(shuffled)
    assert alert(BeforeGo("shop", shuffled), READER) == said


@given(LINES)
def test_rags_are_never_left_out(lines):
    said = alert(BeforeGo("shop", [*lines, RAGS]), READER)
    assert said.body.startswith("Say where the rags are")


def test_as_many_lines_as_there_is_room_for_leave_nothing_to_count():
    lines = [Line(Item.LID, Subject(f"p{n}", f"box {n}")) for n in range(MOST_LINES + 1)]
    assert "more in the app" not in alert(BeforeGo("shop", lines[:-1]), READER).body
    assert alert(BeforeGo("shop", lines), READER).body.endswith("And 1 more in the app.")
