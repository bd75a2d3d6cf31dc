"""Names of pieces in few words, in the order of their tags, and tags that are not confused."""

import re
from collections.abc import Collection, Iterable, Sequence
from itertools import chain, combinations, count, groupby

RUN = 3  # numbers in a row from which a range is written; our choice
DASH = "–"
_NUMBERED = re.compile(r"(.*?)([0-9]{1,9})", re.DOTALL)
# What a character reads as when its tag hangs upside down; one that is not here shows which way
# is up. Underlining 6 and 9 and crossing 7 is common practice, no source.
_TURNED = dict(zip("01689-OSXZHINMW", "01986-OSXZHINWM", strict=True))
_SAME = str.maketrans("OoIil", "00111")  # letters taken for digits


def _parts(tag: str) -> tuple[str, int, str]:
    """What stands before a tag's number, the number, and how it is written."""
    found = _NUMBERED.fullmatch(tag)
    return (tag, -1, "") if found is None else (found[1], int(found[2]), found[2])


def in_order(tags: Iterable[str]) -> list[str]:
    """Tags in the order of their numbers, each once.

    Args:
        tags: any.

    Returns:
        Them: by what stands before the number, then by the number.

    Source: our choice.

    >>> in_order(["L-10", "L-9", "02", "L-9"])
    ['02', 'L-9', 'L-10']
    """
    return sorted(set(tags), key=lambda tag: (*_parts(tag), tag))


def compressed(tags: Iterable[str]) -> str:
    """Tags in few words: ranges for numbers in a row, what stands before them said once.

    Args:
        tags: any.

    Returns:
        As a maker would write them on a slip.

    Valid for: any tags; only numbers written to the same length make a range.

    Source: our choice.

    >>> compressed(["L-17", "L-18", "L-20", "L-21", "L-22", "L-23", "L-24"])
    'L-17, 18, 20–24'
    >>> compressed(["06", "02", "05"])
    '02, 05, 06'
    """
    said: list[str] = []
    for before, same in groupby(in_order(tags), key=lambda tag: _parts(tag)[0]):
        plain: list[str] = []
        numbers: list[str] = []
        for tag in same:
            number = _parts(tag)[2]
            (numbers if number else plain).append(number or tag)
        said += plain
        said += [before * (place == 0) + text for place, text in enumerate(_ranges(numbers))]
    return ", ".join(said)


def _ranges(numbers: Sequence[str]) -> list[str]:
    """Numbers of three or more in a row as ranges, the others as they are."""
    runs: list[list[str]] = []
    for number in numbers:
        if runs and number == f"{int(runs[-1][-1]) + 1:0{len(runs[-1][-1])}d}":
            runs[-1].append(number)
        else:
            runs.append([number])
    said = ([f"{run[0]}{DASH}{run[-1]}"] if len(run) >= RUN else run for run in runs)
    return list(chain.from_iterable(said))


def turned(tag: str) -> str | None:
    """What a tag reads as upside down; None where it shows which way is up.

    Args:
        tag: any.

    Returns:
        The other reading, which may be the tag itself.

    Source: our choice of the signs that can be turned.

    >>> turned("06"), turned("L-06")
    ('90', None)
    """
    if not tag or not set(tag) <= _TURNED.keys():
        return None
    return "".join(_TURNED[sign] for sign in reversed(tag))


def look_alikes(tags: Iterable[str]) -> list[tuple[str, str]]:
    """Pairs of tags that somebody will take for one another.

    Args:
        tags: any.

    Returns:
        Pairs, in order: one reads as the other upside down, or with a letter taken for a digit.

    Source: common practice, no source.

    >>> look_alikes(["66", "L-1", "99", "L-l", "07"])
    [('66', '99'), ('L-1', 'L-l')]
    """
    ordered = in_order(tags)
    alike: dict[str, list[str]] = {}
    for tag in ordered:
        alike.setdefault(tag.translate(_SAME), []).append(tag)
    pairs = chain.from_iterable(combinations(same, 2) for same in alike.values())
    places = {tag: place for place, tag in enumerate(ordered)}
    over = ((tag, turned(tag)) for tag in ordered)
    upside = ((one, two) for one, two in over if two in places and places[one] < places[two])
    return sorted({*pairs, *upside}, key=lambda pair: (places[pair[0]], places[pair[1]]))


def fresh_tags(before: str, pieces: int, taken: Collection[str] = (), width: int = 2) -> list[str]:
    """Numbers for new pieces, none of which is taken for another.

    Args:
        before: what stands before each number.
        pieces: how many, 0 or more.
        taken: tags that are in use.
        width: digits each number has at least.

    Returns:
        Tags with the lowest numbers that are free and have no look-alike in use.

    Source: common practice, no source.

    >>> fresh_tags("", 9, width=1)
    ['1', '2', '3', '4', '5', '6', '7', '8', '10']
    >>> fresh_tags("K-", 2, taken=["K-01"])
    ['K-02', 'K-03']
    """
    used = set(chain.from_iterable(_readings(tag) for tag in taken))
    found: list[str] = []
    numbers = count(1)
    while len(found) < pieces:
        tag = f"{before}{next(numbers):0{width}d}"
        if tag.translate(_SAME) not in used:
            found.append(tag)
            used |= _readings(tag)
    return found


def _readings(tag: str) -> set[str]:
    """How a tag may be read: as it stands and upside down, letters taken for digits."""
    return {tag.translate(_SAME), (turned(tag) or tag).translate(_SAME)}
