"""The lathe answer in words: the big line, what always goes with it, and every reason."""

from cureclock.core.clock import NEVER
from cureclock.core.lathe import Answer, Reason, Word
from cureclock.core.reminding.message import FIRST_LINE, clean
from cureclock.core.wording.times import Day, Reader


def reason_said(reason: Reason, reader: Reader) -> str:
    """One reason in words.

    Args:
        reason: a key and what it names.
        reader: who reads it.

    Returns:
        A sentence. A joint that never gets there, and a place never read, have their own.

    Source: our own words.
    """
    key, at_us = reason.key, None if reason.at_us == NEVER else reason.at_us
    if key == "short" and at_us is None:
        key = "short_ever"
    if key == "no_recent_reading" and at_us is None:
        key = "no_reading_ever"
    at = reader.opens(at_us, Day.NAMED) if key == "short" else reader.closes(at_us)
    return reader.say(f"lathe.reason.{key}", name=clean(reason.name), at=at)


def lathe_said(answer: Answer, piece: str, reader: Reader) -> tuple[str, ...]:
    """The whole answer in words, the big line first.

    Args:
        answer: what the lathe rules found.
        piece: the tag of the piece.
        reader: who reads it.

    Returns:
        The word with what is to blame and until when; the tap and twist, or what is forbidden;
        then a sentence for each reason.

    Source: our own words.
    """
    word = f"{answer.word}"
    if answer.word == Word.NOT_YET and answer.until_us is None:
        word = "not_yet_ever"
    fields = {"piece": clean(piece), "name": clean(answer.blame)}
    at = reader.opens(answer.until_us, Day.NAMED)
    big = clean(reader.say(f"lathe.line.{word}", at=at, **fields), FIRST_LINE - 1)
    yes = answer.word == Word.YES
    then = reader.say("otherwise.spin" if yes else "lathe.line.forbids")
    return (big, then, *(reason_said(reason, reader) for reason in answer.reasons))
