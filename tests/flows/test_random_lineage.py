"""Random verbs on pieces that are made of one another: no circle ever counts, no piece is ever sent
to the lathe while a joint in it is short or suspect, and what is struck out never was."""

from collections.abc import Callable
from datetime import timedelta
from random import Random
from typing import Any
from uuid import UUID, uuid4

import pytest

from cureclock.actions.spread_began import JointSaid
from cureclock.core.lathe import Word
from cureclock.reminders.models import Alert
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Event, Piece, Reading
from cureclock.shop.refusals import Refusal
from cureclock.waits.lathe import spin_answers
from cureclock.waits.may.answers import may
from cureclock.waits.models import Clock, Gate, Suspicion, Wait
from cureclock.waits.rebuild import differences
from tests.cast import Cast, when
from tests.draws import drawn

pytestmark = pytest.mark.django_db
TAGS = [f"P-{number}" for number in range(7)]
STEPS = 35
ASKED = ("spin", "heavy", "coat", "use")


class Shop:
    """Seven pieces, one place, and every verb that changes what a piece is made of or carries."""

    def __init__(self, seed: int) -> None:
        self.cast, self.chance = Cast.open(), Random(seed)
        self.now = when("Mon 06:00")
        self.cast.place()
        self.cast.material()
        self.cast.read("Mon 05:00", 18.0, 55.0)
        for tag in TAGS:
            self.cast.piece(tag, at="Mon 05:30")
        self.glued: list[str] = []
        self.told: list[UUID] = []

    def tell(self, verb: str, *, ago_h: int = 0, **said: Any) -> UUID:
        ident = uuid4()
        at = self.now - timedelta(hours=ago_h)
        self.cast.do(verb, at, arrived=self.now, ident=ident, **said)
        self.told.append(ident)
        return ident

    def any_piece(self) -> UUID:
        return self.cast.id(self.chance.choice(TAGS))

    def step(self) -> None:
        """Time passes, and something is told."""
        self.now += timedelta(minutes=self.chance.choice([5, 60, 240, 600]))
        self.act()

    def act(self) -> None:
        """Something is told now."""
        acts: list[Callable[[], object]] = [
            self.made_from,
            self.made_from,
            self.glue,
            self.glue,
            self.read,
            self.read,
            self.declared,
            self.off,
            self.witness,
            self.lost,
            self.swap,
            self.strike,
            self.moved,
        ]
        try:
            self.chance.choice(acts)()
        except Refusal:
            return  # an impossible shape; nothing was told

    def made_from(self) -> None:
        parts = (self.any_piece(),)
        self.tell(
            "made_from", ago_h=self.chance.choice([0, 3]), piece=self.any_piece(), made_from=parts
        )

    def glue(self) -> None:
        name = f"G{len(self.glued)}"
        tag = self.chance.choice(TAGS)
        self.tell(
            "spread_began",
            glue_up=self.cast.id(name),
            name=name,
            label=self.cast.id("PVA-G label"),
            place=self.cast.id("Shed"),
            joints=(JointSaid(uuid4(), self.cast.id(tag), f"{name} {tag}"),),
        )
        self.tell("pressure_on", glue_up=self.cast.id(name))
        self.glued.append(name)

    def read(self) -> None:
        temp_c = float(self.chance.choice([4, 9, 12, 18, 18, 22]))
        self.tell("reading_taken", place=self.cast.id("Shed"), temp_c=temp_c, rh_pct=55.0)

    def declared(self) -> None:
        for tag in TAGS:
            self.tell("joints_declared", piece=self.cast.id(tag))

    def off(self) -> None:
        if self.glued:
            self.tell("clamps_off", glue_up=self.cast.id(self.chance.choice(self.glued)))

    def witness(self) -> None:
        if self.glued:
            one = self.cast.id(self.chance.choice(self.glued))
            self.tell("witness", glue_up=one, torn_tenths=self.chance.choice([1, 9]))

    def lost(self) -> None:
        if self.chance.random() < 0.3:
            self.tell("piece_lost", piece=self.any_piece(), why="cracked")

    def swap(self) -> None:
        since = self.now - timedelta(hours=self.chance.choice([1, 20]))
        self.tell("records_swapped", first=self.any_piece(), second=self.any_piece(), since=since)

    def moved(self) -> None:
        self.tell("number_moved", pieces=(self.any_piece(),), where="tenon")

    def strike(self) -> None:
        if self.told:
            self.tell("struck_out", target=self.chance.choice(self.told), reason="told wrongly")


