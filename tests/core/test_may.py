"""May I coat, scuff, hang, wrap, work? The strictest of what is known has the word."""

import math
from dataclasses import FrozenInstanceError

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.answers import ORDER, together
from cureclock.core.clock import NEVER
from cureclock.core.coat.may import (
    Film,
    ZoneState,
    may_coat,
    may_handle,
    may_scuff,
    may_use,
    may_wrap,
)
from cureclock.core.lathe import Answer, Reason, Word
from cureclock.core.refusal import Refused
from cureclock.core.work import GlueLine, HoldOn, may_work

TAPE, FAR_TAPE = HoldOn("tape", True), HoldOn("tape", False)
INSTANTS = st.one_of(st.integers(-(10**15), 10**15), st.just(NEVER))
SAID = st.one_of(st.none(), INSTANTS)
FILMS = st.builds(
    Film,
    wet=st.booleans(),
    suspect=st.sampled_from(["", "cold", "scuff_needed"]),
    handle_us=SAID,
    recoat_us=SAID,
    shut_us=SAID,
    sand_us=SAID,
    wrap_us=SAID,
    cured_us=SAID,
    scuffed=st.booleans(),
)
ZONES = st.builds(
    ZoneState, st.just("stem"), keep_bare=st.booleans(), film=st.one_of(st.none(), FILMS)
)
HOLDS = st.lists(st.builds(HoldOn, st.sampled_from(["tape", "block"]), st.booleans(), INSTANTS))
LINES = st.lists(
    st.builds(
        GlueLine,
        st.sampled_from(["ring", "disc", "block"]),
        INSTANTS,
        st.booleans(),
        st.booleans(),
        st.booleans(),
        st.sampled_from(["", "cold"]),
    ),
    max_size=4,
)
# act -> the question, and the film's instant that opens it
OF_A_FILM = {
    "coat": (lambda zone, at: may_coat(zone, [], at), "recoat_us"),
    "scuff": (may_scuff, "sand_us"),
    "handle": (may_handle, "handle_us"),
    "wrap": (lambda zone, at: may_wrap(zone, [], at), "wrap_us"),
    "use": (may_use, "cured_us"),
}
every_act = pytest.mark.parametrize("act", OF_A_FILM)


def zone(**film: object) -> ZoneState:
    return ZoneState("stem", film=Film(**film))  # type: ignore[arg-type]


@every_act
def test_not_yet_until_the_very_instant_it_opens(act: str) -> None:
    ask, opens = OF_A_FILM[act]
    early, then = ask(zone(**{opens: 100}), 99), ask(zone(**{opens: 100}), 100)
    assert (early.word, early.until_us, early.blame) == (Word.NOT_YET, 100, "stem")
    assert then.word == Word.YES


@every_act
def test_a_wet_film_has_no_time_to_name(act: str) -> None:
    ask, opens = OF_A_FILM[act]
    answer = ask(zone(wet=True, **{opens: 0}), 100)
    assert (answer.word, answer.until_us, answer.reasons[0].key) == (Word.NOT_YET, None, "wet")


@every_act
def test_what_the_label_is_silent_about_is_unknown(act: str) -> None:
    ask, _ = OF_A_FILM[act]
    assert ask(zone(), 100).word == Word.UNKNOWN


@every_act
def test_bare_wood_may(act: str) -> None:
    ask, _ = OF_A_FILM[act]
    assert ask(ZoneState("stem"), 100).word == Word.YES


@pytest.mark.parametrize("act", ["coat", "wrap", "use"])
def test_a_film_in_doubt_is_a_no_that_waiting_does_not_lift(act: str) -> None:
    ask, opens = OF_A_FILM[act]
    answer = ask(zone(suspect="cold", **{opens: 0}), 10**15)
    assert (answer.word, answer.until_us) == (Word.NO, None)


def test_a_shut_window_is_a_no_until_it_is_scuffed() -> None:
    shut = may_coat(zone(recoat_us=10, shut_us=20), [], 20)
    assert (shut.word, shut.reasons[0].key) == (Word.NO, "scuff_first")
    assert may_coat(zone(recoat_us=10, shut_us=20, scuffed=True), [], 20).word == Word.YES


def test_what_forbids_is_named_before_what_is_only_waited_for() -> None:
    told = may_coat(zone(recoat_us=30, shut_us=20), [], 25)
    assert [reason.key for reason in told.reasons] == ["scuff_first", "short"]


def test_joints_and_holds_are_ready_at_the_very_instant() -> None:
    for lines, holds in (([line(opens_us=50)], []), ([], [HoldOn("paper joint", False, 50)])):
        assert may_work(lines, holds, 49).word == Word.NOT_YET
        assert may_work(lines, holds, 50).word == Word.YES


def test_what_is_known_is_a_value_that_nobody_changes() -> None:
    where, known = ZoneState("stem"), Film()
    for value, field in (
        (where, "keep_bare"),
        (known, "scuffed"),
        (line(), "suspect"),
        (TAPE, "what"),
    ):
        with pytest.raises(FrozenInstanceError):
            setattr(value, field, True)


def test_scuffing_hastens_no_film() -> None:
    assert may_coat(zone(recoat_us=30, shut_us=20, scuffed=True), [], 25).word == Word.NOT_YET


def test_what_stays_bare_is_never_coated() -> None:
    answer = may_coat(ZoneState("tenon", keep_bare=True), [], 0)
    assert (answer.word, answer.reasons[0].key, answer.blame) == (Word.NO, "keep_bare", "tenon")


