"""What a check looks at: a place and its air at one moment, a label, the night, what is free."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from uuid import UUID

import numpy as np

from cureclock.core.lathe import READ_WITHIN_US
from cureclock.core.stance import Stance
from cureclock.core.timeline import Air
from cureclock.core.units import DAY_US, instant_us
from cureclock.core.wording.times import Reader
from cureclock.shop.models import LabelVersion, Place, Workshop
from cureclock.shop.refusals import Refusal
from cureclock.waits.ages import Ages
from cureclock.waits.foretold import AHEAD_DAYS, Foresight
from cureclock.waits.ledger import Ledger, ledger
from cureclock.waits.wood import Wood

LONGEST_AHEAD = timedelta(days=7)  # further on expected air is no more than a guess; our choice
LABEL_C = 20.0  # of a place nobody has read


@dataclass(frozen=True)
class AirThen:
    """Air at one moment.

    Attributes:
        rh_pct: none where it was not measured.
        known: somebody read it at most four hours ago.
        ever: somebody read it once.
    """

    temp_c: float
    rh_pct: float | None
    known: bool
    ever: bool


class Scene:
    """Facts for one check, each loaded once.

    Args:
        at: now.
        start: when it would begin, from now on.
        ages: facts up to the later of the two, where they are at hand.

    Attributes:
        lag_us: of the wood it is about, binned [us]; 0: as warm as the air.
        lies: the place that wood lies in now, where that is told.
    """

    lag_us: int = 0
    lies: UUID | None = None

    def __init__(
        self, workshop: Workshop, at: datetime, start: datetime, ages: Ages | None = None
    ) -> None:
        if not at - timedelta(hours=1) <= start <= at + LONGEST_AHEAD:
            raise Refusal("at", "is not from now to a week from now", "ask about a time to come")
        self.workshop, self.at, self.start = workshop, at, start
        self.start_us = instant_us(start)
        self.ages = ages or Ages(min(at, start), max(at, start))
        self.foresight = Foresight(self.ages)
        self.reader = Reader(instant_us(at), workshop.tz)

    @cached_property
    def places(self) -> list[Place]:
        """Every place of the workshop, by name."""
        found = list(Place.objects.filter(workshop=self.workshop).order_by("name", "id"))
        for place in found:
            place.workshop = self.workshop
        return found

    def place(self, ident: UUID) -> Place:
        """One of them; the caller has found it to be there."""
        return next(place for place in self.places if place.id == ident)

    def wood_in(self, place: Place) -> Wood:
        """The wood as it would count in a place, carried there at the start if it lies elsewhere."""
        if not self.lag_us or self.lies in (None, place.id):
            return Wood(self.lag_us)
        return Wood(self.lag_us, ((str(self.lies), self.start_us),))

    @cached_property
    def labels(self) -> list[LabelVersion]:
        """The newest reading of each material's label that stands, by name."""
        rows = LabelVersion.objects.filter(
            material__workshop=self.workshop, struck_by__isnull=True
        ).select_related("material")
        newest = {row.material_id: row for row in rows.order_by("since", "arrived_at", "id")}
        return sorted(newest.values(), key=lambda row: (row.material.name, str(row.id)))

    @cached_property
    def ledger(self) -> Ledger:
        """What is owned and free now."""
        now = self.ages if self.start <= self.at else Ages(self.at, self.at)
        return ledger(self.workshop, now)

    def line(self, place: Place) -> Air:
        """The likely air of a place, two days beyond the start."""
        until_us = self.ages.until_us + AHEAD_DAYS * DAY_US
        return self.ages.line(place, LABEL_C, until_us, Stance.LIKELY)

    def air(self, place: Place, at_us: int | None = None) -> AirThen:
        """The air of a place at the start, or at another moment near it."""
        us = self.start_us if at_us is None else at_us
        line, last_us = self.line(place), self.ages.air(place).last_us
        rh = float(np.interp(us, line.at_us, line.rh_pct))
        return AirThen(
            temp_c=float(line.temp_at(us)),
            rh_pct=None if np.isnan(rh) else rh,
            known=last_us is not None and instant_us(self.at) - last_us <= READ_WITHIN_US,
            ever=last_us is not None,
        )
