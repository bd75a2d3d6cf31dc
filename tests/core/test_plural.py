"""Plural categories: English, and rules of other languages written the same way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.wording.catalogue import catalogue
from cureclock.core.wording.plural import PluralRules

# Rules and sample numbers: Unicode CLDR, supplemental/plurals.xml, cardinals (from memory).
FRENCH = PluralRules({"one": {"is": [0, 1]}})
POLISH = PluralRules(
    {"one": {"is": [1]}, "few": {"last_digit": [2, 3, 4], "not_last_two": [12, 13, 14]}}
)
RUSSIAN = PluralRules(
    {
        "one": {"last_digit": [1], "not_last_two": [11]},
        "few": {"last_digit": [2, 3, 4], "not_last_two": [12, 13, 14]},
    }
)
WELSH = PluralRules({name: {"is": [n]} for name, n in [("zero", 0), ("one", 1), ("two", 2)]})


@pytest.mark.parametrize(("count", "category"), [(0, "other"), (1, "one"), (2, "other")])
def test_english_one_is_exactly_1(count, category):
    assert catalogue("en").plural.category(count) == category


@pytest.mark.parametrize("count", [1.0, 1.5, "1", True, None])
def test_what_is_no_whole_number_takes_other(count):
    assert catalogue("en").plural.category(count) == "other"


@pytest.mark.parametrize(
    ("rules", "category", "counts"),
    [
        (FRENCH, "one", [0, 1]),
        (FRENCH, "other", [2, 11, 101]),
        (POLISH, "one", [1]),
        (POLISH, "few", [2, 3, 4, 22, 102]),
        (POLISH, "other", [0, 5, 12, 13, 14, 21, 112]),
        (RUSSIAN, "one", [1, 21, 101]),
        (RUSSIAN, "few", [2, 24, 1002]),
        (RUSSIAN, "other", [0, 11, 12, 14, 19, 111]),
        (WELSH, "two", [2]),
        (WELSH, "zero", [0]),
    ],
)
def test_rules_of_other_languages_can_be_told_in_their_file(rules, category, counts):
    assert {rules.category(count) for count in counts} == {category}


@given(st.integers())
def test_every_number_takes_a_category_the_language_has(count):
    for rules in (FRENCH, POLISH, RUSSIAN, WELSH):
        assert rules.category(count) in rules.categories
        assert rules.category(count) == rules.category(-count)


@pytest.mark.parametrize(
    ("rules", "named"),
    [
        ({"some": {"is": [1]}}, "plural category some"),
        ({"other": {"is": [1]}}, "plural category other"),
        ({"one": {}}, "plural one"),
        ({"one": [1]}, "plural one"),
        ({"one": {"below": [1]}}, "plural condition below"),
        ({"one": {"is": 1}}, "plural one, is"),
        ({"one": {"is": []}}, "plural one, is"),
        ({"one": {"is": [True]}}, "plural one, is"),
        ({"one": {"is": [1.0]}}, "plural one, is"),
    ],
)
def test_a_rule_that_says_nothing_is_refused(rules, named):
    with pytest.raises(Refused, match=named):
        PluralRules(rules)
