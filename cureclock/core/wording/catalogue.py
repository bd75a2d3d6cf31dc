"""The catalogue of one language: read from its file, held to its shape, handed to the phone."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import Any

from cureclock.core.refusal import Refused
from cureclock.core.wording.plural import OTHER, PluralRules

ENGLISH = "en"
COUNT = "count"  # the field that chooses a plural form

Message = str | Mapping[str, str]


@dataclass(frozen=True)
class Catalogue:
    """Every message of one language by its key.

    Attributes:
        language: its code, the name of its file.
        plural: which numbers take which form.
        messages: dotted key to a template, or to one template for each plural category.
    """

    language: str
    plural: PluralRules
    messages: Mapping[str, Message]

    def template(self, key: str, count: object = None) -> str | None:
        """The template of a key, in the form that `count` takes; None where there is none."""
        message = self.messages.get(key)
        if message is None or isinstance(message, str):
            return message
        return message[self.plural.category(count)]


def read_catalogue(language: str, text: str) -> Catalogue:
    """Read the catalogue of a language, or refuse it at the first line that is not whole.

    Args:
        language: its code.
        text: the TOML of its file.

    Returns:
        Catalogue.

    Raises:
        Refused: not TOML; a value that is no text; plural forms that are not those of the
            language; a field that is more than a plain name.

    Valid for: any language whose plural forms depend on the whole number alone.

    Source: none of its own.

    >>> read_catalogue("en", 'hello = "Good morning, {name}"').template("hello")
    'Good morning, {name}'
    """
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Refused(f"catalogue {language}", str(error), "TOML") from error
    plural = PluralRules(raw.pop("plural", {}))
    messages = dict(_flat(raw, "", plural))
    for key, message in messages.items():
        for template in [message] if isinstance(message, str) else message.values():
            fields_of(template, f"{language}, {key}")
    return Catalogue(language, plural, messages)


def _flat(
    table: Mapping[str, Any], above: str, plural: PluralRules
) -> Iterator[tuple[str, Message]]:
    """Dotted keys and messages of a table and those below it."""
    for name, value in table.items():
        key = f"{above}{name}"
        if isinstance(value, str):
            yield key, value
        elif not isinstance(value, dict) or not value:
            raise Refused(f"message {key}", value, "text, or a table of messages")
        elif OTHER not in value:
            yield from _flat(value, f"{key}.", plural)
        elif value.keys() != plural.categories or {type(one) for one in value.values()} != {str}:
            raise Refused(f"message {key}", sorted(value), f"{sorted(plural.categories)}, texts")
        else:
            yield key, value


def fields_of(template: str, where: str = "template") -> frozenset[str]:
    """The names of the fields of a template.

    Args:
        template: text with fields in braces.
        where: what to call it when it is refused.

    Returns:
        The names.

    Raises:
        Refused: a brace without its other, or a field that is more than a plain name.

    Source: our choice; plain names can be filled in any language, on the server and the phone.

    >>> sorted(fields_of("{act} – {which}"))
    ['act', 'which']
    """
    try:
        parts = list(Formatter().parse(template))
    except ValueError as error:
        raise Refused(where, template, "braces in pairs") from error
    if "{{" in template or "}}" in template:
        raise Refused(where, template, "no braces but those of fields")
    fields = {name for _, name, _, _ in parts if name is not None}
    for _, name, form, conversion in parts:
        if name is not None and (not name.isidentifier() or form or conversion):
            raise Refused(where, template, "fields that are plain names")
    return frozenset(fields)


@cache
def languages() -> tuple[str, ...]:
    """Codes of the languages that have a file, English first.

    >>> languages()[0]
    'en'
    """
    found = sorted(
        entry.name.removesuffix(".toml")
        for entry in files("cureclock.core.wording").iterdir()
        if entry.name.endswith(".toml")
    )
    return (ENGLISH, *(one for one in found if one != ENGLISH))


@cache
def catalogue(language: str = ENGLISH) -> Catalogue:
    """The shipped catalogue of a language.

    Args:
        language: one of `languages()`.

    Returns:
        Catalogue.

    Raises:
        Refused: a language without a file, or a file that is not whole.

    >>> catalogue().language
    'en'
    """
    if language not in languages():
        raise Refused("language", language, ", ".join(languages()))
    file = files("cureclock.core.wording") / f"{language}.toml"
    return read_catalogue(language, file.read_text("utf-8"))
