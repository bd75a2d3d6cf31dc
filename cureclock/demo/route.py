"""The routes of the lantern stands and the tea trays, and how far the week took them.

Minutes invented.
"""

from datetime import timedelta

from cureclock.actions.person_days import DaySaid
from cureclock.actions.route_told import AfterSaid, StepSaid, TakeSaid
from cureclock.demo.log import hours
from cureclock.demo.teller import Story

ROUTES = {"Batch L": "route of lantern stands", "Batch T": "route of tea trays"}
COUNTS = {"Batch L": 24, "Batch T": 6}
PROMISED = {"Batch L": timedelta(weeks=3, days=5), "Batch T": timedelta(weeks=3, days=6)}
RIM_RESTS_H = 72  # scenario: a bent rim rests three days before it is fitted
MACHINES = ("Bandsaw", "Lathe")
# Day, batch, step, pieces, when it began and ended, by whom: as the glue-ups have it. The coat on
# T-1 is not among them: its panel has to be surfaced anew.
DONE = (
    ("Mon", "Batch L", "glue half-rings", 24, "13:50", "14:30", "Maker"),
    ("Mon", "Batch T", "glue panels", 2, "16:04", "16:40", "Maker"),
    ("Mon", "Batch T", "bend rims", 1, "17:05", "17:30", "Maker"),
    ("Mon", "Batch T", "bars off", 2, "18:05", "18:10", "Maker"),
    ("Tue", "Batch T", "rim out", 1, "08:00", "08:10", "Helper 1"),
    ("Tue", "Batch L", "close rings", 14, "09:20", "10:10", "Helper 1"),
    ("Tue", "Batch L", "close rings", 10, "11:36", "12:10", "Helper 1"),
    ("Tue", "Batch L", "glue drums", 8, "15:22", "16:00", "Maker"),
    ("Tue", "Batch T", "glue panels", 2, "16:14", "16:40", "Maker"),
    ("Tue", "Batch T", "bend rims", 1, "17:05", "17:30", "Maker"),
    ("Wed", "Batch T", "rim out", 1, "08:00", "08:10", "Helper 1"),
    ("Wed", "Batch T", "bars off", 2, "08:10", "08:15", "Maker"),
    ("Wed", "Batch L", "glue drums", 8, "10:22", "11:00", "Maker"),
    ("Wed", "Batch L", "glue waste blocks", 8, "11:12", "11:40", "Maker"),
    ("Wed", "Batch T", "bend rims", 1, "17:05", "17:30", "Maker"),
    ("Thu", "Batch T", "rim out", 1, "10:20", "10:30", "Helper 1"),
    ("Thu", "Batch L", "glue drums", 7, "14:57", "15:30", "Maker"),
    ("Thu", "Batch L", "glue waste blocks", 8, "15:52", "16:20", "Maker"),
    ("Thu", "Batch L", "columns off", 7, "16:10", "16:20", "Helper 1"),
    ("Thu", "Batch T", "bend rims", 1, "17:05", "17:30", "Maker"),
    ("Fri", "Batch T", "rim out", 1, "08:00", "08:10", "Helper 1"),
    ("Fri", "Batch T", "bend rims", 1, "17:05", "17:30", "Maker"),
    ("Sat", "Batch T", "rim out", 1, "08:00", "08:10", "Maker"),
)
EVENING = "18:15"
MON_TO_FRI, SATURDAY = range(5), (5,)


def route(story: Story) -> None:
    """Machines, days of the helpers and the routes themselves, on Monday morning."""
    at = "Mon 08:00"
    for name in MACHINES:
        story.act(at, "machine_told", machine=story.id(name), name=name)
    for name, days in (("Helper 1", MON_TO_FRI), ("Helper 2", SATURDAY)):
        spoken = tuple(DaySaid(day, "08:00", "18:00") for day in days)
        story.act(at, "person_days", person=story.id(name), days=spoken)
    stands, trays = story.id(ROUTES["Batch L"]), story.id(ROUTES["Batch T"])
    done, worn = (AfterSaid("second coat", "wrap"),), (AfterSaid("fit rims"),)
    story.act(
        at, "route_told", route=stands, name="Lantern stands", steps=stand_steps(story), done=done
    )
    story.act(at, "route_told", route=trays, name="Tea trays", steps=tray_steps(story), done=worn)


def stand_steps(story: Story) -> tuple[StepSaid, ...]:
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


def tray_steps(story: Story) -> tuple[StepSaid, ...]:
    """From five boards and six plies to a panel that floats in its rim; one form bends one a night."""
    shed, box = story.id("Shed"), story.id("Warm box")
    bars = TakeSaid(story.id("long bars"), 3, "bars off", each=True)
    form = TakeSaid(story.id("tray form"), 1, "rim out")
    oil = story.id("Hardwax-H")

    def oiled(key: str, after: AfterSaid) -> StepSaid:
        return StepSaid(key, each_min=12, place=shed, material=oil, at_once=6, after=(after,))

    return (
        StepSaid(
            "glue panels",
            hands_min=6,
            each_min=12,
            place=shed,
            material=story.id("PVA-X"),
            at_once=2,
            takes=(bars,),
        ),
        StepSaid(
            "bars off", hands_min=5, at_once=2, after=(AfterSaid("glue panels", "clamps_off"),)
        ),
        StepSaid(
            "bend rims",
            hands_min=25,
            place=box,
            material=story.id("Urea-U"),
            takes=(form,),
        ),
        StepSaid("rim out", hands_min=10, after=(AfterSaid("bend rims", "clamps_off_stressed"),)),
        StepSaid(
            "surface panels",
            hands_min=20,
            dusty=True,
            after=(AfterSaid("bars off"), AfterSaid("glue panels", "final_surfacing")),
        ),
        oiled("first coat", AfterSaid("surface panels")),
        oiled("second coat", AfterSaid("first coat", "recoat_opens")),
        StepSaid(
            "fit rims",
            hands_min=15,
            after=(
                AfterSaid("second coat", "handle"),
                AfterSaid("rim out", wait_h=RIM_RESTS_H),
            ),
        ),
    )


def promised(story: Story, at: str, name: str) -> None:
    """A batch is put on its route and promised for a day of its fourth week."""
    batch = story.id(name)
    on_route, day = story.id(ROUTES[name]), story.monday + PROMISED[name]
    story.act(at, "batch_routed", batch=batch, count=COUNTS[name], route=on_route)
    story.act(at, "promise_made", batch=batch, day=day)


def evening(story: Story, day: str) -> None:
    """What was done on a day, told out of the notebook in the evening."""
    told = f"{day} {EVENING}"
    for on, batch, step, pieces, began, ended, by in DONE:
        if on != day:
            continue
        go = story.id(f"go {step} {day} {began}")
        story.act(
            told,
            "step_started",
            by=by,
            ago=_ago(day, began),
            go=go,
            batch=story.id(batch),
            step=step,
            pieces=pieces,
        )
        story.act(told, "step_finished", by=by, ago=_ago(day, ended), go=go)


def _ago(day: str, clock: str) -> timedelta:
    return timedelta(hours=hours(f"{day} {EVENING}") - hours(f"{day} {clock}"))
