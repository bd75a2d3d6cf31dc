"""The answer at the lathe: each of its nine rules, broken one at a time."""

import pytest

from cureclock.core.lathe import Word
from cureclock.shop.models import Phone, Piece, Reading
from cureclock.waits.lathe import spin_answer
from cureclock.waits.may.answers import may
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def steady_shed(until: str = "Fri 18:00", label: dict | None = None) -> Cast:
    """A shed at a steady 20 degC read every four hours, one joint pressed on Tuesday at noon."""
    cast = Cast.open()
    cast.place()
    cast.material(values=label)
    cast.piece("L-01")
    read_steadily(cast, "Mon 00:00", "Tue 12:00")
    cast.spread("G1", ["L-01"], "Tue 11:55")
    cast.press("G1", "Tue 12:00")
    read_steadily(cast, "Tue 16:00", until)
    cast.do("joints_declared", "Tue 12:10", piece=cast.id("L-01"))
    return cast


def read_steadily(cast: Cast, since: str, until: str, temp_c: float = 20.0) -> None:
    from datetime import timedelta

    at = when(since)
    while at <= when(until):
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=temp_c)
        at += timedelta(hours=4)


def asked(cast: Cast, at: str):
    return spin_answer(Piece.objects.get(tag="L-01"), when(at))


def test_yes_comes_at_sure_and_not_at_the_bare_figure() -> None:
    cast = steady_shed()
    assert asked(cast, "Wed 16:00").word == Word.NOT_YET  # 28 h: past 24, short of 28.8
    assert asked(cast, "Wed 16:00").until_us is not None
    assert asked(cast, "Wed 20:00").word == Word.YES  # 32 h


def test_the_slowest_joint_is_named() -> None:
    cast = steady_shed()
    cast.spread("G2", ["L-01"], "Wed 11:50")
    cast.press("G2", "Wed 12:00")
    answer = asked(cast, "Wed 20:00")
    assert (answer.word, answer.blame) == (Word.NOT_YET, "G2 L-01")


def test_unknown_until_somebody_says_these_are_all_its_joints() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    read_steadily(cast, "Mon 00:00", "Fri 20:00")
    cast.spread(
        "G1",
        ["L-01"],
        "Tue 11:55",
    )
    cast.press("G1", "Tue 12:00", arrived="Fri 20:00")
    assert asked(cast, "Fri 20:00").word == Word.UNKNOWN
    cast.do("joints_declared", "Fri 20:00", piece=cast.id("L-01"))
    assert asked(cast, "Fri 20:00").word == Word.YES


def test_a_declared_piece_without_joints_is_unknown() -> None:
    cast = steady_shed()
    cast.piece("L-02")
    cast.do("joints_declared", "Tue 12:10", piece=cast.id("L-02"))
    assert spin_answer(Piece.objects.get(tag="L-02"), when("Fri 18:00")).word == Word.UNKNOWN


def test_unsure_without_a_reading_within_four_hours() -> None:
    cast = steady_shed()
    assert asked(cast, "Fri 20:00").word == Word.YES  # last reading 16:00
    answer = asked(cast, "Fri 20:01")
    assert answer.word == Word.UNSURE
    assert answer.reasons[0].key == "no_recent_reading"


def test_an_assumed_leg_counts_only_with_three_measured_nights() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    read_steadily(cast, "Mon 00:00", "Mon 08:00")
    cast.spread("G1", ["L-01"], "Mon 07:50")
    cast.press("G1", "Mon 08:00")
    cast.do("joints_declared", "Mon 08:10", piece=cast.id("L-01"))
    read_steadily(cast, "Mon 12:00", "Tue 12:00")
    # 28 of 28.8 label-hours are measured; the rest would be assumed, on a history of one night.
    answer = asked(cast, "Tue 15:59")
    assert answer.word == Word.UNSURE
    assert answer.reasons[0].key == "short_history"
    cast.read("Tue 16:00", 20.0)
    assert asked(cast, "Tue 16:01").word == Word.YES


def test_assumed_legs_count_at_the_coldest_plausible() -> None:
    cast = steady_shed(until="Wed 12:00")
    # 24 h measured by Wed 12:00; 4.8 h are still needed. At 15 degC (20 less 5) and a doubt of
    # 1.15 an assumed hour gives 2 ** -0.5 / 1.15 = 0.615, so sure is 7.8 h away, not 4.8.
    answer = asked(cast, "Wed 14:00")
    assert answer.until_us == pytest.approx(when("Wed 19:48").timestamp() * 1e6, abs=60e6)


