"""Each kind of alert: the act, the blame and the moment, and what is still forbidden."""

import pytest

from cureclock.core.refusal import Refused
from cureclock.core.reminding.alerts import (
    AskLathe,
    Asleep,
    CheckFrom,
    Closed,
    Closing,
    CoatLeft,
    ColdAhead,
    Correction,
    Forbidden,
    FormFree,
    HangOk,
    Opens,
    Rags,
    Subject,
    Sure,
    SuspectFound,
    Unsure,
)
from cureclock.core.reminding.compose import alert
from cureclock.core.reminding.kinds import BARS, CLOSES, HURTS, OPENS, Kind
from cureclock.core.reminding.quiet import breaks_quiet
from cureclock.core.units import HOUR_US, MINUTE_US
from tests.core.said_samples import (
    AT_US,
    DAYS_US,
    LONGEST,
    NIGHT_US,
    PIECE,
    PLAIN,
    READER,
    SOON_US,
    STEMS,
)

DRUMS = Subject("g7", "drums", [f"L-0{n}" for n in range(1, 9)])
SPIN = Forbidden("spin", DAYS_US)


def _said(one):
    return alert(one, READER)


def test_an_opening_says_the_act_and_what_is_still_forbidden():
    said = _said(Opens(DRUMS, "clamps_off", [Forbidden("light", SOON_US), SPIN]))
    assert said.title == "Take clamps off – drums L-01–08"
    assert said.body == "No plane, no disc before 11:00; not the lathe before Fri 14:20."


@pytest.mark.parametrize("gate", sorted(OPENS - {"spin"}))
def test_every_opening_says_what_is_still_forbidden(gate):
    said = _said(Opens(DRUMS, gate, [SPIN]))
    assert said.body == "Not the lathe before Fri 14:20."


def test_an_opening_of_the_lathe_is_a_call_to_ask_never_a_yes():
    said = _said(Opens(DRUMS, "spin"))
    assert said.title.startswith("Ask at the lathe")
    assert "Not a yes for all" in said.body
    assert said.cautions == ("lathe",)


def test_a_recoat_says_when_its_window_shuts():
    assert _said(Opens(STEMS, "recoat_opens", closes_us=NIGHT_US)).title.endswith(
        "window shuts Fri 03:20"
    )


def test_cautions_of_the_act_come_before_those_of_the_material_each_once():
    said = _said(Opens(STEMS, "sand", cautions=["isocyanate", "dust"]))
    assert said.cautions == ("dust", "isocyanate")


def test_times_round_to_the_safe_side():
    opens = _said(Opens(DRUMS, "light", [Forbidden("heavy", SOON_US + 1)]))
    assert "before 11:01" in opens.body
    closes = _said(Closing(STEMS, "wipe_off", SOON_US + MINUTE_US - 1))
    assert closes.title.endswith("all by 11:00")


@pytest.mark.parametrize("gate", sorted(CLOSES))
def test_every_closing_says_until_when_and_every_closed_what_not_to_do(gate):
    closing = _said(Closing(STEMS, gate, SOON_US))
    assert "11:00" in closing.title + closing.body
    closed = _said(Closed(STEMS, gate, AT_US - HOUR_US))
    assert any(word in closed.body for word in ("Do not", "No ", "suspect"))
    assert closing.tag == closed.tag


def test_before_home_the_choice_is_said_too():
    said = _said(Closing(STEMS, "recoat_closes", NIGHT_US, SOON_US, before_home=True))
    assert said.title == "Recoat before you go – stems L-01–24, shed (not after Fri 03:20)"
    assert said.body.startswith("Or scuff tomorrow")


def test_open_time_counts_whole_minutes_left():
    said = _said(Closing(STEMS, "open_time", AT_US + 3 * MINUTE_US - 1))
    assert said.title.startswith("Close it up – 2 min of open time")
    assert said.urgent


@pytest.mark.parametrize(("gate", "tried"), [("recoat_opens", "tacky"), ("heavy", "witness")])
def test_a_try_is_of_the_film_or_of_the_witness_and_is_no_go(gate, tried):
    said = _said(CheckFrom(STEMS, gate, SOON_US))
    assert tried in said.title
    assert said.body.startswith("A try is no go")
    assert "before 11:00" in said.body


def test_suspicion_names_its_cause_and_what_alone_clears_it():
    said = _said(SuspectFound(DRUMS, "cold"))
    assert said.title == "Hold back – drums L-01–08: suspect, too cold before it set"
    assert "Waiting will not clear it" in said.body
    assert "witness" in said.body


