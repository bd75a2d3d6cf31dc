"""A thick block glued after a cold night: falling air counts as air, rising air as wood.

75 mm lag by 2.26 h (slab, both faces in still air), so they stand on the clocks of 4 h. The shed
was at 12 degC for two days and is heated to 20 at 08:00; pressed at 09:00. With a = 0.8 ln 2 =
0.5545 the wood's rate is exp(-a e^(-t/4)), t hours from 08:00, and what it loses on the label for
ever after is 4 Ein(u), u = a e^(-1/4) = 0.4318:

    Ein(u) = u - u2/4 + u3/18 - u4/96 + ... = 0.4318 - 0.0466 + 0.0045 - 0.0004 = 0.3894

4 x 0.3894 = 1.557 h = 1 h 33. Spin needs 24 label-hours, surely 24 x 1.2 = 28 h 48: by air at 13:48
the next day, by wood at 15:21.
"""

from datetime import datetime, timedelta
from itertools import permutations
from uuid import UUID, uuid5

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cureclock.core.lathe import Word
from cureclock.shop.models import Piece
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import effective
from cureclock.waits.figures import Instants, figures_of
from cureclock.waits.lathe import spin_answer
from cureclock.waits.models import Clock, Gate, Leg, Suspicion, Wait
from cureclock.waits.one_group import one_why
from cureclock.waits.rebuild import differences
from tests.bench.bench_reading import multiply
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db

NIGHT = [
    ("Mon 00:00", 12.0),
    ("Mon 12:00", 12.0),
    ("Tue 00:00", 12.0),
    ("Tue 08:00", 12.0),
    ("Tue 08:01", 20.0),
    ("Tue 20:00", 20.0),
    ("Wed 08:00", 20.0),
    ("Wed 16:00", 20.0),
]
NEAR = timedelta(minutes=1)


def shop() -> Cast:
    cast = Cast.open()
    cast.place()
    cast.place("Box")
    cast.material()
    return cast


def pressed(cast: Cast, name: str = "G", thickness_mm: float | None = 75.0) -> Cast:
    cast.piece(name)
    cast.spread(name, [name], "Tue 08:55", thickness_mm=thickness_mm)
    cast.press(name, "Tue 09:00")
    cast.do("joints_declared", "Tue 09:00", piece=cast.id(name))
    return cast


def read(cast: Cast, readings: list[tuple[str, float]], place: str = "Shed") -> None:
    for at, temp_c in readings:
        ident = uuid5(UUID(int=0), f"{place} {at}")
        cast.read(at, temp_c, place=place, arrived=max(when(at), when("Tue 09:00")), ident=ident)


def spin(cast: Cast, name: str, at: str = "Wed 16:00") -> Instants:
    gates = Gate.objects.with_clocks().filter(kind="spin", wait__glue_up=cast.id(name))
    (instants,) = figures_of(list(gates), Ages(when("Tue 08:00"), when(at))).values()
    return instants


def near(found: datetime | None, wanted: str) -> bool:
    assert found is not None
    return abs(found - when(wanted)) <= NEAR


def rows(cast: Cast) -> set[tuple[object, ...]]:
    """Every threshold and clock, ages counted from the last reading."""
    found: set[tuple[object, ...]] = set()
    for gate in Gate.objects.with_clocks().filter(workshop=cast.workshop):
        for name in ("bare", "act", "sure"):
            row: Clock | None = getattr(gate, f"{name}_clock")
            if row is not None:
                threshold = getattr(gate, f"{name}_us")
                left = effective(row, threshold, gate.placed, gate.stay_at) - row.age_us
                stands = (row.lag_s, row.way_id is None, row.read_at, row.next_due_at)
                found.add((gate.wait.piece.tag, gate.kind, name, *stands, left))
    return found


def test_sure_waits_for_the_wood_and_bare_for_the_air_alone() -> None:
    cast = pressed(pressed(shop(), "thin", None))
    read(cast, NIGHT)
    assert near(spin(cast, "thin").sure, "Wed 13:48")
    assert near(spin(cast, "G").sure, "Wed 15:21")
    assert near(spin(cast, "G").bare, "Wed 09:00")
    assert spin(cast, "G").bare == spin(cast, "thin").bare
    assert differences(cast.workshop, when("Wed 16:00")) == []


def test_the_lathe_says_yes_to_the_thick_block_when_its_wood_allows() -> None:
    cast = pressed(pressed(shop(), "thin", None))
    read(cast, NIGHT[:-1])
    thick, thin = (Piece.objects.get(id=cast.id(name)) for name in ("G", "thin"))
    told = []
    for measured, asked in (("Wed 13:40", "Wed 13:45"), ("Wed 14:20", "Wed 14:30"),
                            ("Wed 15:25", "Wed 15:30")):  # fmt: skip
        cast.read(measured, 20.0)
        told.append([spin_answer(piece, when(asked)).word for piece in (thin, thick)])
    assert told == [
        [Word.NOT_YET, Word.NOT_YET],
        [Word.YES, Word.NOT_YET],
        [Word.YES, Word.YES],
    ]


