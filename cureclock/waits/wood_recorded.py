"""How thick the wood was that was glued with each material of late, and how far it lags.

What is asked about a glue-up before it is told has no joint yet. Where joints of its material
were recorded, what is foretold counts wood like theirs; where none was, it counts as the air.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Max

from cureclock.core.units import SECOND_US
from cureclock.shop.models import Workshop
from cureclock.waits.models import Wait
from cureclock.waits.wood import Wood

LATELY = timedelta(days=90)  # a season; our choice


@dataclass(frozen=True)
class Recorded:
    """Wood of one lag that was glued with one material.

    Attributes:
        lag_us: its lag as clocks share it [us].
        thickness_mm: the thickest of it that was recorded.
        last: when it was glued last.
    """

    lag_us: int
    thickness_mm: float
    last: datetime

    @property
    def wood(self) -> Wood:
        """As a clock counts it, lying in the place for long."""
        return Wood(self.lag_us)


def wood_recorded(workshop: Workshop, at: datetime) -> Mapping[UUID, Sequence[Recorded]]:
    """What was recorded by material, the quickest to follow the air first."""
    rows = (
        Wait.objects.filter(
            glue_up__workshop=workshop,
            glue_up__made_at__gte=at - LATELY,
            joint__thickness_mm__isnull=False,
        )
        .order_by("lag_s")
        .values_list("label__material", "lag_s")
        .annotate(thickest=Max("joint__thickness_mm"), last=Max("began_at"))
    )
    found: dict[UUID, list[Recorded]] = {}
    for material, lag_s, thickest, last in rows:
        found.setdefault(material, []).append(Recorded(lag_s * SECOND_US, thickest, last))
    return found


def like_last(recorded: Sequence[Recorded]) -> Recorded | None:
    """The wood that was glued last; of several at one time the thickest."""
    return max(recorded, key=lambda one: (one.last, one.lag_us), default=None)