@pytest.mark.parametrize(
    ("said", "starts", "names"),
    [
        (ColdAhead(DRUMS, NIGHT_US, SOON_US), "Press by 11:00 or warm it", "Fri 03:20"),
        (
            ColdAhead(DRUMS, NIGHT_US, AT_US - HOUR_US),
            "Warm it or stop",
            "last good time was 09:20",
        ),
        (ColdAhead(DRUMS, NIGHT_US), "Warm it or stop", "No pressing here tonight"),
        (ColdAhead(DRUMS, NIGHT_US, pressed=True), "Move it to warmth", "Do not leave it here"),
    ],
)
def test_a_cold_night_ahead_says_the_latest_good_time_or_warmth(said, starts, names):
    message = _said(said)
    assert message.title.startswith(starts)
    assert names in message.title + message.body
    assert message.urgent


def test_asleep_says_how_cold_and_what_it_needs_and_that_nothing_is_lost():
    said = _said(Asleep(STEMS, "11 °C", "15 °C", Forbidden("sand_glue_line")))
    assert "asleep at 11 °C, needs 15 °C" in said.title
    assert said.body == "Nothing is lost and nothing goes on: no sanding of the glue line yet."


def test_a_correction_says_what_was_said_what_is_true_and_why_and_replaces_the_notice():
    said = _said(Correction(DRUMS, "heavy", AT_US, DAYS_US, "lowest"))
    assert said.title.startswith("Wait after all – drums L-01–08: no CNC")
    assert "before Fri 14:20" in said.title
    assert "Said 10:20" in said.body
    assert "the night was colder than expected" in said.body
    assert said.tag == _said(Opens(DRUMS, "heavy")).tag
    assert not said.urgent


@pytest.mark.parametrize("gate", sorted(HURTS))
def test_a_correction_that_can_hurt_is_urgent_and_names_the_days(gate):
    said = _said(Correction(DRUMS, gate, AT_US, AT_US + HOUR_US, "colder"))
    assert said.urgent
    assert "Said Thu 10:20" in said.body
    assert "before Thu 11:20" in said.title


def test_a_correction_of_the_lathe_carries_its_caution_and_where_no_time_helps_says_yet():
    said = _said(Correction(PIECE, "spin", AT_US, None, "suspect"))
    assert said.title.endswith("not the lathe yet")
    assert said.cautions == ("lathe",)
    assert said.tag == _said(Sure(PIECE, 13, "waste block")).tag


def test_a_window_that_shuts_sooner_says_so():
    said = _said(Correction(STEMS, "recoat_closes", NIGHT_US, SOON_US, "reading"))
    assert said.title == "Recoat sooner – stems L-01–24, shed, not after 11:00"
    assert "Said Fri 03:20" in said.body


def test_without_a_temperature_nothing_goes_on_the_lathe():
    said = _said(Unsure("p1", "shed", AT_US - HOUR_US))
    assert said.title == "Enter the temperature – shed, no word since 09:20"
    assert "nothing goes on the lathe" in said.body
    assert "no word yet" in _said(Unsure("p1", "shed", None)).title


def test_a_yes_for_the_lathe_is_for_one_piece_with_tap_twist_and_slowest_speed():
    said = _said(Sure(PIECE, 13, "waste block"))
    assert said.title == "Spin – blank L-07, shed, all 13 joints past"
    assert said.body.startswith("Tap it, twist it, stand aside, slowest speed first.")
    assert "waste block" in said.body
    assert said.cautions == ("lathe",)


@pytest.mark.parametrize("pieces", [[], ["L-01", "L-02"]])
def test_a_yes_for_the_lathe_in_bulk_is_refused(pieces):
    with pytest.raises(Refused, match="pieces told to spin"):
        Sure(Subject("b", "blanks", pieces), 13, "waste block")


def test_several_pieces_are_called_to_the_lathe_to_be_asked_for():
    said = _said(AskLathe(DRUMS))
    assert said.title == "Ask at the lathe – drums L-01–08, piece by piece"
    assert "Not a yes" in said.body


def test_rags_ask_where_and_say_that_they_keep_asking():
    said = _said(Rags(STEMS, "hardwax oil"))
    assert said.title.startswith("Put the rags safe and say where – hardwax oil")
    assert "keeps asking" in said.body
    assert said.urgent
    assert said.cautions == ("rags",)


