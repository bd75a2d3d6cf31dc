"""Say it: a message in the words of a language, and never nothing."""

import warnings

from cureclock.core.wording.catalogue import (
    COUNT,
    ENGLISH,
    Catalogue,
    catalogue,
    fields_of,
    languages,
)


class MissingWords(UserWarning):
    """A message without words, or words without what they name: a defect, never a crash."""


def say(key: str, /, language: str = ENGLISH, **fields: object) -> str:
    """A message in a language, its fields filled in.

    Args:
        key: dotted key of the message.
        language: code of the language; a regional one such as "en-GB" takes "en".
        fields: what the template names; `count` also chooses the plural form.

    Returns:
        The words. Where the language lacks them, or a field is missing, the English ones; where
        those lack it too, a plain sentence that points to the app. Either is a MissingWords
        warning, which the tests turn into an error.

    Valid for: any key and any fields; nothing in a field is read as a template.

    Source: none of its own.

    >>> say("join.dash", act="Recoat", which="stems 1–24")
    'Recoat – stems 1–24'
    """
    spoken = language.replace("_", "-").split("-")[0].lower()
    if spoken in languages():
        words = _filled(catalogue(spoken), key, fields)
        if words is not None:
            return words
    warnings.warn(f"{language} has no words for {key} with {sorted(fields)}", MissingWords, 2)
    words = _filled(catalogue(ENGLISH), key, fields)
    return _plainly(key, fields) if words is None else words


def _filled(words: Catalogue, key: str, fields: dict[str, object]) -> str | None:
    """The filled template; None where it or one of its fields is missing."""
    template = words.template(key, fields.get(COUNT))
    if template is None or not fields_of(template) <= fields.keys():
        return None
    return template.format_map(fields)


def _plainly(key: str, fields: dict[str, object]) -> str:
    """A sentence that holds for any message: what it was about, and where to look."""
    about = key.rpartition(".")[2].replace("_", " ")
    named = ", ".join(str(value) for value in fields.values())
    return f"Look in the app: {about}, {named}" if named else f"Look in the app: {about}"
