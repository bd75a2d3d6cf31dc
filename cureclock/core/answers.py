"""Several answers to one question, taken together."""

from collections.abc import Sequence

from cureclock.core.lathe import Answer, Word
from cureclock.core.refusal import Refused

# From what no waiting clears to what may be done now.
ORDER = (Word.NO, Word.NOT_YET, Word.UNKNOWN, Word.UNSURE, Word.YES)


def together(answers: Sequence[Answer]) -> Answer:
    """The one answer where everything asked for must be allowed.

    Args:
        answers: one for each joint, zone or hold that has a say, at least one.

    Returns:
        The strictest of them: a no before a not yet, of two not yets the later, one without a
        time last of all. Its reasons come first, then those of the others; every caution is
        kept, each once.

    Raises:
        Refused: where there is none.

    Valid for:
        Answers to the same question at the same instant.
    Source:
        Our rules.

    Example:
        >>> no = Answer(Word.NO, None, "tape", ())
        >>> yes = Answer(Word.YES, None, "drum", (), ("rags",))
        >>> both = together([yes, no])
        >>> both.word.value, both.blame, both.cautions
        ('no', 'tape', ('rags', 'lathe'))
    """
    if not answers:
        raise Refused("answers", 0, "one or more")
    strictest = min(answers, key=_rank)
    rest = [one for one in answers if one is not strictest]
    reasons = (*strictest.reasons, *(reason for one in rest for reason in one.reasons))
    cautions = tuple(dict.fromkeys(caution for one in answers for caution in one.cautions))
    return Answer(
        strictest.word, strictest.until_us, strictest.blame, tuple(dict.fromkeys(reasons)), cautions
    )


def _rank(answer: Answer) -> tuple[int, float]:
    until = float("-inf") if answer.until_us is None else -float(answer.until_us)
    return ORDER.index(answer.word), until
