"""May this zone be coated, scuffed, touched, wrapped? Its topmost film decides."""

from collections.abc import Sequence
from dataclasses import dataclass

from cureclock.core.clock import NEVER
from cureclock.core.lathe import Answer, Reason, Word
from cureclock.core.units import whole_us
from cureclock.core.work import HoldOn


@dataclass(frozen=True)
class Film:
    """The topmost coat on a zone. An instant is None where the label says nothing of it.

    Attributes:
        wet: it is still going on.
        suspect: cause of suspicion, empty if none.
        handle_us, recoat_us, shut_us, sand_us, wrap_us, cured_us: when it may be handled [us],
            coated, no longer be coated, sanded, wrapped, used; NEVER if out of reach.
        scuffed: its surface is keyed, so that it may be coated though its window is shut.
    """

    wet: bool = False
    suspect: str = ""
    handle_us: int | None = None
    recoat_us: int | None = None
    shut_us: int | None = None
    sand_us: int | None = None
    wrap_us: int | None = None
    cured_us: int | None = None
    scuffed: bool = False

    def __post_init__(self) -> None:
        for name in ("handle_us", "recoat_us", "shut_us", "sand_us", "wrap_us", "cured_us"):
            if getattr(self, name) is not None:
                whole_us(name, getattr(self, name))


@dataclass(frozen=True)
class ZoneState:
    """A zone: its name, whether it stays bare, and the film on it, None while it is bare."""

    name: str
    keep_bare: bool = False
    film: Film | None = None


def may_coat(
    zone: ZoneState, holds: Sequence[HoldOn], at_us: int, cautions: tuple[str, ...] = ()
) -> Answer:
    """Whether a zone may be coated at an instant.

    Args:
        zone: the zone.
        holds: holds that are on its piece; of one that holds another end `in_the_way` is False.
        at_us: the instant of the question [us].
        cautions: keys of what is said with the answer.

    Returns:
        Answer. No on a zone that is to stay bare, under a hold, on a film in doubt, and past the
        recoat window until it was scuffed; not yet on a film that is wet or too fresh.

    Raises:
        Refused: an instant that is none.

    Valid for:
        One zone; whether the air is fit is asked elsewhere.
    Source:
        Our rules; the figures are those of the gates, the window that of the label.

    Example:
        >>> zone = ZoneState("stem", film=Film(recoat_us=10, shut_us=20))
        >>> [may_coat(zone, [], at).word.value for at in (5, 15, 20)]
        ['not_yet', 'yes', 'no']
        >>> may_coat(ZoneState("tenon", keep_bare=True), [], 0).reasons[0].key
        'keep_bare'
    """
    whole_us("instant of the question", at_us)
    found = [(Word.NO, Reason("keep_bare", zone.name))] if zone.keep_bare else []
    found += [(Word.NO, Reason("hold_on", hold.what)) for hold in holds if hold.in_the_way]
    film = zone.film
    if film is not None:
        found += _doubt(zone.name, film)
        found += _short(zone.name, film, film.recoat_us, at_us)
        if film.shut_us is not None and film.shut_us <= at_us and not film.scuffed:
            found.append((Word.NO, Reason("scuff_first", zone.name, film.shut_us)))
    return _answer(zone.name, sorted(found, key=lambda one: one[0] != Word.NO), cautions)


def may_scuff(zone: ZoneState, at_us: int, cautions: tuple[str, ...] = ("dust",)) -> Answer:
    """Whether the film on a zone may be scuffed or sanded at an instant.

    Args:
        zone: the zone.
        at_us: the instant of the question [us].
        cautions: keys of what is said with the answer.

    Returns:
        Answer. Not yet until the film can be sanded; where its label says nothing of that, until
        it may be coated again. Bare wood may be sanded.

    Raises:
        Refused: an instant that is none.

    Valid for:
        One zone; nothing wet may hang near by.
    Source:
        Our rules; common practice, no source, where the label is silent.

    Example:
        >>> may_scuff(ZoneState("stem", film=Film(recoat_us=10)), 5).until_us
        10
    """
    whole_us("instant of the question", at_us)
    film = zone.film
    if film is None:
        return _answer(zone.name, [], cautions)
    opens = film.recoat_us if film.sand_us is None else film.sand_us
    return _answer(zone.name, _short(zone.name, film, opens, at_us), cautions)


