"""Wood in store: how wet each lot is, when it will be dry enough, and whether lots match."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

import numpy as np
from django.db.models import Avg

from cureclock.core.refusal import Refused
from cureclock.core.wood.dry_date import forecast_dry, next_meter_day
from cureclock.core.wood.drying import DryingFit, fit_drying
from cureclock.core.wood.moisture import emc_pct
from cureclock.core.wood.weighing import settle, weeks_until_within
from cureclock.shop.models import Reading, Workshop
from cureclock.shop.stock import LotStory, Metering, Weighing, lot_stories

DAY = timedelta(days=1)
WEEK_S = 7 * 24 * 3600.0
AIR_BACK = timedelta(days=28)  # of the place's air; wood answers no faster. Our choice
METER_AGAIN = timedelta(days=28)  # where no forecast says sooner; common practice, no source
WEIGH_AGAIN = timedelta(days=7)  # common practice of turners, no source
SETTLED_SHARE = 0.01  # of its weight left to lose: near enough; our choice


@dataclass(frozen=True)
class Forecast:
    """When a lot comes to the moisture that is wanted of it.

    Attributes:
        halves_days: days in which the gap to the place's own moisture halves.
        never: this place does not get it there; else likely, and one chance in ten either side.
    """

    halves_days: float
    never: bool
    likely: datetime | None
    earliest: datetime | None
    latest: datetime | None


@dataclass(frozen=True)
class Settles:
    """What weighing says: the weight it comes to, and when it is near enough to that."""

    settles_g: float
    to_come_g: float
    near_at: datetime


@dataclass(frozen=True)
class LotShown:
    """A lot of wood.

    Attributes:
        place: where it lies; empty where nobody said.
        mc_pct: by its last metering, the core where it was read; none before any.
        emc_pct: what its place leads to; `emc_from` is "told", "air" or empty.
        word: dry, meter_again (by the forecast it should be), not_yet, never, or unknown.
        look_again_at: when it is worth metering, or weighing, again.
    """

    id: UUID
    name: str
    wood: str
    place: str
    thickness_mm: float | None
    wanted_pct: float | None
    mc_pct: float | None
    metered_at: datetime | None
    emc_pct: float | None
    emc_from: str
    word: str
    forecast: Forecast | None
    settles: Settles | None
    look_again_at: datetime | None
    metered: tuple[Metering, ...]
    weighed: tuple[Weighing, ...]


def lots_shown(workshop: Workshop, at: datetime) -> tuple[LotShown, ...]:
    """Every lot in store, by name."""
    stories = lot_stories(workshop)
    airs = _airs(workshop, stories, at)
    return tuple(_shown(story, airs, at) for story in stories)


def _shown(story: LotStory, airs: dict[UUID, float], at: datetime) -> LotShown:
    air = airs.get(story.place.id) if story.place else None
    emc = story.emc_pct if story.emc_pct is not None else air
    fit = _fit(story, emc)
    forecast = _forecast(story, fit)
    settles = _settles(story)
    newest = story.newest
    return LotShown(
        id=story.lot.id,
        name=story.name,
        wood=story.wood,
        place=story.place.name if story.place else "",
        thickness_mm=story.thickness_mm,
        wanted_pct=story.wanted_pct,
        mc_pct=newest.mc_pct if newest else None,
        metered_at=newest.at if newest else None,
        emc_pct=emc,
        emc_from="" if emc is None else "told" if story.emc_pct is not None else "air",
        word=_word(story, forecast, at),
        forecast=forecast,
        settles=settles,
        look_again_at=_look_again(story, fit),
        metered=tuple(story.metered),
        weighed=tuple(story.weighed),
    )


def _here(story: LotStory) -> list[Metering]:
    """The meterings since it lies where it lies; those before it was moved say nothing of here."""
    return [one for one in story.metered if story.since is None or one.at >= story.since]


def _fit(story: LotStory, emc: float | None) -> DryingFit | None:
    """The drying law through its readings here; none with fewer than two days of them."""
    own = _here(story)
    if emc is None or len({one.at.date() for one in own}) < 2:
        return None
    first = own[0].at
    days = [(one.at - first) / DAY for one in own]
    try:
        return fit_drying(days, [one.mc_pct for one in own], float(np.clip(emc, 1, 30)))
    except Refused:
        return None


def _forecast(story: LotStory, fit: DryingFit | None) -> Forecast | None:
    if fit is None or story.wanted_pct is None:
        return None
    found = forecast_dry(fit, story.wanted_pct)
    first = _here(story)[0].at
    never = bool(found.never)
    days = (found.days, found.earliest_days, found.latest_days)
    likely, earliest, latest = (
        None if never else first + timedelta(days=float(day)) for day in days
    )
    return Forecast(float(fit.halving_days), never, likely, earliest, latest)


def _word(story: LotStory, forecast: Forecast | None, at: datetime) -> str:
    newest, wanted = story.newest, story.wanted_pct
    if newest is None or wanted is None:
        return "unknown"
    if newest.mc_pct <= wanted:
        return "dry"
    if forecast is not None and forecast.never:
        return "never"
    if forecast is not None and forecast.likely is not None and forecast.likely <= at:
        return "meter_again"
    return "not_yet"


def _settles(story: LotStory) -> Settles | None:
    """From three weighings here on, while its losses shrink."""
    own = [one for one in story.weighed if story.since is None or one.at >= story.since]
    if len(own) < 3:
        return None
    first = own[0].at
    weeks = [(one.at - first).total_seconds() / WEEK_S for one in own]
    try:
        found = settle([one.weight_g for one in own], weeks)
        near = weeks_until_within(found, max(SETTLED_SHARE * float(found.settles_g), 0.1))
    except Refused:
        return None
    near_at = first + timedelta(weeks=float(near))
    return Settles(float(found.settles_g), float(found.to_come_g), near_at)


def _look_again(story: LotStory, fit: DryingFit | None) -> datetime | None:
    """When it is worth the walk; none where nothing is wanted of it, or it is dry."""
    if story.weighed and (story.newest is None or story.weighed[-1].at > story.newest.at):
        return story.weighed[-1].at + WEIGH_AGAIN
    newest, wanted = story.newest, story.wanted_pct
    if newest is None or wanted is None or newest.mc_pct <= wanted:
        return None
    if fit is None:
        return newest.at + METER_AGAIN
    day = float(next_meter_day(fit, wanted))
    return _here(story)[0].at + timedelta(days=day)


def _airs(workshop: Workshop, stories: Sequence[LotStory], at: datetime) -> dict[UUID, float]:
    """The moisture each place leads to, by the mean of its air lately; of places with a hygrometer."""
    places = {story.place.id for story in stories if story.place is not None}
    rows = Reading.objects.filter(
        place__in=places,
        place__workshop=workshop,
        struck_by=None,
        rh_pct__isnull=False,
        at__gte=at - AIR_BACK,
        at__lte=at,
    )
    means = rows.values("place").annotate(temp_c=Avg("temp_c"), rh_pct=Avg("rh_pct"))
    found = {}
    for row in means:
        try:
            found[row["place"]] = float(emc_pct(row["temp_c"], row["rh_pct"]))
        except Refused:
            continue
    return found
