"""Random shops: whatever is told in whatever order, a rebuild from the facts changes nothing,
and nobody is ever sent to the lathe with a joint that is short, suspect or undeclared."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID, uuid4

import pytest

from cureclock.core.lathe import Word
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us
from cureclock.shop.models import Piece
from cureclock.waits.ages import Ages, response_of
from cureclock.waits.lathe import spin_answer
from cureclock.waits.models import Gate, Seen, Suspicion
from cureclock.waits.rebuild import differences
from tests.cast import Cast, when
from tests.draws import drawn

pytestmark = pytest.mark.django_db(transaction=False)

PLACES = ("Shed", "Box")
LABELS = ("PVA-G", "Urea", "UF", "Water")
RESULTS = ("tacky", "soft", "ready", "bad", "witness")
STEPS = 30


def steps(chance: Random) -> Iterator[tuple[Any, ...]]:
    """A day or two of a busy shop: mostly readings, many of them late, and all the rest."""
    for _ in range(STEPS):
        temp_c = float(chance.randint(-5, 32))
        ago, number = chance.choice([0, 0, 0, 1, 3, 9, 26]), chance.randint(0, 40)
        yield chance.choice(
            [
                ("read", chance.choice(PLACES), temp_c, ago),
                ("read", "Shed", temp_c, ago),
                ("read", "Shed", temp_c, 0),
                ("glue", chance.choice(LABELS), chance.randint(0, 6)),
                ("glue", chance.choice(LABELS), 0),
                ("carry", chance.choice(LABELS), chance.randint(0, 6)),
                ("off", number, chance.randint(0, 5)),
                ("move", number, chance.choice(PLACES), chance.randint(0, 8)),
                ("strike", number),
                ("lowest", temp_c),
                ("expect", temp_c, chance.random() < 0.5),
                ("again", number),
                ("check", number, chance.choice(RESULTS), chance.randint(0, 9)),
                ("check", number, chance.choice(RESULTS), 0),
                ("bottle", chance.choice(LABELS), chance.randint(0, 9)),
            ]
        )


class Shop:
    """A cast, a clock that only moves on, and a note of everything told."""

    def __init__(self) -> None:
        self.cast = Cast.open()
        self.now = when("Mon 06:00")
        for name in ("Shed", "Box"):
            self.cast.place(name)
        self.cast.material()
        self.cast.material("Urea", "urea_powder", {})
        self.cast.material("UF", "urea_two_part_normal", {})
        self.cast.material(
            "Water", "pva_cross_linking", {"response_kind": "water_loss", "air_weight": 0.5}
        )
        self.glued = 0
        self.told: list[tuple[str, datetime, UUID, dict[str, Any]]] = []

    def tell(self, verb: str, at: datetime, ident: UUID | None = None, **said: Any) -> None:
        ident = ident or uuid4()
        self.cast.do(verb, at, arrived=self.now, ident=ident, **said)
        self.told.append((verb, at, ident, said))

    def step(self, what: tuple[Any, ...]) -> None:
        self.now += timedelta(minutes=97)
        getattr(self, what[0])(*what[1:])

    def read(self, place: str, temp_c: float, hours_ago: int) -> None:
        at = self.now - timedelta(hours=hours_ago, minutes=7 * (hours_ago % 5))
        damp = 40.0 + 3 * (hours_ago % 7) if temp_c > 0 else None
        self.tell("reading_taken", at, place=self.cast.id(place), temp_c=temp_c, rh_pct=damp)

    def glue(self, label: str, hours_ago: int) -> None:
        self.glued += 1
        tag = f"P-{self.glued}"
        at = self.now - timedelta(hours=hours_ago)
        self.cast.piece(tag, at=at)
        self.press(tag, label, hours_ago)

    def carry(self, label: str, hours_ago: int) -> None:
        """Thick wood carried from one place to the other not long before it is glued there."""
        self.glued += 1
        tag = f"P-{self.glued}"
        at = self.now - timedelta(hours=hours_ago)
        self.cast.piece(tag, at=at)
        ways = ("Shed", "Box") if hours_ago % 2 else ("Box", "Shed")
        for place, hours in zip(ways, (9, 1), strict=True):
            moved = {"piece": self.cast.id(tag), "place": self.cast.id(place)}
            self.tell("moved_place", at - timedelta(hours=hours), **moved)
        self.press(tag, label, hours_ago)

    def press(self, tag: str, label: str, hours_ago: int) -> None:
        """Every other of thick wood, so that it lags the air."""
        at = self.now - timedelta(hours=hours_ago)
        thick = (None, 75.0, None, 25.0)[self.glued % 4]
        self.cast.spread(f"G{self.glued}", [tag], at, label=f"{label} label", thickness_mm=thick)
        self.tell(
            "pressure_on",
            at + timedelta(minutes=5) if hours_ago else at,
            glue_up=self.cast.id(f"G{self.glued}"),
        )
        self.cast.do("joints_declared", self.now, piece=self.cast.id(tag))

    def off(self, number: int, hours_ago: int) -> None:
        if self.glued:
            name = f"G{1 + number % self.glued}"
            self.tell(
                "clamps_off", self.now - timedelta(hours=hours_ago), glue_up=self.cast.id(name)
            )

    def check(self, number: int, result: str, hours_ago: int) -> None:
        if not self.glued:
            return
        at = self.now - timedelta(hours=hours_ago, minutes=11)
        about = {"glue_up": self.cast.id(f"G{1 + number % self.glued}")}
        if result == "witness":
            self.tell("witness", at, torn_tenths=9, **about)
        else:
            gate = "clamps_off" if number % 2 else "light"
            self.tell("checked", at, gate=gate, result=result, **about)

    def bottle(self, label: str, hours_ago: int) -> None:
        """Another bottle's label is read: what was begun since is trusted anew."""
        at = self.now - timedelta(hours=hours_ago, minutes=13)
        family = {"PVA-G": "pva_interior", "Urea": "urea_powder", "UF": "urea_two_part_normal",
                  "Water": "pva_cross_linking"}[label]  # fmt: skip
        self.tell("label_read", at, material=self.cast.id(label), label=uuid4(), name=label,
                  family=family, values={"light": 4.0}, container=f"bottle {at}")  # fmt: skip

    def move(self, number: int, place: str, hours_ago: int) -> None:
        if self.glued:
            name = f"G{1 + number % self.glued}"
            at = self.now - timedelta(hours=hours_ago)
            self.tell("moved_place", at, glue_up=self.cast.id(name), place=self.cast.id(place))

    def strike(self, number: int) -> None:
        if self.told:
            target = self.told[number % len(self.told)][2]
            self.tell("struck_out", self.now, target=target, reason="told wrongly")

    def lowest(self, temp_c: float) -> None:
        self.tell("lowest_last_night", self.now, place=self.cast.id("Shed"), temp_c=temp_c)

    def expect(self, temp_c: float, off: bool) -> None:
        self.tell(
            "air_expected",
            self.now,
            place=self.cast.id("Shed"),
            outside_low_c=temp_c,
            heater_off=off,
        )

    def again(self, number: int) -> None:
        if self.told:
            verb, at, ident, said = self.told[number % len(self.told)]
            self.cast.do(verb, at, arrived=self.now, ident=ident, **said)


