"""What a plan does next with a thing: a form, a press column, a box."""

from uuid import UUID

from cureclock.planner.models import Plan
from cureclock.shop.models import Workshop
from cureclock.shop.plan_told import plan_told


def next_with(workshop: Workshop, things: set[UUID]) -> str:
    """The step planned next of those that tie up one of these; empty where there is none."""
    plan = Plan.objects.filter(workshop=workshop).first()
    ahead = [] if plan is None else [one for one in plan.body.get("acts", ()) if not one["pinned"]]
    if not ahead:
        return ""
    told = plan_told(workshop)
    takers = {
        (str(batch), step["key"])
        for batch, routed in told.routed.items()
        if routed.get("route")
        for step in told.routes[UUID(routed["route"])]["steps"]
        if any(UUID(take["thing"]) in things for take in step.get("takes", ()))
    }
    due = (one for one in ahead if (one["batch"], one["step"]) in takers)
    first = min(due, key=lambda one: int(one["start_us"]), default=None)
    return "" if first is None else str(first["step"])
