"""The route of the lantern stands, and how far the week took them. Minutes invented."""

from datetime import timedelta

from cureclock.actions.person_days import DaySaid
from cureclock.actions.route_told import AfterSaid, StepSaid, TakeSaid
from cureclock.demo.log import hours
from cureclock.demo.teller import Story

ROUTE, BATCH, COUNT = "route of lantern stands", "Batch L", 24
MACHINES = ("Bandsaw", "Lathe")
# What ties things up: name, kind, how many, where it hangs.
THINGS = (("press columns", "column", 2, ""), ("beam hooks", "hook", 24, "Shed"))
# Day, step, pieces, when it began and ended, by whom: as the glue-ups have it.
DONE = (
    ("Mon", "glue half-rings", 24, "13:50", "14:30", "Maker"),
    ("Tue", "close rings", 14, "09:20", "10:10", "Helper 1"),
    ("Tue", "close rings", 10, "11:36", "12:10", "Helper 1"),
    ("Tue", "glue drums", 8, "15:22", "16:00", "Maker"),
    ("Wed", "glue drums", 8, "10:22", "11:00", "Maker"),
    ("Wed", "glue waste blocks", 8, "11:12", "11:40", "Maker"),
    ("Thu", "glue drums", 7, "14:57", "15:30", "Maker"),
    ("Thu", "glue waste blocks", 8, "15:52", "16:20", "Maker"),
    ("Thu", "columns off", 7, "16:10", "16:20", "Helper 1"),
)
EVENING = "18:15"
MON_TO_FRI, SATURDAY = range(5), (5,)


def route(story: Story) -> None:
    """Machines, things, days of the helpers and the route itself, on Monday morning."""
    at = "Mon 08:00"
    for name in MACHINES:
        story.act(at, "machine_told", machine=story.id(name), name=name)
    for name, kind, count, place in THINGS:
        where = story.id(place) if place else None
        story.act(
            at,
            "things_owned",
            thing=story.id(name),
            name=name,
            kind=kind,
            count=count,
            place=where,
        )
    for name, days in (("Helper 1", MON_TO_FRI), ("Helper 2", SATURDAY)):
        spoken = tuple(DaySaid(day, "08:00", "18:00") for day in days)
        story.act(at, "person_days", person=story.id(name), days=spoken)
    done = (AfterSaid("second coat", "wrap"),)
    name = "Lantern stands"
    story.act(at, "route_told", route=story.id(ROUTE), name=name, steps=steps(story), done=done)


def steps(story: Story) -> tuple[StepSaid, ...]:
    """From half-rings to stands parted off; drums are what a stand waits for longest."""
    shed, glue, film = story.id("Shed"), story.id("PVA-G"), story.id("Varnish-W")
    lathe, hooks = story.id("Lathe"), story.id("beam hooks")

    def glued(key: str, *, each: float, at_once: int, after: str, gate: str) -> StepSaid:
        before = (AfterSaid(after, gate),) if after else ()
        takes = (TakeSaid(story.id("press columns"), 2, "columns off"),)
        return StepSaid(
            key,
            hands_min=8,
            each_min=each,
            place=shed,
            material=glue,
            at_once=at_once,
            takes=takes if key == "glue drums" else (),
            after=before,
        )

    def coat(key: str, after: AfterSaid, *, hung: str = "") -> StepSaid:
        takes = (TakeSaid(hooks, 1, hung, each=True),) if hung else ()
        return StepSaid(
            key, each_min=2.3, place=shed, material=film, at_once=8, takes=takes, after=(after,)
        )

    return (
        glued("glue half-rings", each=1, at_once=24, after="", gate=""),
        glued("close rings", each=2, at_once=8, after="glue half-rings", gate="light"),
        glued("glue drums", each=3, at_once=8, after="close rings", gate="light"),
        StepSaid(
            "columns off", hands_min=10, at_once=8, after=(AfterSaid("glue drums", "clamps_off"),)
        ),
        glued("glue waste blocks", each=2, at_once=8, after="columns off", gate=""),
        StepSaid(
            "turn drums",
            hands_min=22,
            machine=lathe,
            after=(AfterSaid("glue waste blocks", "spin"), AfterSaid("glue drums", "spin")),
        ),
        coat("first coat", AfterSaid("turn drums"), hung="part off"),
        coat("second coat", AfterSaid("first coat", "recoat_opens", late_min=20)),
        StepSaid(
            "part off", hands_min=6, machine=lathe, after=(AfterSaid("second coat", "handle"),)
        ),
    )


def evening(story: Story, day: str) -> None:
    """What was done on a day, told out of the notebook in the evening."""
    told = f"{day} {EVENING}"
    if day == "Mon":
        batch, on_route = story.id(BATCH), story.id(ROUTE)
        story.act(told, "batch_routed", batch=batch, count=COUNT, route=on_route)
    for on, step, pieces, began, ended, by in DONE:
        if on != day:
            continue
        go = story.id(f"go {step} {day} {began}")
        story.act(
            told,
            "step_started",
            by=by,
            ago=_ago(day, began),
            go=go,
            batch=story.id(BATCH),
            step=step,
            pieces=pieces,
        )
        story.act(told, "step_finished", by=by, ago=_ago(day, ended), go=go)


def _ago(day: str, clock: str) -> timedelta:
    return timedelta(hours=hours(f"{day} {EVENING}") - hours(f"{day} {clock}"))
