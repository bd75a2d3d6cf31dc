"""A message: a first line that says what to do, a second that says what is still forbidden."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cureclock.core.refusal import Refused
from cureclock.core.reminding.alerts import Forbidden, Subject
from cureclock.core.reminding.kinds import HURTS, OF_HOLDS, OF_JOINTS
from cureclock.core.reminding.names import compressed, in_order
from cureclock.core.wording.times import Day, Reader

FIRST_LINE = 90  # characters a first line stays under; our choice
NAME = 24  # characters of a name beside the one the line is about; our choice
CUT = "…"


@dataclass(frozen=True)
class Message:
    """What goes to a phone.

    Attributes:
        title: the first line, under 90 characters: verb, which, where, by when.
        body: what is still forbidden, then the rest, a line each.
        tag: notices of one tag replace one another on the phone.
        urgent: it breaks quiet hours.
        cautions: keys of the cautions that go with the act.

    Raises:
        Refused: a first line that is empty, broken or too long.
    """

    title: str
    body: str
    tag: str
    urgent: bool
    cautions: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.title or len(self.title) >= FIRST_LINE or not self.title.isprintable():
            raise Refused("first line", self.title, f"one line under {FIRST_LINE} characters")


def clean(text: str, most: int = NAME) -> str:
    """A name somebody typed, on one line and not too long.

    Args:
        text: what was typed.
        most: characters it may have, 1 or more.

    Returns:
        It without line ends and control signs, cut where it is longer; "?" where nothing is left.

    Source: our choice.

    >>> clean("drums  by\\nthe door", 11)
    'drums by t…'
    """
    printed = "".join(sign if sign.isprintable() else " " for sign in text)
    line = " ".join(printed.split()) or "?"
    return line if len(line) <= most else line[: most - 1].rstrip() + CUT


def named(subject: Subject, reader: Reader, most: int = FIRST_LINE) -> str:
    """The name of a subject in so many characters.

    Args:
        subject: what it is.
        reader: who reads it.
        most: characters it may have, 1 or more.

    Returns:
        The first of these that fits: all of it with its place; without; the number of its pieces
        with the first and the last; a cut one.

    Source: our choice.
    """
    ways = list(_ways(subject, reader))
    fitting = (way for way in ways if len(way) <= most)
    return next(fitting, clean(ways[-1], most))


def _ways(subject: Subject, reader: Reader) -> Iterator[str]:
    """Ways to name a subject, the fullest first."""
    called = clean(subject.called, FIRST_LINE) if subject.called.strip() else ""
    ordered = [clean(tag) for tag in in_order(subject.tags)]
    tags = compressed(ordered)
    full = reader.say("join.pieces", called=called, tags=tags) if called and tags else called + tags
    if subject.place.strip():
        yield reader.say("join.place", which=full, place=clean(subject.place))
    yield full
    if len(ordered) > 1:
        ends = {"first": ordered[0], "last": ordered[-1]}
        many = reader.say("join.many", count=len(ordered), **ends)
        if called:
            yield reader.say("join.pieces", called=called, tags=many)
            yield reader.say("join.pieces", called=clean(called), tags=many)
        yield many
    elif called and tags:
        yield reader.say("join.pieces", called=clean(called), tags=tags)
        yield tags


def first_line(reader: Reader, key: str, subject: Subject, **fields: object) -> str:
    """The first line of a message, its subject named as fully as the line has room for.

    Args:
        reader: who reads it.
        key: key of the line.
        subject: what its field `which` names.
        fields: its other fields.

    Returns:
        A line under 90 characters; what is cut is the name, never the verb or the time.
    """
    frame = reader.say(key, which="", **fields)
    room = FIRST_LINE - 1 - len(frame)
    return clean(
        reader.say(key, which=named(subject, reader, max(room, 1)), **fields), FIRST_LINE - 1
    )


def capital(text: str) -> str:
    """A sentence from its words: the first letter large, the rest as it was."""
    return text[:1].upper() + text[1:]


def otherwise(gate: str, reader: Reader) -> str:
    """The second line where no gate ahead is known: what goes for a joint, a coat, a hold."""
    if gate == "full_cure":
        return reader.say("otherwise.cured")
    if gate in OF_HOLDS:
        return reader.say("otherwise.hold")
    return reader.say("otherwise.joint" if gate in OF_JOINTS else "otherwise.coat")


def bar(one: Forbidden, reader: Reader) -> str:
    """What one gate forbids and until when; a gate that can hurt names the day."""
    bars = reader.say(f"gate.{one.gate}.bars")
    if one.until_us is None or one.until_us <= reader.at_us:
        return reader.say("join.yet", bar=bars)
    day = Day.NAMED if one.gate in HURTS else Day.NEEDED
    return reader.say("join.before", bar=bars, until=reader.opens(one.until_us, day))


def still_forbidden(ahead: Sequence[Forbidden], at_us: int) -> list[Forbidden]:
    """Of the gates that are still shut, those worth a line: the nearest, and the one that hurts.

    Args:
        ahead: gates of one joint or coat that have not opened.
        at_us: now [us]; ordinary gates that open by then are passed over.

    Returns:
        One or two: the next ordinary gate, then the first of spin and service that is shut.

    Source: common practice, no source.

    >>> gates = [Forbidden("heavy", 30), Forbidden("light", 20), Forbidden("spin", 90)]
    >>> [one.gate for one in still_forbidden(gates, at_us=0)]
    ['light', 'spin']
    """
    far = 2**63
    until = {one: far if one.until_us is None else one.until_us for one in ahead}
    shut = [one for one in ahead if one.gate in HURTS or until[one] > at_us]
    plain = sorted((one for one in shut if one.gate not in HURTS), key=until.__getitem__)
    hurting = sorted((one for one in shut if one.gate in HURTS), key=until.__getitem__)
    return plain[:1] + hurting[:1]


def second_line(ahead: Sequence[Forbidden], gate: str, reader: Reader) -> str:
    """What is still forbidden after a gate has opened.

    Args:
        ahead: gates that have not opened.
        gate: the one that has.
        reader: who reads it.

    Returns:
        A sentence; what always goes for its kind where nothing is known to be ahead.
    """
    shut = still_forbidden(ahead, reader.at_us)
    said = [bar(one, reader) for one in shut]
    return capital("; ".join(said)) + "." if said else otherwise(gate, reader)


def tag_of(subject: Subject, about: str) -> str:
    """The tag under which notices about one thing of a subject replace one another."""
    return " ".join([subject.key, about, *([str(subject.part)] if subject.part else [])])