def test_waits_of_one_bin_share_their_clocks_and_thin_wood_stands_apart() -> None:
    cast = shop()
    for name, thickness_mm in (("A", 75.0), ("B", 90.0), ("C", 40.0), ("D", None)):
        pressed(cast, name, thickness_mm)
    read(cast, NIGHT)
    lags = dict(Wait.objects.values_list("piece__tag", "lag_s"))
    assert lags == {"A": 14_400, "B": 14_400, "C": 3_600, "D": 0}
    sure = {wait: set(Gate.objects.filter(wait__piece__tag=wait, kind="spin").values_list("sure_clock"))
            for wait in "ABCD"}  # fmt: skip
    assert sure["A"] == sure["B"]
    assert len({frozenset(one) for one in sure.values()}) == 3
    bare = Gate.objects.filter(kind="spin").values_list("bare_clock")
    assert len(set(bare)) == 1


def test_cold_wood_in_warm_air_spoils_a_film() -> None:
    """At 6 degC till 08:00: the middle is at 20 - 14 e^(-1/4) = 9.1 degC when pressed at 09:00."""
    cast = pressed(pressed(shop(), "thin", None))
    read(cast, [(at, 6.0 if temp_c == 12.0 else temp_c) for at, temp_c in NIGHT])
    (doubt,) = Suspicion.objects.all()
    assert (doubt.wait.piece.tag, doubt.cause, doubt.at) == ("G", "cold", when("Tue 09:00"))
    assert doubt.temp_c == pytest.approx(20 - 14 * 0.7788, abs=0.05)


def test_the_lag_never_puts_off_a_cold_that_comes() -> None:
    """Air falling below the floor counts as air: thick and thin are suspect from one instant on."""
    cast = pressed(pressed(shop(), "thin", None))
    read(cast, [("Mon 00:00", 18.0), ("Mon 12:00", 18.0), ("Tue 00:00", 18.0), ("Tue 09:00", 18.0),
                ("Tue 10:00", 4.0)])  # fmt: skip
    crossed = set(Suspicion.objects.values_list("at", flat=True))
    assert Suspicion.objects.count() == 2
    assert len(crossed) == 1


def test_readings_in_any_order_give_the_same_rows() -> None:
    orders = list(permutations(NIGHT))
    told = []
    for order in (NIGHT, orders[15_838]):
        cast = pressed(pressed(shop(), "thin", None))
        read(cast, list(order))
        told.append(rows(cast))
        assert differences(cast.workshop, when("Wed 16:00")) == []
        cast.workshop.delete()
    assert told[0] == told[1]


def carried(cast: Cast, shed_c: float = 12.0) -> Cast:
    """From a cold shed to the box at 20 degC at 09:00; spread and pressed there at 09:30."""
    cold = ("Mon 00:00", "Mon 12:00", "Tue 00:00", "Tue 08:58")
    read(cast, [(at, shed_c) for at in cold])
    read(cast, [("Mon 00:00", 20.0), ("Mon 12:00", 20.0), ("Tue 00:00", 20.0), ("Tue 08:59", 20.0)],
         "Box")  # fmt: skip
    cast.piece("C")
    cast.do("moved_place", "Mon 00:00", piece=cast.id("C"), place=cast.id("Shed"))
    cast.do("moved_place", "Tue 09:00", piece=cast.id("C"), place=cast.id("Box"))
    cast.spread("C", ["C"], "Tue 09:30", place="Box", thickness_mm=75.0)
    cast.press("C", "Tue 09:30")
    return cast


def test_wood_carried_in_cold_runs_on_a_clock_of_its_own_till_it_is_no_different() -> None:
    """By pencil as above with t from 09:00: u = 0.5545 e^(-1/8) = 0.4893, Ein = 0.4354, 1 h 44 lost:
    sure at 16:02. From the first reading after 09:00 + 4 x 4 h on, its last 2.4 minutes of loss
    (4 Ein(0.5545 e^-4) = 0.041 h) are let go: 16:00."""
    cast = carried(shop())
    read(cast, [("Tue 20:00", 20.0), ("Wed 00:30", 20.0)], "Box")
    own = Clock.objects.filter(way_id__isnull=False)
    assert own.exists()
    assert Leg.objects.filter(before=True).count() == 1
    # What is not yet read counts 1.15 times as long: held at 20 from 00:30 on.
    assert differences(cast.workshop, when("Wed 00:30")) == []
    read(cast, [("Wed 01:30", 20.0), ("Wed 12:00", 20.0), ("Wed 17:00", 20.0)], "Box")
    assert not own.exists()
    assert near(spin(cast, "C", "Wed 17:00").sure, "Wed 16:00")
    assert near(spin(cast, "C", "Wed 17:00").bare, "Wed 09:30")
    assert differences(cast.workshop, when("Wed 17:00")) == []


