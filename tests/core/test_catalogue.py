"""The catalogue: its shape, its copy for the phone, and every language against English."""

import re

import pytest

from cureclock.core.refusal import Refused
from cureclock.core.wording.catalogue import catalogue, fields_of, languages, read_catalogue
from cureclock.core.wording.say import say

ONE_OTHER = "[plural]\none = { is = [1] }\n"


def _templates(language):
    for key, message in catalogue(language).messages.items():
        for form in [message] if isinstance(message, str) else message.values():
            yield key, form


def test_english_ships():
    assert languages()[0] == "en"
    assert len(catalogue("en").messages) > 200


@pytest.mark.parametrize("language", languages())
def test_every_language_has_the_keys_of_english_and_no_other(language):
    assert catalogue(language).messages.keys() == catalogue("en").messages.keys()


@pytest.mark.parametrize("language", languages())
def test_every_language_names_no_field_that_english_does_not(language):
    english = {}
    for key, template in _templates("en"):
        english.setdefault(key, set()).update(fields_of(template))
    for key, template in _templates(language):
        assert fields_of(template) <= english[key], key


def test_no_template_has_a_field_that_say_itself_takes():
    for key, template in _templates("en"):
        assert "language" not in fields_of(template), key


def test_a_plural_message_names_its_count_so_that_it_can_choose():
    for key, message in catalogue("en").messages.items():
        if not isinstance(message, str):
            assert "count" in fields_of(message["other"]), key


def test_the_phone_can_fill_a_template_by_putting_fields_in_place_of_their_names():
    plain = catalogue("en").messages
    for key, template in _templates("en"):
        fields = {name: f"<{name}>" for name in fields_of(template)}
        filled = template
        for name, value in fields.items():
            filled = filled.replace("{" + name + "}", value)
        assert not re.search(r"[{}]", filled)
        if plain[key] == template:
            assert say(key, **fields) == filled


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("a =", "catalogue xx"),
        ("a = 1", "message a"),
        ("a = ['x']", "message a"),
        ("[a]", "message a"),
        ("[a]\nb = 'x'\n[a.c]\nd = 3", r"message a\.c\.d"),
        ("a = '{'", "xx, a"),
        ("a = '{0}'", "xx, a"),
        ("a = '{}'", "xx, a"),
        ("a = '{b.__class__}'", "xx, a"),
        ("a = '{b[0]}'", "xx, a"),
        ("a = '{b!r}'", "xx, a"),
        ("a = '{b:>9}'", "xx, a"),
        ("a = '{{b}}'", "xx, a"),
        (ONE_OTHER + "[a]\nother = 'x'", "message a"),
        (ONE_OTHER + "[a]\none = 'x'\nother = 'x'\nfew = 'x'", "message a"),
        (ONE_OTHER + "[a]\none = 1\nother = 'x'", "message a"),
        ("[plural]\none = 1", "plural one"),
    ],
)
def test_a_catalogue_that_is_not_whole_is_refused(text, named):
    with pytest.raises(Refused, match=named):
        read_catalogue("xx", text)


def test_a_language_without_a_file_is_refused():
    with pytest.raises(Refused, match="language xx"):
        catalogue("xx")


def test_a_language_may_have_other_plural_forms():
    polish = read_catalogue(
        "pl",
        """
        left = { one = "{count} noga", few = "{count} nogi", other = "{count} nóg" }
        [plural]
        one = { is = [1] }
        few = { last_digit = [2, 3, 4], not_last_two = [12, 13, 14] }
        """,
    )
    words = [polish.template("left", n).format(count=n) for n in (1, 3, 5, 12, 22)]
    assert words == ["1 noga", "3 nogi", "5 nóg", "12 nóg", "22 nogi"]
