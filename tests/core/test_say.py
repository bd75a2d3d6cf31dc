"""Saying a message: filled in, in the right form, and never a crash."""

import warnings

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.wording.catalogue import catalogue
from cureclock.core.wording.say import MissingWords, say


def test_fields_are_filled_in():
    assert say("alert.no_wrap", which="T-1", until="Tue 12:00") == (
        "Do not wrap before Tue 12:00 – T-1"
    )


@pytest.mark.parametrize(("count", "words"), [(1, "1 thing"), (2, "2 things"), (0, "0 things")])
def test_the_form_follows_the_count(count, words):
    assert words in say("list.before_go", count=count)


@pytest.mark.parametrize("language", ["en", "EN", "en-GB", "en_AU"])
def test_a_regional_language_takes_its_own_file(language):
    assert say("lathe.word.not_yet", language) == "Not yet"


@pytest.mark.parametrize(
    ("key", "fields"),
    [("no.such", {}), ("alert.no_wrap", {"which": "T-1"}), ("list.before_go", {})],
)
def test_missing_words_or_fields_are_an_error_in_tests(key, fields):
    with pytest.raises(MissingWords):
        say(key, **fields)


def test_a_language_without_a_file_is_an_error_in_tests():
    with pytest.raises(MissingWords):
        say("lathe.word.no", "xx")


def test_a_language_without_a_file_falls_back_to_english():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", MissingWords)
        assert say("lathe.word.not_yet", "xx") == "Not yet"


def test_what_english_lacks_too_falls_back_to_a_plain_sentence_with_what_is_known():
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", MissingWords)
        assert say("alert.no_wrap", which="T-1") == "Look in the app: no wrap, T-1"
        assert say("no.such_thing") == "Look in the app: such thing"


KEYS = st.one_of(st.text(max_size=30), st.sampled_from(sorted(catalogue("en").messages)))
NAMES = st.sampled_from(["which", "by", "at", "count", "name", "act"])
VALUES = st.one_of(st.text(), st.integers(), st.none(), st.floats())


@given(KEYS, st.text(max_size=6), st.dictionaries(NAMES, VALUES))
def test_whatever_is_asked_for_something_is_said(key, language, fields):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", MissingWords)
        assert say(key, language, **fields)


@given(st.text())
def test_nothing_in_a_name_is_read_as_a_template(name):
    assert say("join.place", which="{place}", place=name) == f"{{place}}, {name}"