def assert_no_circle(shop: Shop) -> None:
    parts = parts_of(shop.cast.workshop)
    for whole, own in parts.items():
        assert whole not in closure(own, parts)


def assert_no_green_spin_that_is_short_or_suspect(shop: Shop) -> None:
    parts = parts_of(shop.cast.workshop)
    pieces = list(Piece.objects.filter(workshop=shop.cast.workshop))
    answers = spin_answers(shop.cast.workshop, pieces, shop.now)
    for piece in pieces:
        if answers[piece.id].word != Word.YES:
            continue
        carried = closure([piece.id], parts)
        waits = Wait.objects.filter(piece__in=carried, joint__isnull=False, open=True)
        assert not Suspicion.objects.filter(wait__in=waits, cleared_by=None)
        for gate in Gate.objects.filter(wait__in=waits, kind="spin"):
            # Never warmer than the label counts here, so the wall clock cannot have given less.
            assert shop.now - gate.began_at >= timedelta(microseconds=gate.need_us)


def standing(shop: Shop) -> dict[str, Any]:
    """Clocks, gates and answers, without the numbers that rows are stored under."""
    mine = {"workshop": shop.cast.workshop}
    ids = list(Piece.objects.filter(**mine).values_list("id", flat=True))
    clocks = Clock.objects.filter(**mine)
    columns = ("wait", "kind", "began_at", "stay_at", "need_us", "sure_need_us", "margin", "state")
    answers = {act: may(shop.cast.workshop, ids, act, shop.now) for act in ASKED}
    doubts = Suspicion.objects.filter(**mine).values_list("wait", "cause", "at", "cleared_by")
    return {
        "clocks": sorted(
            map(repr, clocks.values_list("place", "response_hash", "stance", "lag_s"))
        ),
        "gates": sorted(map(repr, Gate.objects.filter(**mine).values_list(*columns))),
        "doubts": sorted(map(repr, doubts)),
        "answers": {act: sorted(map(repr, told.items())) for act, told in answers.items()},
    }


@pytest.mark.parametrize("seed", drawn(range(8)))
def test_lineage_stays_acyclic_and_no_spin_is_green_too_soon(seed: int) -> None:
    shop = Shop(seed)
    for _ in range(STEPS):
        shop.step()
        assert_no_circle(shop)
        assert_no_green_spin_that_is_short_or_suspect(shop)
    assert differences(shop.cast.workshop, shop.now) == []


@pytest.mark.parametrize("seed", drawn(range(20, 28)))
def test_what_is_struck_out_at_once_never_was_and_keeps_its_line(seed: int) -> None:
    shop = Shop(seed)
    for _ in range(STEPS // 2):
        shop.step()
    struck = 0
    for _ in range(12):
        before, known = standing(shop), len(shop.told)
        shop.act()
        fresh = shop.told[known:]
        sent = set(Alert.objects.exclude(told_at=None).values_list("id", flat=True))
        for ident in reversed(fresh):
            shop.tell("struck_out", target=ident)
        if not fresh:
            continue
        struck += 1
        assert standing(shop) == before
        lines = set(Event.objects.values_list("id", flat=True))
        lines |= set(Reading.objects.values_list("id", flat=True))
        assert set(fresh) <= lines
        assert set(Alert.objects.values_list("id", flat=True)) >= sent
    assert struck >= 4
