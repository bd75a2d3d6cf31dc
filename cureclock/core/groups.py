"""Group clocks: when each piece of a group was done, both ends of a gate, one alert or more.

Pieces stand in the order of their tags; so do the answers.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.clock import NEVER
from cureclock.core.joint.count import Ints, whole
from cureclock.core.refusal import Refused
from cureclock.core.units import MINUTE_US

Marks = NDArray[np.bool_]

FARTHEST_US = 9_000_000_000_000_000  # a float holds instants to the microsecond up to here: 2255
MOST_PIECES = 10_000
ONE_ALERT_US = 30 * MINUTE_US  # ends farther apart get alerts of their own; our choice


def _instants(quantity: str, value: ArrayLike) -> Ints:
    """Instants as whole microseconds; NEVER passes, a part of a microsecond does not."""
    given = np.asarray(value)
    never = (given == NEVER) if given.dtype.kind == "i" else np.zeros(given.shape, dtype=bool)
    return np.where(
        never, NEVER, whole(quantity, np.where(never, 0, given), -FARTHEST_US, FARTHEST_US)
    )


@dataclass(frozen=True)
class PieceTimes:
    """When each piece of a group was done.

    Attributes:
        at_us: instant of each piece [us], in the order of tags.
        between: True where the instant was shared out between began and ended, False where
            somebody tapped the piece.
    """

    at_us: Ints
    between: Marks

    @property
    def first_us(self) -> int:
        """When the first was done [us]: upper limits count from here."""
        return int(self.at_us.min())

    @property
    def last_us(self) -> int:
        """When the last was done [us]: lower limits count from here."""
        return int(self.at_us.max())

    def tapped(self, which: ArrayLike, at_us: ArrayLike) -> "PieceTimes":
        """The same group with pieces that somebody tapped one by one.

        Args:
            which: places of the tapped pieces in the order of tags [-], 0 for the first.
            at_us: when each was done [us], of the shape of which.

        Returns:
            PieceTimes with those instants, not marked between; the others as they were.

        Raises:
            Refused: naming the argument.

        Valid for:
            Any instant: what happened is accepted, inside began and ended or not.

        Assumes:
            A tap is exact.

        Source:
            Our choice.

        Example:
            >>> share_out(0, 60, 3).tapped([1], [45]).at_us.tolist()
            [0, 45, 60]
        """
        place = whole("tapped piece", which, 0, len(self.at_us) - 1)
        at, between = self.at_us.copy(), self.between.copy()
        at[place], between[place] = whole("tapped at", at_us, -FARTHEST_US, FARTHEST_US), False
        return PieceTimes(at, between)


def share_out(began_us: int, ended_us: int, pieces: int, pauses_us: ArrayLike = ()) -> PieceTimes:
    """When each piece of a group was done, shared evenly between began and ended.

    Args:
        began_us: when the first was begun [us], 1684 to 2255.
        ended_us: when the last was ended [us], not before began.
        pieces: number of pieces n [-], whole, 1 to 10000.
        pauses_us: (from, to) of each pause [us], in any order; they may overlap, and what lies
            outside began and ended does not count.

    Returns:
        PieceTimes: piece i at began + (i - 1)/(n - 1) of the working span, the pauses before it
        put back in; one piece alone at ended.

    Raises:
        Refused: naming the argument.

    Valid for:
        Pieces alike, done one after the other in the order of their tags.

    Assumes:
        Each takes as long as the next. A piece that falls on the edge of a pause was done
        before it; the last was done at ended.

    Source:
        Our choice.

    Example:
        >>> share_out(0, 60, 3).at_us.tolist()
        [0, 30, 60]
        >>> share_out(0, 80, 5, pauses_us=[(20, 60)]).at_us.tolist()
        [0, 10, 20, 70, 80]
    """
    began = whole("began", began_us, -FARTHEST_US, FARTHEST_US)
    ended = whole("ended", ended_us, -FARTHEST_US, FARTHEST_US)
    if ended < began:
        raise Refused("ended", int(ended), f"not before began, {int(began)}")
    count = int(whole("pieces", pieces, 1, MOST_PIECES))
    starts, lengths = _pauses(pauses_us, began, ended)
    step, rest = np.divmod(ended - began - lengths.sum(), max(count - 1, 1))
    place = np.arange(count)
    worked = place * step + place * rest // max(count - 1, 1)
    paused = np.concatenate([np.zeros(1, np.int64), np.cumsum(lengths)])
    before = np.searchsorted(starts - began - paused[:-1], worked, side="left")
    at = began + worked + paused[before]
    at[-1] = ended
    return PieceTimes(at, np.ones(count, dtype=bool))


def _pauses(pauses_us: ArrayLike, began: Ints, ended: Ints) -> tuple[Ints, Ints]:
    """Starts and lengths of the pauses within began and ended, in order, overlaps counted once."""
    given = whole("pauses", pauses_us, -FARTHEST_US, FARTHEST_US)
    if given.size and (given.ndim != 2 or given.shape[1] != 2):
        raise Refused("pauses", given.shape, "pairs of from and to")
    pairs = given.reshape(-1, 2)
    if (pairs[:, 1] < pairs[:, 0]).any():
        raise Refused("pauses", pairs.tolist(), "each ending after it began")
    pairs = np.clip(pairs[np.argsort(pairs[:, 0], kind="stable")], began, ended)
    covered = np.maximum.accumulate(np.concatenate([began[np.newaxis], pairs[:, 1]]))
    starts = np.maximum(pairs[:, 0], covered[:-1])
    return starts, np.maximum(pairs[:, 1] - starts, 0)


@dataclass(frozen=True)
class BothEnds:
    """How a group stands with its gates now.

    Attributes:
        pieces: pieces of the group [-].
        open_now: pieces that may be touched now: opened and not closed [-].
        closed: pieces whose upper limit is past [-].
        all_open_us: when the last opens [us]; NEVER if one does not.
        first_closes_us: when the first of those not closed closes [us]; NEVER if none does.
    """

    pieces: int
    open_now: int
    closed: int
    all_open_us: int
    first_closes_us: int


def both_ends(opens_us: ArrayLike, closes_us: ArrayLike, at_us: int) -> BothEnds:
    """How many of a group may be touched now, when all may, and when the first closes.

    Args:
        opens_us: when each piece opens [us], in the order of tags; NEVER allowed.
        closes_us: when each piece closes [us], of the shape of opens_us or one for all; NEVER
            where there is no upper limit.
        at_us: now [us].

    Returns:
        A BothEnds.

    Raises:
        Refused: naming the argument; also where there is no piece.

    Valid for:
        One gate that opens and one that closes, for pieces of one group.

    Assumes:
        A gate opens and closes at its instant, not after it.

    Source:
        Plain counting.

    Example:
        >>> ends = both_ends([10, 20, 30], [90, 95, 99], at_us=20)
        >>> ends.open_now, ends.all_open_us, ends.first_closes_us
        (2, 30, 90)
    """
    opens = np.atleast_1d(_instants("gate that opens", opens_us))
    closes = np.atleast_1d(_instants("gate that closes", closes_us))
    if opens.ndim != 1 or not opens.size or closes.shape not in {opens.shape, (1,)}:
        raise Refused("pieces", (opens.shape, closes.shape), "one or more, gates for each")
    now = whole("now", at_us, -FARTHEST_US, FARTHEST_US)
    closed = np.broadcast_to(closes <= now, opens.shape)
    return BothEnds(
        pieces=opens.size,
        open_now=int(((opens <= now) & ~closed).sum()),
        closed=int(closed.sum()),
        all_open_us=int(opens.max()),
        first_closes_us=int(np.where(closes <= now, NEVER, closes).min()),
    )


@dataclass(frozen=True)
class Alerts:
    """How a group is split into alerts.

    Attributes:
        part: the alert each piece belongs to [-], 0 for the earliest, in the order of tags.
        first_us: first instant of each alert [us]: when a gate that closes is told.
        last_us: last instant of each alert [us]: when a gate that opens is told.
    """

    part: Ints
    first_us: Ints
    last_us: Ints


def split_alerts(due_us: ArrayLike, together_us: int = ONE_ALERT_US) -> Alerts:
    """One alert for a group, or several where its ends are too far apart.

    Args:
        due_us: when the gate of each piece is due [us], in the order of tags; NEVER allowed.
        together_us: ends at most so far apart share an alert [us], 1000000 to 2592000000000 (1 s to
            30 days); 30 min unless told.

    Returns:
        Alerts. Ends farther apart are cut into equal spans, each no longer than that; pieces
        that are never due share the last.

    Raises:
        Refused: naming the argument; also where there is no piece.

    Valid for:
        Pieces of one group and one gate.

    Assumes:
        Pieces of one span are told together.

    Source:
        Our choice.

    Example:
        >>> minute = 60_000_000
        >>> split_alerts([0, 10 * minute, 30 * minute]).part.tolist()
        [0, 0, 0]
        >>> split_alerts([0, 10 * minute, 31 * minute]).part.tolist()
        [0, 0, 1]
    """
    due = np.atleast_1d(_instants("due", due_us))
    if due.ndim != 1 or not due.size:
        raise Refused("pieces", due.shape, "one or more, one instant for each")
    together = whole("span of one alert", together_us, 1_000_000, 2_592_000_000_000)
    first = due.min()
    since = np.where(due == NEVER, 0, due - np.minimum(first, FARTHEST_US))
    spans = np.maximum(-(-since.max() // together), 1)
    width = np.maximum(-(-since.max() // spans), 1)
    span = np.where(due == NEVER, spans, np.minimum(since // width, spans - 1))
    numbers, part = np.unique(span, return_inverse=True)
    earliest = np.full(numbers.size, NEVER)
    latest = np.full(numbers.size, -FARTHEST_US)
    np.minimum.at(earliest, part, due)
    np.maximum.at(latest, part, due)
    return Alerts(part, earliest, latest)
