"""What happened to each joint of a glue-up, folded from the events that stand."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import pairwise
from uuid import UUID

from cureclock.shop.models import Event, Joint

SAME_ACT = timedelta(minutes=10)  # two taps so close are one act told twice


@dataclass
class JointHistory:
    """One joint's own story.

    Attributes:
        mixed_at, spread_at, pressure_at, off_at: when, None if not told.
        mixed_g: how much was mixed in one pot, the most that was told of any; None if not told.
        moves: (when, to which place), in order.
        witnesses: (when, tenths of wood torn, event), in order.
        overrides: (when, act, event), in order.
        over_at: when the joint ended (lost, split, re-glued), None while it stands.
    """

    joint: Joint
    mixed_at: datetime | None = None
    mixed_g: float | None = None
    spread_at: datetime | None = None
    pressure_at: datetime | None = None
    off_at: datetime | None = None
    moves: list[tuple[datetime, UUID]] = field(default_factory=list)
    witnesses: list[tuple[datetime, int, UUID]] = field(default_factory=list)
    overrides: list[tuple[datetime, str, UUID]] = field(default_factory=list)
    over_at: datetime | None = None


@dataclass(frozen=True)
class Contradiction:
    """Two happenings that cannot both be as told, or one that lacks what it needs."""

    kind: str
    first: UUID
    second: UUID | None = None


def fold_glue_up(
    joints: Sequence[Joint], told: Sequence[Event]
) -> tuple[list[JointHistory], list[Contradiction]]:
    """The story of each joint, and what contradicts in it, whatever the order of arrival.

    Of two starts that contradict, the one that errs safely counts: the earliest spread, the
    latest pressure on, the earliest clamps off.

    Args:
        joints: the joints.
        told: the events that stand, in order of time.
    """
    members = members_of(told, "joints", "spread_began")
    stories = [JointHistory(joint) for joint in joints if str(joint.id) not in members.out]
    found: list[Contradiction] = []
    for story in stories:
        since = members.since(str(story.joint.id))
        own = [event for event in told if _concerns(event, story.joint, since)]
        found.extend(_fold_joint(story, own))
    return stories, list(dict.fromkeys(found))


@dataclass(frozen=True)
class Members:
    """What a glue-up or coat is of, by the happenings that stand.

    Attributes:
        named: in it from the beginning.
        late: those that came in later, and when.
        out: those that were taken out of it.
    """

    named: set[str]
    late: dict[str, datetime]
    out: set[str]

    def since(self, ident: str) -> datetime | None:
        """From when on what is told of all concerns this one; None: from the beginning."""
        return None if ident in self.named else self.late.get(ident)


def members_of(told: Sequence[Event], field_name: str, begins: str) -> Members:
    """Who is in a group, out of the happenings that name its joints or zones."""
    members = Members(set(), {}, set())
    for event in told:
        named = named_in(event, field_name) or []
        if event.kind == begins:
            members.named.update(named)
        elif event.kind == "added_late":
            members.late.update(dict.fromkeys(named, event.happened_at))
            members.out.difference_update(named)
        elif event.kind == "taken_out":
            members.out.update(named)
    return members


def named_in(event: Event, field_name: str) -> list[str] | None:
    """The joints or zones that a happening names; None where it speaks of all."""
    named = event.body.get(field_name)
    if named is None:
        return None
    return [one["id"] if isinstance(one, dict) else one for one in named]


def _concerns(event: Event, joint: Joint, since: datetime | None) -> bool:
    """Whether an event speaks of this joint: of all of the glue-up, of it by name, of its piece."""
    named = named_in(event, "joints")
    if named is not None:
        return str(joint.id) in named
    if since is not None and event.glue_up_id is not None and event.happened_at < since:
        return False
    return event.piece_id in (None, joint.piece_id)


def _fold_joint(story: JointHistory, events: list[Event]) -> list[Contradiction]:
    by_kind: dict[str, list[Event]] = {}
    for event in events:
        kind = "spread_began" if event.kind == "added_late" else event.kind
        by_kind.setdefault(kind, []).append(event)
    mixed = by_kind.get("mixed", [])
    spread = by_kind.get("spread_began", [])
    pressed, off = by_kind.get("pressure_on", []), by_kind.get("clamps_off", [])
    story.mixed_at = mixed[0].happened_at if mixed else None
    masses = (event.body.get("mass_g") for event in mixed)
    story.mixed_g = max((mass for mass in masses if mass is not None), default=None)
    story.spread_at = spread[0].happened_at if spread else None
    story.pressure_at = pressed[-1].happened_at if pressed else None
    story.off_at = off[0].happened_at if off else None
    story.moves = [
        (event.happened_at, event.place_id)
        for event in by_kind.get("moved_place", [])
        if event.place_id is not None
    ]
    story.witnesses = [
        (event.happened_at, int(event.body["torn_tenths"]), event.id)
        for event in by_kind.get("witness", [])
    ]
    story.overrides = [
        (event.happened_at, str(event.body.get("act", "")), event.id)
        for event in by_kind.get("override", [])
    ]
    ends = by_kind.get("piece_lost", []) + by_kind.get("joint_opened", [])
    story.over_at = min((event.happened_at for event in ends), default=None)
    return [*_repeats(spread, pressed, off), *_out_of_order(spread, pressed, off)]


def _repeats(*kinds: list[Event]) -> list[Contradiction]:
    """The same act told twice, too far apart to be one."""
    return [
        Contradiction(f"twice_{first.kind}", first.id, second.id)
        for events in kinds
        for first, second in pairwise(events)
        if second.happened_at - first.happened_at > SAME_ACT
    ]


def _out_of_order(
    spread: list[Event], pressed: list[Event], off: list[Event]
) -> list[Contradiction]:
    """Clamps off before (or without) pressure on; pressure on before the glue was spread."""
    found = []
    if off and not pressed:
        found.append(Contradiction("off_without_pressure", off[0].id))
    elif off and off[0].happened_at < pressed[-1].happened_at:
        found.append(Contradiction("off_before_pressure", off[0].id, pressed[-1].id))
    if spread and pressed and pressed[0].happened_at < spread[0].happened_at:
        found.append(Contradiction("pressed_before_spread", pressed[0].id, spread[0].id))
    return found
