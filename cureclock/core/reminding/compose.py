"""From what an alert is about to the message that says it."""

from functools import singledispatch

from cureclock.core.refusal import Refused
from cureclock.core.reminding import about_doubt, about_gates, lists
from cureclock.core.reminding.alerts import (
    AskLathe,
    Asleep,
    CheckFrom,
    Closed,
    Closing,
    CoatLeft,
    ColdAhead,
    Correction,
    FormFree,
    HangOk,
    Opens,
    Rags,
    Sure,
    SuspectFound,
    Unsure,
)
from cureclock.core.reminding.message import Message
from cureclock.core.wording.times import Reader


@singledispatch
def alert(said: object, reader: Reader) -> Message:  # noqa: ARG001  every class below takes it
    """The message of an alert, for one reader.

    Args:
        said: what it is about: one of the classes of `alerts` and `lists`.
        reader: who reads it: when, in which zone and language.

    Returns:
        Message: first line with verb, which, where and by when; then what is still forbidden.

    Raises:
        Refused: something nothing is said of.

    Valid for: times rounded in the safe direction: what opens up, what closes down.

    Source: our own words.

    >>> from zoneinfo import ZoneInfo
    >>> from cureclock.core.reminding.alerts import Forbidden, Subject
    >>> drums = Subject("g7", "drums", [f"L-0{n}" for n in range(1, 9)], "shed")
    >>> opened = Opens(drums, "clamps_off", [Forbidden("spin", 93 * 3_600_000_000)])
    >>> said = alert(opened, Reader(0, ZoneInfo("UTC")))
    >>> print(said.title, said.body, sep="\\n")
    Take clamps off – drums L-01–08, shed
    Not the lathe before Sun 21:00.
    """
    raise Refused("alert", type(said).__name__, "a class of alerts or lists")


alert.register(Opens, about_gates.opens)
alert.register(Closing, about_gates.closing)
alert.register(Closed, about_gates.closed)
alert.register(CheckFrom, about_gates.check_from)
alert.register(HangOk, about_gates.hang_ok)
alert.register(FormFree, about_gates.form_free)
alert.register(CoatLeft, about_gates.coat_left)
alert.register(SuspectFound, about_doubt.suspect)
alert.register(ColdAhead, about_doubt.cold_ahead)
alert.register(Asleep, about_doubt.asleep)
alert.register(Correction, about_doubt.correction)
alert.register(Unsure, about_doubt.unsure)
alert.register(Sure, about_doubt.sure)
alert.register(AskLathe, about_doubt.ask_lathe)
alert.register(Rags, about_doubt.rags)
alert.register(lists.BeforeGo, lists.before_go)
alert.register(lists.Morning, lists.morning)
alert.register(lists.AfterOutage, lists.after_outage)
