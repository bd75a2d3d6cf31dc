"""The day on paper: a page for each pair of hands, with what is to be done, when and why."""

from collections.abc import Iterator
from datetime import datetime

from cureclock.core.wording.say import say
from cureclock.exports.paper import A4_MM, Sheet
from cureclock.exports.spoken import Spoken
from cureclock.planner.shown import ActShown, PersonPlan, PlanShown, plan_shown
from cureclock.shop.models import Workshop

LEFT, RIGHT, TOP, BOTTOM = 18.0, 18.0, 20.0, 22.0
ROW = 13.0
TICK = 5.0
WORDS = 42.0  # where what is to be done begins
SIZE, SMALL, TITLE = 13.0, 9.0, 20.0
UNTIL = {"leaves": "export.day.leaves", "runs": "export.day.runs"}


def day_sheet(workshop: Workshop, at: datetime) -> bytes:
    """A PDF with a page for everybody who has anything to do; one page that says so where nobody has."""
    shown = plan_shown(workshop, at)
    sheet = Sheet(A4_MM, say("export.day.title"))
    spoken = Spoken(at, workshop.tz)
    busy = [person for person in shown.people if person.today]
    for number, person in enumerate(busy):
        if number:
            sheet.next_page()
        _page(sheet, person, workshop, spoken, shown)
    if not busy:
        sheet.words(LEFT, A4_MM[1] - TOP - 8, say("export.day.nothing"), SIZE)
    return sheet.bytes()


def _page(
    sheet: Sheet, person: PersonPlan, workshop: Workshop, spoken: Spoken, shown: PlanShown
) -> None:
    room = A4_MM[0] - LEFT - RIGHT
    assert person.day is not None
    y = A4_MM[1] - TOP - 6
    sheet.words(LEFT, y, person.person.name, TITLE, bold=True, room=room)
    day = say(
        "export.day.day",
        weekday=say(f"time.weekday.{person.day.weekday()}"),
        day=person.day.day,
        month=say(f"time.month.{person.day.month}"),
    )
    sheet.words(A4_MM[0] - RIGHT, y, day, SIZE, align="right", room=room / 2)
    y -= 8
    made = say("export.day.made", made=spoken.closes(shown.made_at))
    if shown.stale:
        made = " ".join([made, say("export.day.stale")])
    sheet.words(LEFT, y, made, SMALL, grey=0.35, room=room)
    y -= 10
    for number, act in enumerate(person.today):
        if y < BOTTOM + ROW:
            sheet.next_page()
            y = A4_MM[1] - TOP
        _row(sheet, y, act, workshop, spoken, night=number in person.before_home)
        y -= ROW
    sheet.block(LEFT, BOTTOM - 4, say("export.day.estimate"), SMALL, room)


def _row(
    sheet: Sheet, y: float, act: ActShown, workshop: Workshop, spoken: Spoken, *, night: bool
) -> None:
    room = A4_MM[0] - WORDS - RIGHT
    x = LEFT
    sheet.line(((x, y), (x + TICK, y), (x + TICK, y + TICK), (x, y + TICK), (x, y)), 0.3)
    clock = act.starts.astimezone(workshop.tz).strftime("%H:%M")
    sheet.words(x + TICK + 3, y + 0.5, clock, SIZE, bold=True)
    sheet.words(WORDS, y + 0.5, what(act), SIZE, bold=night, room=room)
    why = " ".join(reasons(act, spoken))
    if why:
        sheet.words(WORDS, y - 4, why, SMALL, grey=0.35, room=room)


def what(act: ActShown) -> str:
    """What is to be done, on what, with how many."""
    key = "export.day.alone" if act.machine else "export.day.what"
    said = say(
        key, step=act.step, batch=act.batch.name, pieces=act.pieces, machine=act.machine or ""
    )
    return " ".join([said, say("export.day.late")]) if act.late else said


def reasons(act: ActShown, spoken: Spoken) -> Iterator[str]:
    """Why it stands there."""
    if act.why.key == "closes":
        yield say("export.day.closes", by=spoken.closes(act.why.at))
    elif act.why.key in UNTIL:
        yield say(UNTIL[act.why.key], until=spoken.opens(act.why.at))
    if act.ask:
        yield say("export.day.ask")
    if act.rules:
        yield say("export.day.rules")