def test_a_free_form_says_what_comes_out_and_what_goes_in():
    rim = Subject("g4", "rim 4")
    assert _said(FormFree(rim, "rim 5", [SPIN])).title == "Take rim 4 out – form free for rim 5"
    assert _said(FormFree(rim)).title == "Take rim 4 out – form free"


def test_hanging_names_the_zone():
    said = _said(HangOk(STEMS, "stem", [Forbidden("wrap", DAYS_US)]))
    assert said.title == "Hang by the stem – stems L-01–24, shed, dry to handle"
    assert said.body == "No stacking, no wrapping before Fri 14:20."


def test_wrapping_too_soon_is_forbidden_until_a_named_day():
    was_us, later_us = AT_US - HOUR_US, AT_US + HOUR_US
    known = _said(Correction(STEMS, "wrap", was_us, later_us, "colder"))
    assert known.title.startswith("Do not wrap before Thu 11:20")
    assert "the film prints" in known.body
    nobody_knows = _said(Correction(STEMS, "wrap", was_us, None, "suspect"))
    assert nobody_knows.title.startswith("Do not wrap yet")


def test_a_group_coated_in_part_says_how_many_are_left_and_by_when():
    left = Subject("c1", "stems", [f"L-{n}" for n in range(13, 25)])
    said = _said(CoatLeft(left, SOON_US, NIGHT_US))
    assert said.title == "Coat the other 12 – stems L-13–24, start by 11:00"
    one = _said(CoatLeft(Subject("c1", "stems", ["L-24"]), SOON_US, NIGHT_US))
    assert one.title == "Coat the last one – stems L-24, start by 11:00"


@pytest.mark.parametrize("samples", [PLAIN, LONGEST])
def test_urgent_is_what_breaks_quiet_hours(samples):
    for one in samples:
        assert _said(one).urgent == breaks_quiet(one.kind, getattr(one, "gate", ""))


def test_every_kind_can_be_said():
    assert {one.kind for one in PLAIN} == set(Kind)


def test_what_nothing_is_said_of_is_refused():
    with pytest.raises(Refused, match="alert str"):
        alert("hello", READER)


def test_parts_of_a_group_do_not_replace_one_another():
    first, second = (Subject("g7", "drums", ["L-01"], part=part) for part in (0, 1))
    assert _said(Opens(first, "light")).tag != _said(Opens(second, "light")).tag


@pytest.mark.parametrize(
    ("cls", "gate", "rest"),
    [
        (Opens, "wipe_off", ()),
        (Closing, "touch", (0,)),
        (Closed, "touch", (0,)),
        (CheckFrom, "rewipe", (0,)),
        (Correction, "drip_check", (0, 0, "colder")),
    ],
)
def test_a_gate_of_the_wrong_kind_is_refused(cls, gate, rest):
    with pytest.raises(Refused):
        cls(STEMS, gate, *rest)


def test_gates_that_bar_open():
    assert BARS < OPENS
    assert not OPENS & CLOSES


def test_a_closing_says_when_to_begin_and_where_nobody_reckoned_hands_when_it_shuts():
    said = _said(Closing(STEMS, "recoat_closes", NIGHT_US, SOON_US))
    assert said.title.endswith("start by 11:00")
    assert said.body == "After Fri 03:20 no coat without scuffing."
    assert _said(Closing(STEMS, "recoat_closes", NIGHT_US)).title.endswith("start by Fri 03:20")
    assert _said(Closing(STEMS, "wipe_off", SOON_US)).body == "Not after 11:00."


def test_a_recoat_that_stays_open_says_no_end():
    assert _said(Opens(STEMS, "recoat_opens")).title.endswith("start with the oldest")


def test_the_last_good_moment_itself_is_still_good():
    assert _said(ColdAhead(DRUMS, NIGHT_US, AT_US)).title.startswith("Press by 10:20")
    assert _said(ColdAhead(DRUMS, NIGHT_US, AT_US - 1)).title.startswith("Warm it or stop")


def test_a_doubted_joint_warns_of_the_lathe_and_a_doubted_film_does_not():
    assert _said(SuspectFound(DRUMS, "cold")).cautions == ("lathe",)
    assert _said(SuspectFound(STEMS, "cold", film=True)).cautions == ()


def test_a_yes_names_one_joint_as_one_and_none_is_refused():
    assert _said(Sure(PIECE, 1, "waste block")).title.endswith("its one joint past")
    with pytest.raises(Refused, match="pieces told to spin"):
        Sure(PIECE, 0, "waste block")
