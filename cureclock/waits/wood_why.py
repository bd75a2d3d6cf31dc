"""What a sum says of the wood: how far it lags the air, and what that does to the figure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from cureclock.core.clock import NEVER
from cureclock.core.stance import Stance
from cureclock.core.units import HOUR_US, instant_us, moment_of
from cureclock.shop.models import Joint
from cureclock.waits.ages import Ages, response_of
from cureclock.waits.current import Rung
from cureclock.waits.minute import to_minute
from cureclock.waits.models import Clock, Leg
from cureclock.waits.wood import Trail, own_lags, wood_of


@dataclass(frozen=True)
class WoodWhy:
    """How the wood of a joint counts: for all figures but the bare one.

    Attributes:
        thickness_mm: across the joint; none where it was not recorded, and then it counts as air.
        lag_h: its time constant as it is counted, the next larger of those that clocks share.
        own_h: its time constant by itself.
        came_at, came_c: when it was carried in, and how warm, while that still counts.
        by_air: when the figure that acts would come by the air alone.
    """

    thickness_mm: float | None
    lag_h: float
    own_h: float | None
    came_at: datetime | None
    came_c: float | None
    by_air: datetime | None


def wood_why(rung: Rung, stays: Sequence[Leg], ages: Ages) -> WoodWhy | None:
    """What there is to say of the wood of a joint; None of what has none."""
    joint: Joint | None = rung.wait.joint
    row = rung.gate.sure_clock if rung.gate.hurts else rung.gate.act_clock
    if joint is None or row is None:
        return None
    thick = joint.thickness_mm
    if thick is None:
        return WoodWhy(None, 0.0, None, None, None, None)
    own = ages.own_start(wood_of(row), response_of(row.response).label_temp_c, Stance(row.stance))
    return WoodWhy(
        thickness_mm=thick,
        lag_h=rung.wait.lag_s * 1e6 / HOUR_US,
        own_h=own_lags([joint])[joint.id] / HOUR_US,
        came_at=None if own is None else moment_of(own.at_us),
        came_c=None if own is None else own.temp_c,
        by_air=to_minute(_by_air(rung, row, stays, ages), opens=rung.gate.opens),
    )


def _by_air(rung: Rung, row: Clock, stays: Sequence[Leg], ages: Ages) -> datetime | None:
    """When the figure that acts would come if wood were as warm as the air."""
    gate, response, stance = rung.gate, response_of(row.response), Stance(row.stance)
    left_us = (gate.sure_need_us if gate.hurts else gate.need_us) or 0
    began_us = instant_us(gate.began_at)
    *earlier, last = Trail(Trail.of(rung.wait, stays).stood, 0).stretches(ages.last_us)
    for on in earlier:
        if on.to_us is not None and (part := on.within(began_us, on.to_us)):
            left_us -= ages.between(on.place, response, stance, *part)
    clock = ages.clock(last.place, response, stance)
    found = int(clock.earliest(clock.age_at(max(began_us, last.from_us)) + left_us))
    return None if found == NEVER else moment_of(found)
