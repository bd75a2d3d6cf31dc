"""Which work a temporary bond forbids while it is on."""

from collections.abc import Sequence

# Work in the order in which it comes: what must be off before the one is off for all after it.
CNC, LATHE, FINISH, WRAP = "cnc", "lathe", "finish", "wrap"
STEPS = (CNC, LATHE, FINISH, WRAP)
THAT_END = "finish_of_that_end"  # forbids the finish of the end it holds, and of no other


def blocks(off_before: Sequence[str], step: str) -> bool:
    """Whether a hold that is on forbids a step of the work.

    Args:
        off_before: the steps it has to be off before, as told; none told, or a word that names
            no step, forbids every one.
        step: one of STEPS.

    Returns:
        True where it must be off first.

    Valid for:
        One hold. What is to be off before the finish of one end forbids no other work.
    Source:
        Common practice, no source: what is in the way on the machine is in the way after it.

    Example:
        >>> blocks(["lathe"], "cnc"), blocks(["lathe"], "lathe"), blocks(["lathe"], "finish")
        (False, True, True)
        >>> blocks([], "cnc"), blocks(["finish_of_that_end"], "lathe")
        (True, False)
    """
    if not off_before:
        return True
    return any(_reaches(word, step) for word in off_before)


def _reaches(word: str, step: str) -> bool:
    rank = {THAT_END: STEPS.index(FINISH), **{name: at for at, name in enumerate(STEPS)}}
    return rank.get(word, 0) <= rank.get(step, len(STEPS))


def at_that_end(off_before: Sequence[str]) -> bool:
    """Whether only the end that it holds must be free of it for the finish.

    Args:
        off_before: the steps it has to be off before, as told.

    Returns:
        True where every one of them is the finish of that end.

    Valid for:
        One hold.
    Source:
        Common practice, no source.

    Example:
        >>> at_that_end(["finish_of_that_end"]), at_that_end([])
        (True, False)
    """
    return bool(off_before) and set(off_before) == {THAT_END}
