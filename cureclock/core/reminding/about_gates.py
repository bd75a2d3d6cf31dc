"""What is said of gates: opened, about to close, closed, worth a try, and what they permit."""

from dataclasses import replace

from cureclock.core.reminding.alerts import (
    CheckFrom,
    Closed,
    Closing,
    CoatLeft,
    Forbidden,
    FormFree,
    HangOk,
    Opens,
)
from cureclock.core.reminding.kinds import OF_HOLDS, OF_JOINTS
from cureclock.core.reminding.message import (
    Message,
    bar,
    clean,
    first_line,
    named,
    second_line,
    tag_of,
)
from cureclock.core.reminding.quiet import breaks_quiet
from cureclock.core.wording.times import Reader

# The caution that goes with an act whatever the material, at the moment of the act.
CAUTIONS = {
    "sand": ("dust",),
    "sand_glue_line": ("dust",),
    "rub_out": ("dust",),
    "dust_free": ("dust",),
    "spin": ("lathe",),
    "service": ("limits",),
    "wet_use": ("limits",),
    "wrap": ("food",),
    "full_cure": ("food",),
    "holds": ("hold_turning",),
}


def opens(said: Opens, reader: Reader) -> Message:
    """A gate opened: the act, what it may now begin with, and what is still forbidden."""
    key, fields = f"gate.{said.gate}.opens", {}
    if said.gate == "recoat_opens" and said.closes_us is not None:
        key, fields = "alert.recoat_until", {"by": reader.closes(said.closes_us)}
    body = second_line(said.forbidden, said.gate, reader)
    if said.gate == "spin":
        body = reader.say("alert.ask_lathe_then")
    own = CAUTIONS.get(said.gate, ())
    return Message(
        title=first_line(reader, key, said.subject, **fields),
        body=body,
        tag=tag_of(said.subject, said.gate),
        urgent=breaks_quiet(said.kind, said.gate),
        cautions=tuple(dict.fromkeys([*own, *said.cautions])),
    )


def closing(said: Closing, reader: Reader) -> Message:
    """A gate will close: the act, when it has to begin, and what holds after it."""
    by = reader.closes(said.closes_us)
    start = by if said.start_by_us is None else reader.closes(said.start_by_us)
    recoat = said.gate == "recoat_closes"
    key = "alert.closing_home" if said.before_home else f"gate.{said.gate}.closing"
    then = "alert.closing_recoat" if recoat else "alert.closing_then"
    if recoat and said.before_home:
        then = "alert.closing_home_recoat"
    act = reader.say(f"gate.{said.gate}.act")
    left = reader.left(said.closes_us)
    return Message(
        title=first_line(reader, key, said.subject, by=by, start=start, left=left, act=act),
        body=reader.say(then, by=by),
        tag=tag_of(said.subject, said.gate),
        urgent=breaks_quiet(said.kind, said.gate),
        cautions=tuple(said.cautions),
    )


def closed(said: Closed, reader: Reader) -> Message:
    """A gate has closed: what there is to do first now, and what not to do."""
    by = reader.closes(said.closed_us)
    return Message(
        title=first_line(reader, f"gate.{said.gate}.closed", said.subject, by=by),
        body=reader.say(f"gate.{said.gate}.closed_then"),
        tag=tag_of(said.subject, said.gate),
        urgent=breaks_quiet(said.kind, said.gate),
        cautions=tuple(said.cautions),
    )


def check_from(said: CheckFrom, reader: Reader) -> Message:
    """A try makes sense: of the witness for a joint, of the film for a coat. It is no go."""
    key = "alert.check_joint" if said.gate in OF_JOINTS | OF_HOLDS else "alert.check_coat"
    bars = bar(Forbidden(said.gate, said.not_before_us), reader)
    return Message(
        title=first_line(reader, key, said.subject),
        body=reader.say("alert.check_then", bars=bars),
        tag=tag_of(said.subject, said.gate),
        urgent=breaks_quiet(said.kind, said.gate),
    )


def hang_ok(said: HangOk, reader: Reader) -> Message:
    """It may be hung by a zone that is dry to handle."""
    return Message(
        title=first_line(reader, "alert.hang", said.subject, zone=clean(said.zone)),
        body=second_line(said.forbidden, said.gate, reader),
        tag=tag_of(said.subject, said.gate),
        urgent=breaks_quiet(said.kind, said.gate),
        cautions=tuple(said.cautions),
    )


def form_free(said: FormFree, reader: Reader) -> Message:
    """A form may be emptied, and what goes in next."""
    out = named(replace(said.subject, place=""), reader, 36)
    key = "alert.form_free" if said.goes_in.strip() else "alert.form_free_only"
    line = reader.say(key, out=out, next=clean(said.goes_in))
    return Message(
        title=clean(line, 89),
        body=second_line(said.forbidden, said.gate, reader),
        tag=tag_of(said.subject, said.gate),
        urgent=breaks_quiet(said.kind, said.gate),
        cautions=tuple(said.cautions),
    )


def coat_left(said: CoatLeft, reader: Reader) -> Message:
    """A group was coated in part: how many are left, and when the rest has to begin."""
    start, by = reader.closes(said.start_by_us), reader.closes(said.closes_us)
    left = len(set(said.subject.tags)) or 1
    return Message(
        title=first_line(reader, "alert.coat_left", said.subject, count=left, start=start),
        body=reader.say("alert.coat_left_then", by=by),
        tag=tag_of(said.subject, "coat_left"),
        urgent=breaks_quiet(said.kind),
    )