def may_handle(zone: ZoneState, at_us: int, cautions: tuple[str, ...] = ()) -> Answer:
    """Whether a piece may be held, hung or turned over by a zone at an instant.

    Args:
        zone: the zone that is touched.
        at_us: the instant of the question [us].
        cautions: keys of what is said with the answer.

    Returns:
        Answer. Not yet until the film on it may be handled; dry to the touch is not enough.

    Raises:
        Refused: an instant that is none.

    Valid for:
        One zone. Bare wood may be handled.
    Source:
        Our rules.

    Example:
        >>> may_handle(ZoneState("stem", film=Film(handle_us=10)), 10).word.value
        'yes'
    """
    whole_us("instant of the question", at_us)
    film = zone.film
    found = [] if film is None else _short(zone.name, film, film.handle_us, at_us)
    return _answer(zone.name, found, cautions)


def may_wrap(
    zone: ZoneState, holds: Sequence[HoldOn], at_us: int, cautions: tuple[str, ...] = ()
) -> Answer:
    """Whether a zone may be stacked, wrapped and sent at an instant.

    Args:
        zone: the zone.
        holds: holds that are on its piece.
        at_us: the instant of the question [us].
        cautions: keys of what is said with the answer.

    Returns:
        Answer. Not yet until the film does not print any more; no on a film in doubt or with a
        hold still on.

    Raises:
        Refused: an instant that is none.

    Valid for:
        One zone.
    Source:
        Our rules.

    Example:
        >>> may_wrap(ZoneState("stem", film=Film(wrap_us=10)), [], 5).until_us
        10
    """
    whole_us("instant of the question", at_us)
    found = [(Word.NO, Reason("hold_on", hold.what)) for hold in holds if hold.in_the_way]
    if zone.film is not None:
        found += _doubt(zone.name, zone.film)
        found += _short(zone.name, zone.film, zone.film.wrap_us, at_us)
    return _answer(zone.name, found, cautions)


def may_use(zone: ZoneState, at_us: int, cautions: tuple[str, ...] = ("food",)) -> Answer:
    """Whether the film on a zone is fully cured at an instant, for food, water, heat and load.

    Args:
        zone: the zone.
        at_us: the instant of the question [us].
        cautions: keys of what is said with the answer.

    Returns:
        Answer. Never a word about food: that is the maker's of the finish to say.

    Raises:
        Refused: an instant that is none.

    Valid for:
        One zone.
    Source:
        Our rules.

    Example:
        >>> may_use(ZoneState("top", film=Film(cured_us=10)), 5).word.value
        'not_yet'
    """
    whole_us("instant of the question", at_us)
    found: list[tuple[Word, Reason]] = []
    if zone.film is not None:
        found += _doubt(zone.name, zone.film)
        found += _short(zone.name, zone.film, zone.film.cured_us, at_us)
    return _answer(zone.name, found, cautions)


def _doubt(name: str, film: Film) -> list[tuple[Word, Reason]]:
    return [(Word.NO, Reason(f"suspect_{film.suspect}", name))] if film.suspect else []


def _short(name: str, film: Film, opens_us: int | None, at_us: int) -> list[tuple[Word, Reason]]:
    """Wet, not open yet, or a label that says nothing of it."""
    if film.wet:
        return [(Word.NOT_YET, Reason("wet", name, NEVER))]
    if opens_us is None:
        return [(Word.UNKNOWN, Reason("label_says_nothing", name))]
    return [(Word.NOT_YET, Reason("short", name, opens_us))] if opens_us > at_us else []


def _answer(name: str, found: Sequence[tuple[Word, Reason]], cautions: tuple[str, ...]) -> Answer:
    if not found:
        return Answer(Word.YES, None, name, (Reason("fit", name),), cautions)
    word, ruling = found[0]
    until = ruling.at_us if word == Word.NOT_YET and ruling.at_us != NEVER else None
    return Answer(word, until, ruling.name, tuple(reason for _, reason in found), cautions)