def test_its_own_clock_counts_what_a_pencil_does() -> None:
    """Of keep-warm, 2 label-hours on the strict clock: from 09:30, t from 09:00, the share lost is
    (4/2) (Ein(0.4893) - Ein(0.5545 e^(-t/4))); at 12:00 t = 3, u = 0.2619, Ein = 0.2457: 0.76 h
    lost of 2.5, so 1.74 banked; the other 0.26 at about 0.78 take 20 minutes: 12:19."""
    cast = carried(shop())
    read(cast, [("Tue 20:00", 20.0)], "Box")
    gates = Gate.objects.with_clocks().filter(kind="keep_warm")
    (told,) = figures_of(list(gates), Ages(when("Tue 08:00"), when("Tue 20:00"))).values()
    assert told.act is not None
    assert abs(told.act - when("Tue 12:19")) < timedelta(minutes=2)


def test_wood_carried_in_too_cold_spoils_a_film_in_warm_air() -> None:
    """At 4 degC it is at 20 - 16 e^(-1/8) = 5.9 degC when pressed; known with the next reading."""
    cast = carried(shop(), 4.0)
    assert not Suspicion.objects.exists()
    read(cast, [("Tue 09:45", 20.0)], "Box")
    (doubt,) = Suspicion.objects.all()
    assert (doubt.cause, doubt.at) == ("cold", when("Tue 09:30"))
    assert doubt.temp_c == pytest.approx(20 - 16 * 0.8825, abs=0.05)
    assert differences(cast.workshop, when("Tue 09:45")) == []


def test_what_a_place_is_told_late_changes_the_wood_that_left_it() -> None:
    """The shed is found to have been at 8 degC before: the block came in colder."""
    cast = carried(shop())
    read(cast, [("Tue 20:00", 20.0), ("Wed 12:00", 20.0), ("Wed 17:00", 20.0)], "Box")
    before = spin(cast, "C", "Wed 17:00").sure
    cast.read("Tue 04:00", 4.0, arrived="Wed 17:00")
    after = spin(cast, "C", "Wed 17:00").sure
    assert before is not None
    assert after is not None
    assert after > before
    assert differences(cast.workshop, when("Wed 17:00")) == []


def test_a_reading_sends_as_much_with_ten_gates_open_as_with_a_thousand() -> None:
    sent = []
    for gates in (10, 1_000):
        cast = pressed(shop())
        read(cast, NIGHT[:5])
        cast.read("Tue 09:15", 20.0)
        multiply(cast, gates)
        cast.read("Tue 09:30", 19.0)
        with CaptureQueriesContext(connection) as caught:
            cast.read("Tue 09:45", 18.0)
        sent.append([query["sql"].split(" ", 1)[0] for query in caught.captured_queries])
        cast.workshop.delete()
    assert sent[0] == sent[1]


def test_why_says_how_thick_the_wood_is_and_what_the_air_alone_would_give() -> None:
    cast = pressed(pressed(shop(), "thin", None))
    read(cast, NIGHT)
    gates = {gate.wait.piece.tag: gate.id for gate in Gate.objects.filter(kind="spin")}
    thick, thin = (
        one_why(cast.workshop, gates[name], when("Wed 16:00")).wood for name in ("G", "thin")
    )
    assert thick is not None
    assert thin is not None
    assert (thick.thickness_mm, thick.lag_h, thick.came_at) == (75.0, 4.0, None)
    assert thick.own_h == pytest.approx(2.26, abs=0.01)
    assert near(thick.by_air, "Wed 13:48")
    assert (thin.thickness_mm, thin.lag_h, thin.by_air) == (None, 0.0, None)


def test_why_says_when_the_wood_came_in_and_how_warm() -> None:
    cast = carried(shop())
    read(cast, [("Tue 20:00", 20.0)], "Box")
    gate = Gate.objects.get(kind="spin")
    told = one_why(cast.workshop, gate.id, when("Tue 20:00")).wood
    assert told is not None
    assert told.came_at == when("Tue 09:00")
    assert told.came_c == pytest.approx(12.0, abs=0.001)


def test_the_density_of_a_known_wood_sets_the_lag() -> None:
    """45 mm: a middling hardwood lags 1.13 h, poplar 0.86 h."""
    cast = shop()
    cast.do("lot_taken_in", "Mon 00:00", lot=cast.id("plank"), name="plank", wood="poplar")
    cast.piece("light", lot=cast.id("plank"))
    cast.piece("usual")
    for name in ("light", "usual"):
        cast.spread(name, [name], "Tue 08:55", thickness_mm=45.0)
    assert dict(Wait.objects.values_list("piece__tag", "lag_s")) == {
        "light": 3_600,
        "usual": 14_400,
    }
