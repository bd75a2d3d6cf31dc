"""What gates want said: opened, worth a try, about to close, closed; and pieces for the lathe."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from cureclock.core.groups import split_alerts
from cureclock.core.reminding.facts import GateFact, PieceFact, Shop
from cureclock.core.reminding.kinds import CLOSES, OF_MINUTES, Kind
from cureclock.core.reminding.names import in_order
from cureclock.core.reminding.useful import NOTICE_US, NOTICES_US, LastCall, beside, last_call
from cureclock.core.reminding.wants import Said, Want, Wanted, ring, untold

# Gates for which a try teaches something: the film for the next coat, the witness for machining.
TRIED = frozenset({"recoat_opens", "heavy"})  # our choice
# What of a suspect joint is still told: it has to come out of its clamps all the same.
TOLD_IF_SUSPECT = frozenset({"clamps_off", "clamps_off_stressed", "scrape_opens", "scrape_closes"})

Timed = list[tuple[GateFact, int]]


def of_gates(
    gates: Sequence[GateFact], shop: Shop, said: Sequence[Said], at_us: int
) -> Iterator[Wanted]:
    """Reminders of gates, group by group.

    Args:
        gates: every gate of every piece, in any order.
        shop: who can be told.
        said: what has gone out.
        at_us: now [us].

    Returns:
        Wanted. A gate whose act is over, and spin, want nothing; of a suspect joint only what
        frees its clamps does. Ends of a group more than half an hour apart are told apart.

    Source: common practice, no source.
    """
    told = [
        one
        for one in gates
        if not one.over and one.gate != "spin" and (not one.suspect or one.gate in TOLD_IF_SUSPECT)
    ]
    told.sort(key=lambda one: (one.subject, one.gate, one.tag))
    whole = Counter((one.subject, one.gate) for one in gates)
    for (subject, gate), rows in groupby(told, key=lambda one: (one.subject, one.gate)):
        group = _Group(subject, gate, list(rows), whole[subject, gate], shop, said)
        if gate in CLOSES:
            yield from _closing(group, at_us)
        else:
            yield from _opening(group)
            yield from _try(group)


@dataclass(frozen=True)
class _Group:
    """The same gate of the pieces of one group."""

    subject: str
    gate: str
    rows: Sequence[GateFact]  # of which something is told
    whole: int  # pieces of the group, those already done among them
    shop: Shop
    said: Sequence[Said]

    def untold(self, kind: Kind, rows: Sequence[GateFact]) -> tuple[set[str], int]:
        """Tags of rows nobody was told of, and the part that comes next."""
        tags = [one.tag for one in rows]
        return untold(self.said, Want(kind, self.subject, self.gate, tags))

    def parts(self, kind: Kind) -> Iterator[tuple[int, Timed]]:
        """Rows nobody was told of, in alerts of their own where their ends are far apart."""
        rows = [(one, one.act_us) for one in self.rows if one.act_us is not None]
        tags, part = self.untold(kind, [one for one, _ in rows])
        fresh = [(one, at) for one, at in rows if one.tag in tags]
        if not fresh:
            return
        places = split_alerts([at for _, at in fresh]).part.tolist()
        for place in sorted(set(places)):
            same = [row for row, its in zip(fresh, places, strict=True) if its == place]
            yield part + place, same

    def call(self, rows: Timed, at_us: int) -> LastCall:
        """The last useful moment of some of its pieces, done in the order of their tags.

        They take their share of the hands, and each has to be ended before its own closing.
        """
        closes = min(at for _, at in rows)
        each = max(one.hands_us for one, _ in rows) // self.whole
        hands = each * len(rows)
        by_tag = {one.tag: at for one, at in rows}
        ends = [by_tag[tag] for tag in in_order(by_tag)]
        finish = min(end + (len(ends) - place - 1) * each for place, end in enumerate(ends))
        warn = min((one.warn_us for one, _ in rows if one.warn_us is not None), default=None)
        if self.gate in OF_MINUTES:
            return beside(
                self.gate, closes, at_us=at_us, hands_us=hands, warn_us=warn, finish_us=finish
            )
        window = [one.window_us for one, _ in rows if one.window_us is not None]
        return last_call(
            closes,
            at_us=at_us,
            hours=self.shop.hours,
            hands_us=hands,
            window_us=max(window, default=None),
            warn_us=warn,
            notice_us=NOTICES_US.get(self.gate, NOTICE_US),
            finish_us=finish,
        )


def _opening(group: _Group) -> Iterator[Wanted]:
    """A gate opens when it has opened for the last piece."""
    for part, rows in group.parts(Kind.OPENS):
        at = max(at for _, at in rows)
        tags = [one.tag for one, _ in rows]
        what = Want(Kind.OPENS, group.subject, group.gate, tags, part)
        yield ring(group.shop, what, at, about_us=at)


def _try(group: _Group) -> Iterator[Wanted]:
    """A try makes sense for the last piece, and for none is the gate open yet."""
    rows = [one for one in group.rows if one.check_us is not None and not one.suspect]
    opened = min((one.act_us for one in rows if one.act_us is not None), default=None)
    tags, part = group.untold(Kind.CHECK, rows)
    at = max((one.check_us or 0 for one in rows if one.tag in tags), default=None)
    if group.gate in TRIED and at is not None and (opened is None or at < opened):
        what = Want(Kind.CHECK, group.subject, group.gate, tags, part)
        yield ring(group.shop, what, at, about_us=opened)


def _closing(group: _Group, at_us: int) -> Iterator[Wanted]:
    """A gate closes when it closes for the first piece: told in time, and once it is shut.

    Of a group recoated in part it is told how many are left.
    """
    in_part = group.gate == "recoat_closes" and len(group.rows) < group.whole
    closing = Kind.COAT_LEFT if in_part else Kind.CLOSING
    for kind in (closing, Kind.CLOSED):
        for part, rows in group.parts(kind):
            call = group.call(rows, at_us)
            tell = call.over_us if kind == Kind.CLOSED else call.tell_us
            if tell is None:
                continue
            if kind != Kind.CLOSED and call.fell_us is not None:
                tell = call.fell_us  # nobody is there: the list of the morning says it
            tags = [one.tag for one, _ in rows]
            what = Want(kind, group.subject, group.gate, tags, part)
            found = ring(group.shop, what, tell, about_us=min(at for _, at in rows))
            if kind != Kind.CLOSED:
                found = replace(found, start_by_us=call.start_by_us, before_home=call.before_home)
            yield found


def of_pieces(pieces: Sequence[PieceFact], shop: Shop, said: Sequence[Said]) -> Iterator[Wanted]:
    """Reminders of pieces that may have become fit for the lathe.

    Args:
        pieces: pieces on their way there, in any order.
        shop: who can be told.
        said: what has gone out.

    Returns:
        Wanted: for one piece of a batch alone, sure; for several at once, the call to ask for
        each. A barred piece, and one that was there already,
        want nothing.

    Source: the yes is given piece by piece, our choice.
    """
    free = [one for one in pieces if not (one.barred or one.over) and one.sure_us is not None]
    free.sort(key=lambda one: (one.batch, one.tag))
    for batch, rows in groupby(free, key=lambda one: one.batch):
        group = {one.tag: one.sure_us for one in rows}
        alone, one_part = untold(said, Want(Kind.SURE, batch, "spin", group))
        tags, part = untold(said, Want(Kind.ASK_LATHE, batch, "spin", alone))
        fresh = sorted(tags)
        if not fresh:
            continue
        places = split_alerts([group[tag] or 0 for tag in fresh]).part.tolist()
        for place in sorted(set(places)):
            same = [tag for tag, its in zip(fresh, places, strict=True) if its == place]
            kind = Kind.SURE if len(same) == 1 else Kind.ASK_LATHE
            at = max(group[tag] or 0 for tag in same)
            number = place + (one_part if kind == Kind.SURE else part)
            yield ring(shop, Want(kind, batch, "spin", same, number), at, about_us=at)
