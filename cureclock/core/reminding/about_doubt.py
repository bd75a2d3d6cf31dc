"""What is said of doubt and of the lathe: suspect, cold, asleep, corrections, no temperature."""

from cureclock.core.reminding.alerts import (
    AskLathe,
    Asleep,
    ColdAhead,
    Correction,
    Forbidden,
    Rags,
    Sure,
    SuspectFound,
    Unsure,
)
from cureclock.core.reminding.kinds import CLOSES, HURTS
from cureclock.core.reminding.message import Message, bar, capital, clean, first_line, tag_of
from cureclock.core.reminding.quiet import breaks_quiet
from cureclock.core.wording.times import Day, Reader


def suspect(said: SuspectFound, reader: Reader) -> Message:
    """Doubt with a cause: hold back, and what alone clears it."""
    cause = reader.say(f"suspect.{said.cause}")
    return Message(
        title=first_line(reader, "alert.suspect", said.subject, cause=cause),
        body=reader.say("alert.suspect_film" if said.film else "alert.suspect_then"),
        tag=tag_of(said.subject, "suspect"),
        urgent=breaks_quiet(said.kind),
        cautions=() if said.film else ("lathe",),
    )


def cold_ahead(said: ColdAhead, reader: Reader) -> Message:
    """The expected night spoils it: the latest good time before pressing, warmth after."""
    latest = reader.closes(said.latest_us)
    if said.pressed:
        line, then = "alert.cold_pressed", "alert.cold_pressed_then"
    elif said.latest_us is None:
        line, then = "alert.cold_too_late", "alert.cold_no_time"
    elif said.latest_us < reader.at_us:
        line, then = "alert.cold_too_late", "alert.cold_too_late_then"
    else:
        line, then = "alert.cold_press", "alert.cold_press_then"
    by = reader.closes(said.cold_us)
    return Message(
        title=first_line(reader, line, said.subject, by=by, latest=latest),
        body=reader.say(then, latest=latest),
        tag=tag_of(said.subject, "cold"),
        urgent=breaks_quiet(said.kind),
    )


def asleep(said: Asleep, reader: Reader) -> Message:
    """Too cold to go on: nothing is lost, and nothing goes on."""
    air, needs = clean(said.air, 12), clean(said.needs, 12)
    bars = bar(said.forbidden, reader)
    return Message(
        title=first_line(reader, "alert.asleep", said.subject, air=air, needs=needs),
        body=reader.say("alert.asleep_then", bars=bars),
        tag=tag_of(said.subject, "asleep"),
        urgent=breaks_quiet(said.kind),
    )


def correction(said: Correction, reader: Reader) -> Message:
    """Not so after all: what was said, what is true now, and why. It replaces the notice."""
    day = Day.NAMED if said.gate in HURTS else Day.NEEDED
    why = reader.say(f"why.{said.why}")
    if said.gate in CLOSES:
        act = reader.say(f"gate.{said.gate}.act")
        was, now = reader.closes(said.was_us), reader.closes(said.now_us)
        line = first_line(reader, "alert.correction_sooner", said.subject, act=act, now=now)
        body = reader.say("alert.correction_sooner_then", was=was, now=now, why=why)
    else:
        bars = bar(Forbidden(said.gate, said.now_us), reader)
        line = first_line(reader, "alert.correction", said.subject, bars=bars)
        then = reader.say("alert.correction_then", was=reader.opens(said.was_us, day), why=why)
        body = f"{then}\n{capital(bars)}."
        if said.gate == "wrap":  # what was said to be fit for it may be on the bench, half wrapped
            key = "alert.no_wrap_yet" if said.now_us is None else "alert.no_wrap"
            until = reader.opens(said.now_us, Day.NAMED)
            line = first_line(reader, key, said.subject, until=until)
            body = "\n".join([then, reader.say("alert.no_wrap_then")])
    return Message(
        title=line,
        body=body,
        tag=tag_of(said.subject, said.gate),
        urgent=breaks_quiet(said.kind, said.gate),
        cautions=("lathe",) if said.gate == "spin" else (),
    )


def unsure(said: Unsure, reader: Reader) -> Message:
    """A place without a temperature: enter one, and what does not happen until then."""
    since = reader.closes(said.since_us)
    key = "alert.unsure_never" if said.since_us is None else "alert.unsure"
    return Message(
        title=reader.say(key, place=clean(said.place), since=since),
        body=reader.say("alert.unsure_then"),
        tag=f"{said.key} unsure",
        urgent=breaks_quiet(said.kind),
        cautions=("limits",),
    )


def sure(said: Sure, reader: Reader) -> Message:
    """One piece may be spun, after a tap and a twist; the answer is asked for again there."""
    return Message(
        title=first_line(reader, "alert.sure", said.subject, count=said.joints),
        body=reader.say("alert.sure_then", slowest=clean(said.slowest)),
        tag=tag_of(said.subject, "spin"),
        urgent=breaks_quiet(said.kind),
        cautions=("lathe",),
    )


def ask_lathe(said: AskLathe, reader: Reader) -> Message:
    """Several pieces may have become fit: never a yes in bulk, only the call to ask for each."""
    return Message(
        title=first_line(reader, "alert.ask_lathe", said.subject),
        body=reader.say("alert.ask_lathe_then"),
        tag=tag_of(said.subject, "spin"),
        urgent=breaks_quiet(said.kind),
        cautions=("lathe",),
    )


def rags(said: Rags, reader: Reader) -> Message:
    """Where are the rags? It keeps asking until somebody says where."""
    return Message(
        title=first_line(reader, "alert.rags", said.subject, material=clean(said.material)),
        body=reader.say("alert.rags_then"),
        tag=tag_of(said.subject, "rags"),
        urgent=breaks_quiet(said.kind),
        cautions=("rags",),
    )
