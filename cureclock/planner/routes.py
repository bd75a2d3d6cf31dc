"""Routes from what was told to the steps of the core, and what is wrong with one."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, Protocol
from uuid import UUID

from cureclock.core.coat.shop_hours import ReadyTable
from cureclock.core.planning.route import UNTRIED, After, Step, Take, in_order
from cureclock.core.units import HOUR_US, MINUTE_US, instant_us
from cureclock.planner.labels import Labels, Wait, labels_of
from cureclock.shop.models import Event, Material, Workshop
from cureclock.shop.refusals import NotHere, Refusal

Body = Mapping[str, Any]
SCUFF_FIRST = {"recoat_opens": "recoat_closes", "scrape_opens": "scrape_closes"}


class Tables(Protocol):
    """Where the ends of waits are looked up."""

    def opens(self, wait: Wait) -> ReadyTable | None: ...
    def closes(self, wait: Wait) -> ReadyTable | None: ...
    def plain(self, hours: float) -> ReadyTable | None: ...
    def spread(self, wait: Wait) -> float: ...


class NoTables:
    """No wait is looked up: only the shape of a route is asked about."""

    def opens(self, wait: Wait) -> None:  # noqa: ARG002
        return None

    def closes(self, wait: Wait) -> None:  # noqa: ARG002
        return None

    def plain(self, hours: float) -> None:  # noqa: ARG002
        return None

    def spread(self, wait: Wait) -> float:  # noqa: ARG002
        return UNTRIED


def core_steps(route: Body, tables: Tables) -> tuple[Step, ...]:
    """The steps of a route as the core knows them; people, machines, things, places by their ids.

    Raises:
        Refused: a figure out of its range, a step that is not there, or a circle, named.
    """
    steps = {step["key"]: step for step in route["steps"]}
    return in_order([_step(step, steps, tables) for step in route["steps"]])


def done_gates(route: Body, tables: Tables) -> tuple[After, ...]:
    """What has to be open before a piece is done."""
    steps = {step["key"]: step for step in route["steps"]}
    return tuple(_after(gate, steps, tables) for gate in route.get("done", ()))


def _step(step: Body, steps: Mapping[str, Body], tables: Tables) -> Step:
    begins = step.get("not_before")
    return Step(
        key=step["key"],
        hands_us=_us(step.get("hands_min")),
        each_us=_us(step.get("each_min")),
        machine=step.get("machine") or "",
        alone_us=_us(step.get("alone_min")),
        who=tuple(step.get("who", ())),
        place=step.get("place") or "",
        takes=tuple(_take(take) for take in step.get("takes", ())),
        after=tuple(_after(after, steps, tables) for after in step.get("after", ())),
        at_once=int(step.get("at_once", 1)),
        dusty=bool(step.get("dusty")),
        sparks=bool(step.get("sparks")),
        dust_free=_own(step, steps, "dust_free", tables),
        fumes=_own(step, steps, "touch", tables),
        not_before_us=instant_us(datetime.fromisoformat(begins)) if begins else None,
    )


def _us(minutes: float | None, unit_us: int = MINUTE_US) -> int:
    return round((minutes or 0) * unit_us)


def _take(take: Body) -> Take:
    return Take(take["thing"], int(take["count"]), take.get("until", ""), bool(take.get("each")))


def _own(step: Body, steps: Mapping[str, Body], gate: str, tables: Tables) -> ReadyTable | None:
    """When what a step leaves wet is past a gate; its solvent counts as gone when it is touch dry."""
    wait = wait_of(step, steps, gate)
    return None if wait is None else tables.opens(wait)


def wait_of(step: Body, steps: Mapping[str, Body], gate: str) -> Wait | None:
    """The wait that a step leaves behind, as far as one gate goes."""
    material, place = step.get("material"), step.get("place")
    if not (material and place and gate):
        return None
    return Wait(UUID(material), UUID(place), gate, _over(step, steps), step.get("lag_us") or 0)


def _over(step: Body, steps: Mapping[str, Body]) -> tuple[UUID, ...]:
    """What the steps before a step applied, each step once; a circle is refused elsewhere."""
    before: dict[str, Body] = {}
    ahead = [step]
    while ahead:
        for after in ahead.pop().get("after", ()):
            key = after["step"]
            if key in steps and key not in before:
                before[key] = steps[key]
                ahead.append(steps[key])
    others = (one for key, one in before.items() if key != step["key"])
    return tuple(UUID(one["material"]) for one in others if one.get("material"))


def _after(after: Body, steps: Mapping[str, Body], tables: Tables) -> After:
    gate, hours = after.get("gate") or "", after.get("wait_h")
    wait = wait_of(steps.get(after["step"], {}), steps, gate)
    opens = tables.opens(wait) if wait else tables.plain(hours) if hours else None
    closes = None
    if wait is not None and gate in SCUFF_FIRST:
        closes = tables.closes(replace(wait, gate=SCUFF_FIRST[gate]))
    prompt, late = after.get("prompt_h"), after.get("late_min")
    return After(
        step=after["step"],
        opens=opens,
        closes=closes,
        prompt_us=None if prompt is None else _us(prompt, HOUR_US),
        late_us=None if late is None else _us(late),
        name=gate,
        spread=tables.spread(wait) if wait else UNTRIED if gate else 0.0,
    )


def check_route(workshop: Workshop, route: Body, at: datetime) -> None:
    """Refuse a route that can be no route here, naming what is wrong and what to do.

    Raises:
        Refusal, Refused: a circle, a figure out of its range, a machine or material that is
            not known, or a gate that the label of what was applied says nothing of.
    """
    core_steps(route, NoTables())
    steps = {step["key"]: step for step in route["steps"]}
    _known_machines(workshop, {step["machine"] for step in steps.values() if step.get("machine")})
    materials = {UUID(step["material"]) for step in steps.values() if step.get("material")}
    known = Material.objects.filter(workshop=workshop, id__in=materials)
    if known.count() < len(materials):
        raise NotHere("steps.material")
    labels = labels_of(workshop, materials, at)
    for after in _afters(route):
        if after["step"] not in steps:
            known_keys = ", ".join(steps)
            raise Refusal("done", f"there is no step {after['step']!r}", f"one of {known_keys}")
        _check_gate(after, steps[after["step"]], labels)


def _afters(route: Body) -> Iterator[Body]:
    for step in route["steps"]:
        yield from step.get("after", ())
    yield from route.get("done", ())


def _check_gate(after: Body, before: Body, labels: Labels) -> None:
    gate, key = after.get("gate"), before["key"]
    if not gate:
        return
    if not before.get("material") or not before.get("place"):
        wrong = f"{gate} of {key}: nobody said of what, or where it stands"
        raise Refusal("steps", wrong, f"give {key} a material and a place")
    offered = labels.offered(UUID(before["material"]))
    if gate not in offered:
        mend = f"one of {', '.join(sorted(offered)) or 'none: read its label first'}"
        raise Refusal("gate", f"the label used for {key} says nothing of {gate}", mend)


def _known_machines(workshop: Workshop, machines: Sequence[str] | set[str]) -> None:
    told = Event.objects.filter(workshop=workshop, kind="machine_told")
    known = {body["machine"] for body in told.values_list("body", flat=True)}
    if not set(machines) <= known:
        raise NotHere("steps.machine")
