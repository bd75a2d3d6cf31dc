"""A batch of boxes with a route, told by verbs: glued, turned, coated twice, wrapped."""

from typing import Any

from cureclock.actions.pieces_made import PieceSaid
from cureclock.actions.route_told import AfterSaid, StepSaid, TakeSaid
from cureclock.core.planning.solve import Effort
from cureclock.planner.resolve import Work, claim, resolve
from tests.cast import Cast, when

VARNISH: dict[str, Any] = {"wipe_off": None, "states_rule": True}
QUICK = Work(Effort(limit_s=0.3), Effort(limit_s=0.3), None)


def shop() -> Cast:
    """A shed at 20 degC, a cupboard at 25, glue, varnish, clamps, a lathe, and a batch of boxes."""
    cast = Cast.open()
    cast.place()
    cast.place("Cupboard")
    cast.material()
    cast.material("Varnish", "varnish_wiping", VARNISH)
    for place, temp_c in (("Shed", 20.0), ("Cupboard", 25.0)):
        for at in ("Mon 00:00", "Mon 06:00"):
            cast.read(at, temp_c, 50.0, place=place)
    cast.do(
        "things_owned", "Mon 06:00", thing=cast.id("clamp"), name="clamp", kind="clamp", count=8
    )
    cast.do("machine_told", "Mon 06:00", machine=cast.id("lathe"), name="lathe")
    boxes = tuple(PieceSaid(cast.id(f"B-{n}"), f"B-{n}") for n in range(1, 5))
    cast.do("pieces_made", "Mon 06:00", pieces=boxes, batch=cast.id("boxes"), batch_name="boxes")
    return cast


def steps(cast: Cast) -> tuple[StepSaid, ...]:
    shed, varnish = cast.id("Shed"), cast.id("Varnish")
    return (
        StepSaid(
            "glue",
            hands_min=20,
            place=shed,
            material=cast.id("PVA-G"),
            takes=(TakeSaid(cast.id("clamp"), 4, "clamps off"),),
        ),
        StepSaid("clamps off", hands_min=5, after=(AfterSaid("glue", "clamps_off"),)),
        StepSaid(
            "turn",
            hands_min=30,
            machine=cast.id("lathe"),
            place=shed,
            dusty=True,
            after=(AfterSaid("clamps off"), AfterSaid("glue", "spin")),
        ),
        StepSaid(
            "coat 1",
            each_min=4,
            place=shed,
            material=varnish,
            at_once=4,
            after=(AfterSaid("turn"),),
        ),
        StepSaid(
            "coat 2",
            each_min=4,
            place=shed,
            material=varnish,
            at_once=4,
            after=(AfterSaid("coat 1", "recoat_opens", late_min=20),),
        ),
    )


def routed(cast: Cast, *, at: str = "Mon 07:00", count: int = 4, **more: Any) -> Cast:
    """The boxes on their route."""
    route = more.pop("steps", steps(cast))
    done = more.pop("done", (AfterSaid("coat 2", "wrap"),))
    cast.do("route_told", at, route=cast.id("route"), name="boxes", steps=route, done=done)
    batch = cast.id("boxes")
    cast.do("batch_routed", at, batch=batch, count=count, route=cast.id("route"))
    return cast


def planned(cast: Cast, at: str = "Mon 08:00", work: Work = QUICK) -> Any:
    """The plan made at an instant."""
    from cureclock.planner.models import Plan

    claim(cast.workshop.id, when(at))
    resolve(cast.workshop, when(at), work)
    return Plan.objects.get(workshop=cast.workshop)