def assert_no_false_yes(shop: Shop) -> None:
    for piece in Piece.objects.filter(workshop=shop.cast.workshop):
        answer = spin_answer(piece, shop.now)
        if answer.word != Word.YES:
            continue
        assert not Suspicion.objects.filter(wait__piece=piece, cleared_by=None, wait__open=True)
        for gate in Gate.objects.with_clocks().filter(
            kind="spin", wait__piece=piece, wait__open=True
        ):
            assert gate.sure_clock is not None
            banked = sum(
                Ages(leg.began_at, shop.now).between(
                    leg.place,
                    response_of(gate.sure_clock.response),
                    Stance.STRICT,
                    instant_us(max(leg.began_at, gate.began_at)),
                    instant_us(leg.ended_at or shop.now),
                )
                for leg in gate.wait.legs.all()
                if leg.ended_at is None or leg.ended_at > gate.began_at
            )
            assert banked >= gate.need_us


@pytest.mark.parametrize("seed", drawn(range(12)))
def test_a_rebuild_from_the_facts_changes_nothing(seed: int) -> None:
    shop = Shop()
    for step in steps(Random(seed)):
        shop.step(step)
    assert differences(shop.cast.workshop, shop.now) == []


@pytest.mark.parametrize("seed", drawn(range(200, 204)))
def test_what_is_learned_is_the_same_after_a_rebuild(seed: int) -> None:
    """Glued and checked all day, readings late and struck; every need is learned anew."""
    chance, shop = Random(seed), Shop()
    kinds = ("glue", "check", "check", "read", "strike", "bottle", "move", "again")
    for _ in range(3):
        for step in (one for one in steps(chance) if one[0] in kinds):
            shop.step(step)
    assert Seen.objects.filter(workshop=shop.cast.workshop).count() >= 3
    assert differences(shop.cast.workshop, shop.now) == []


@pytest.mark.parametrize("seed", drawn(range(100, 106)))
def test_no_piece_is_sent_to_the_lathe_short_or_suspect(seed: int) -> None:
    shop = Shop()
    for step in steps(Random(seed)):
        shop.step(step)
        assert_no_false_yes(shop)