def test_an_unread_label_counts_at_the_upper_end_and_says_so() -> None:
    cast = steady_shed(label={})
    # Unread, PVA's 24 h count as 36, with the margin 43.2 h, and doubt below 20 degC none.
    assert asked(cast, "Thu 04:00").word == Word.NOT_YET
    answer = asked(cast, "Thu 08:00")
    assert answer.word == Word.YES
    assert "unread_label" in [reason.key for reason in answer.reasons]


def test_a_flagged_low_reading_counts_until_somebody_rules() -> None:
    cast = steady_shed()
    assert asked(cast, "Wed 20:00").word == Word.YES
    place = cast.id("Shed")
    Reading.objects.filter(place=place, at=when("Wed 00:00")).update(temp_c=-10.0, flag="low")
    answer = asked(cast, "Wed 20:00")
    assert answer.word == Word.NOT_YET
    assert "flagged_low" in [reason.key for reason in answer.reasons]


def test_a_flagged_high_reading_counts_for_nothing() -> None:
    cast = steady_shed(until="Wed 12:00")
    Reading.objects.filter(at=when("Wed 08:00")).update(temp_c=60.0, flag="high")
    assert asked(cast, "Wed 14:00").word == Word.NOT_YET


def test_no_while_a_hold_is_on() -> None:
    cast = steady_shed()
    hold = {
        "hold": cast.id("tape"),
        "piece": cast.id("L-01"),
        "what": "tape",
        "off_before": "lathe",
    }
    cast.do("hold_on", "Wed 12:00", **hold)
    assert asked(cast, "Fri 12:00").word == Word.NO
    assert asked(cast, "Fri 12:00").blame == "tape"
    cast.do("hold_off", "Thu 12:00", hold=cast.id("tape"))
    assert asked(cast, "Fri 12:00").word == Word.YES


def test_a_joint_that_opened_counts_no_more_and_has_a_name_in_the_log() -> None:
    cast = steady_shed()
    cast.spread("G2", ["L-01"], "Wed 11:50")
    cast.press("G2", "Wed 12:00")
    assert asked(cast, "Wed 20:00").word == Word.NOT_YET
    cast.do("joint_opened", "Wed 20:00", glue_up=cast.id("G2"), why="split by hand")
    assert asked(cast, "Wed 20:00").word == Word.YES


def test_what_came_open_is_not_put_to_use_as_if_it_had_never_been_glued() -> None:
    cast = steady_shed()
    cast.piece("plain")
    l01, plain = cast.id("L-01"), cast.id("plain")
    cast.do("joint_opened", "Wed 20:00", glue_up=cast.id("G1"), why="cold")
    answers = may(cast.workshop, [l01, plain], "use", when("Fri 12:00"))
    assert (answers[l01].word, answers[plain].word) == (Word.UNKNOWN, Word.YES)


def test_a_joint_never_pressed_is_not_yet() -> None:
    cast = steady_shed()
    cast.spread("G2", ["L-01"], "Wed 11:50")
    answer = asked(cast, "Fri 12:00")
    assert (answer.word, answer.until_us) == (Word.NOT_YET, None)


def test_a_material_that_offers_no_spin_is_no() -> None:
    cast = steady_shed()
    cast.material("Contact", "contact", values={}, at="Wed 00:00")
    cast.spread("G2", ["L-01"], "Wed 11:50", label="Contact label")
    cast.press("G2", "Wed 12:00")
    assert asked(cast, "Fri 12:00").word == Word.NO


def test_phones_with_unsent_taps_are_named() -> None:
    cast = steady_shed()
    Phone.objects.create(
        workshop=cast.workshop,
        person=cast.helper.person,
        name="Helper's phone",
        token_hash="x",
        paired_at=when("Mon 00:00"),
        unsent=11,
    )
    assert ("phone_unsent", "Helper's phone") in [
        (reason.key, reason.name) for reason in asked(cast, "Wed 20:00").reasons
    ]


def test_a_joint_of_a_part_is_a_joint_of_the_whole() -> None:
    cast = steady_shed()
    cast.piece("L-99", at="Wed 12:00", made_from=(cast.id("L-01"),))
    cast.do("joints_declared", "Wed 12:10", piece=cast.id("L-99"))
    whole = Piece.objects.get(tag="L-99")
    assert spin_answer(whole, when("Wed 16:00")).word == Word.NOT_YET
    assert spin_answer(whole, when("Wed 20:00")).word == Word.YES


def test_every_answer_carries_the_lathe_caution() -> None:
    cast = steady_shed()
    for at in ("Tue 13:00", "Wed 20:00"):
        assert asked(cast, at).cautions == ("lathe",)
