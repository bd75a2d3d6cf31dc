"""What is in use while the hours go by: hands, machines, things, and the air of each place."""

from cureclock.core.planning.layout import Go, Hold, Layout, at

STILL_HELD = 1 << 40


class Yard:
    """Hands, machines, things and air, as goes are begun one after the other.

    Attributes:
        hands: for each person, the position from which they are free.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.hands = {person.name: 0 for person in layout.problem.people}
        self._machines = {name: [0] * n for name, n in layout.problem.machines.items()}
        self._held: dict[str, list[Hold]] = {}
        self._released: dict[int, int] = {}
        self._taken = [[hold for hold in layout.holds if hold.taker == go.index]
                       for go in layout.goes]  # fmt: skip
        self._wet: list[tuple[Go, int, int]] = []
        self._dry: list[tuple[Go, int]] = []

    def free(self, go: Go, now: int) -> bool:
        """Whether machine, things and air are free for a go; hands are another question."""
        machine = go.step.machine
        if machine and min(self._machines.get(machine, ()), default=STILL_HELD) > now:
            return False
        owned = self.layout.problem.things
        for hold in self._taken[go.index]:
            if self._in_use(hold.thing, now) + hold.count > owned.get(hold.thing, 0):
                return False
        return self._air_free(go, now)

    def _in_use(self, thing: str, now: int) -> int:
        held = self._held.get(thing, [])
        held[:] = [hold for hold in held if self._released.get(hold.releaser, STILL_HELD) > now]
        return sum(hold.count for hold in held)

    def _air_free(self, go: Go, now: int) -> bool:
        """No dust or sparks where something is wet, and nothing wet where they are made."""
        step, place = go.step, go.step.place
        for other, dust_until, fumes_until in self._wet if place else ():
            harms = (step.dusty and dust_until > now) or (step.sparks and fumes_until > now)
            if harms and other.step.place == place:
                return False
        for other, until in self._dry if place and step.stays_wet else ():
            if other.step.place == place and until > now and spoils(other, go):
                return False
        return True

    def take(self, go: Go, now: int, late: bool, people: tuple[str, ...]) -> list[int]:
        """Begin a go; the positions from which something of it is free again."""
        ends = at(self.layout.frees_machine(go, late), now)
        hands = self.layout.frees_hands(go, now, late)
        for name in people:
            self.hands[name] = max(self.hands[name], hands)
        machines = self._machines.get(go.step.machine, [])
        if machines:
            machines[machines.index(min(machines))] = ends
        for hold in self._taken[go.index]:
            self._held.setdefault(hold.thing, []).append(hold)
        self._released[go.index] = ends
        return [hands, ends, *self._leave_in_air(go, now, ends, late)]

    def _leave_in_air(self, go: Go, now: int, ends: int, late: bool) -> list[int]:
        step = go.step
        if step.dusty or step.sparks:
            self._dry.append((go, ends))
        if not step.stays_wet:
            return []
        until = [
            at(self.layout.clears(go, table, late), now) if table is not None else 0
            for table in (step.dust_free, step.fumes)
        ]
        self._wet.append((go, until[0], until[1]))
        return until


def spoils(dry: Go, wet: Go) -> bool:
    """Whether dust or sparks of one go harm what another leaves wet, or the other way about.

    Args:
        dry: the go that may make dust or sparks.
        wet: the go that may leave something wet or solvent in the air.

    Returns:
        True where they may not be in one place at one time.

    Raises:
        Nothing.

    Valid for:
        Two goes in one place.
    Assumes:
        Dust harms until dust-free, sparks until the solvent is out of the air.
    Source:
        Common practice, no source.

    Example:
        >>> from cureclock.core.coat.shop_hours import ReadyTable
        >>> from cureclock.core.planning.route import Step
        >>> film = Step("coat", dust_free=ReadyTable([0], [9]))
        >>> sand, coat = (Go(0, "box", s, 0, 1, None, 1, 1) for s in (Step("s", dusty=True), film))
        >>> spoils(sand, coat), spoils(coat, coat)
        (True, False)
    """
    dust = dry.step.dusty and wet.step.dust_free is not None
    return dust or (dry.step.sparks and wet.step.fumes is not None)
