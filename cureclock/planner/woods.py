"""How far the wood of each glue step lags the air: as told of the step, or as it was glued before."""

from collections.abc import Iterable, Mapping
from uuid import UUID

from django.db.models import Max

from cureclock.core.units import SECOND_US
from cureclock.planner.labels import Labels
from cureclock.shop.lineage import below, closure
from cureclock.shop.models import Piece
from cureclock.shop.plan_told import Body
from cureclock.waits.models import Wait
from cureclock.waits.wood import binned_us, own_lag_us


def with_lags(route: Body, batch: UUID, labels: Labels) -> Body:
    """The same route, each step that glues with its `lag_us`: how far the wood lags, binned.

    Told of the step, else of the joints glued with that material in the batch and its parts, the
    thickest; None where neither says, and then the wood counts as warm as the air.
    """
    glues = [step for step in route["steps"] if _glues(step, labels)]
    if not glues:
        return route
    known = {} if all(step.get("thickness_mm") for step in glues) else glued_lags(batch)
    return {**route, "steps": [_with_lag(step, labels, known) for step in route["steps"]]}


def lags_told(routes: Mapping[str, Body]) -> dict[str, dict[str, int | None]]:
    """The lag of each step that glues, by batch and step, as a plan is kept with it [us]."""
    return {
        batch: {step["key"]: step["lag_us"] for step in route["steps"] if "lag_us" in step}
        for batch, route in routes.items()
    }


def glued_lags(batch: UUID) -> dict[UUID, int]:
    """How far wood lags that was glued in a batch and its parts, by material: the most [us]."""
    own = set(Piece.objects.filter(batch=batch).values_list("id", flat=True))
    rows: Iterable[tuple[UUID, int]] = (
        Wait.objects.filter(piece__in=closure(own, below(own)), joint__thickness_mm__isnull=False)
        .order_by()
        .values_list("label__material")
        .annotate(most=Max("lag_s"))
    )
    return {material: lag_s * SECOND_US for material, lag_s in rows}


def _with_lag(step: Body, labels: Labels, known: Mapping[UUID, int]) -> Body:
    if not _glues(step, labels):
        return step
    thick = step.get("thickness_mm")
    lag_us = binned_us(own_lag_us(thick, None)) if thick else known.get(UUID(step["material"]))
    return {**step, "lag_us": lag_us}


def _glues(step: Body, labels: Labels) -> bool:
    material = step.get("material")
    return bool(material) and labels.is_glue(UUID(material))