def test_a_hold_on_this_end_forbids_and_one_on_the_other_does_not() -> None:
    for ask in (may_coat, may_wrap):
        assert ask(ZoneState("stem"), [TAPE], 0).blame == "tape"
        assert ask(ZoneState("stem"), [FAR_TAPE], 0).word == Word.YES


def test_where_the_label_names_no_sanding_the_recoat_gate_speaks_for_it() -> None:
    assert may_scuff(zone(recoat_us=50), 49).until_us == 50


def line(name: str = "ring", opens_us: int = 0, **said: object) -> GlueLine:
    usual = {"offered": True, "pressed": True, "clamped": False, "suspect": ""}
    return GlueLine(name=name, opens_us=opens_us, **{**usual, **said})  # type: ignore[arg-type]


def test_a_yes_names_the_joint_that_was_the_slowest() -> None:
    assert may_work([line(opens_us=5), line("block", 9), line("disc", 7)], [], 10).blame == "block"


def test_the_slowest_joint_rules_the_work() -> None:
    answer = may_work([line(opens_us=50), line("waste block", 90)], [], 10)
    assert (answer.word, answer.until_us, answer.blame) == (Word.NOT_YET, 90, "waste block")


@pytest.mark.parametrize(
    ("one", "word", "key"),
    [
        (line(suspect="cold"), Word.NO, "suspect_cold"),
        (line(pressed=False, opens_us=NEVER), Word.NOT_YET, "not_pressed"),
        (line(clamped=True), Word.NOT_YET, "in_clamps"),
        (line(offered=False), Word.UNKNOWN, "label_says_nothing"),
    ],
)
def test_each_thing_that_keeps_work_off(one: GlueLine, word: Word, key: str) -> None:
    answer = may_work([line(), one], [], 100)
    assert (answer.word, answer.until_us, answer.reasons[0].key) == (word, None, key)


def test_a_hold_that_is_needed_has_to_hold_first() -> None:
    answer = may_work([line()], [HoldOn("paper joint", False, 80)], 10)
    assert (answer.word, answer.until_us, answer.blame) == (Word.NOT_YET, 80, "paper joint")


@given(LINES, HOLDS, INSTANTS)
def test_work_is_a_yes_only_where_nothing_at_all_speaks_against_it(
    lines: list[GlueLine], holds: list[HoldOn], at_us: int
) -> None:
    answer = may_work(lines, holds, at_us)
    fit = [one.pressed and one.offered and not one.clamped and not one.suspect for one in lines]
    over = [one.opens_us <= at_us for one in lines]
    off = [not one.in_the_way and one.holds_us <= at_us for one in holds]
    assert (answer.word == Word.YES) == all([*fit, *over, *off])


@given(ZONES, HOLDS, INSTANTS)
def test_a_zone_that_may_be_coated_may_be_coated_for_every_reason(
    where: ZoneState, holds: list[HoldOn], at_us: int
) -> None:
    answer, film = may_coat(where, holds, at_us), where.film
    fit = not where.keep_bare and not any(hold.in_the_way for hold in holds)
    if film is not None:
        dry = not film.wet and film.recoat_us is not None and film.recoat_us <= at_us
        shut = film.shut_us is not None and film.shut_us <= at_us and not film.scuffed
        fit = fit and dry and not shut and not film.suspect
    assert (answer.word == Word.YES) == fit


@given(ZONES, st.one_of(st.floats(), st.integers(-(2**70), 2**70)))
def test_an_instant_that_is_none_is_refused(where: ZoneState, at: float) -> None:
    sound = isinstance(at, int) and abs(at) < 2**63
    for ask, _ in OF_A_FILM.values():
        try:
            answer = ask(where, at)  # type: ignore[operator]
        except Refused:
            assert not sound or abs(at) > 10**15
        else:
            assert math.isfinite(at)
            assert isinstance(answer, Answer)


def test_of_several_answers_the_strictest_is_given_with_every_caution() -> None:
    answers = [
        Answer(Word.YES, None, "drum", (Reason("fit", "drum"),), ("rags",)),
        Answer(Word.NOT_YET, 50, "stem", (Reason("short", "stem", 50),)),
        Answer(Word.NOT_YET, 90, "foot", (Reason("short", "foot", 90),)),
    ]
    whole = together(answers)
    assert (whole.word, whole.until_us, whole.blame) == (Word.NOT_YET, 90, "foot")
    assert [one.name for one in whole.reasons] == ["foot", "drum", "stem"]
    assert "rags" in whole.cautions


def test_no_answers_are_no_answer() -> None:
    with pytest.raises(Refused, match="answers"):
        together([])


@given(st.lists(st.sampled_from(ORDER), min_size=1), st.randoms())
def test_the_order_of_the_answers_decides_no_word(words: list[Word], chance: object) -> None:
    answers = [Answer(word, None, word.value, ()) for word in words]
    turned = list(answers)
    chance.shuffle(turned)  # type: ignore[attr-defined]
    assert together(turned).word == together(answers).word == min(words, key=ORDER.index)


@pytest.mark.parametrize("at_us", [float("nan"), 1e30])
def test_times_of_joints_and_holds_that_no_clock_shows_are_refused(at_us: float) -> None:
    with pytest.raises(Refused, match="not before"):
        line(opens_us=at_us)  # type: ignore[arg-type]
    with pytest.raises(Refused, match="holds from"):
        HoldOn("tape", False, at_us)  # type: ignore[arg-type]
    with pytest.raises(Refused, match="instant of the question"):
        may_work([line()], [], at_us)  # type: ignore[arg-type]
