"""Learning wired in: what checks and witnesses teach waits begun later, and nothing else."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from cureclock.api.view import View, view
from cureclock.shop.happening import Teller
from cureclock.shop.models import Phone
from cureclock.shop.refusals import Refusal
from cureclock.waits.models import Gate, Seen
from cureclock.waits.one_group import one_why
from cureclock.waits.rebuild import differences
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db
LIGHT_H = 4.0
HOUR_US = 3_600_000_000


@pytest.fixture
def cast() -> Cast:
    """A shed at the label's own 20 degC all month, so that an hour is a label-hour."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.read("Mon 00:00", 20.0, 55.0)
    return cast


def warm(cast: Cast, days: int) -> None:
    """Readings every half day, so that every leg is known."""
    for half in range(1, 2 * days + 1):
        cast.read(f"{half // 2} {12 * (half % 2):02}:00", 20.0, 55.0)


def glued(cast: Cast, name: str, at: str) -> None:
    cast.piece(f"P {name}", at=at)
    cast.spread(name, [f"P {name}"], at)
    cast.press(name, at)


def seen(cast: Cast, name: str, at: str, result: str, gate: str = "light", **how: Any) -> None:
    cast.do("checked", at, glue_up=cast.id(name), gate=gate, result=result, **how)


def need_h(cast: Cast, name: str, kind: str = "light") -> float:
    gate = Gate.objects.get(wait__glue_up=cast.id(name), kind=kind)
    return gate.need_us / HOUR_US


def margin(cast: Cast, name: str, kind: str = "light") -> float:
    return Gate.objects.get(wait__glue_up=cast.id(name), kind=kind).margin


def same(cast: Cast, at: str = "30 00:00") -> None:
    assert differences(cast.workshop, when(at)) == []


def test_a_check_lengthens_what_is_begun_after_it_and_nothing_before(cast):
    glued(cast, "G1", "Mon 08:00")
    glued(cast, "G2", "Mon 12:00")
    seen(cast, "G1", "Mon 13:00", "tacky")
    seen(cast, "G1", "Mon 13:30", "ready")
    glued(cast, "G3", "Mon 14:00")
    cast.read("Mon 15:00", 20.0, 55.0)
    assert need_h(cast, "G1") == need_h(cast, "G2") == LIGHT_H
    assert need_h(cast, "G3") == 5.5
    assert need_h(cast, "G3", "heavy") == 12.0, "each gate learns by itself"
    same(cast)


def test_a_check_told_late_times_anew_what_was_begun_after_it_happened(cast):
    glued(cast, "G1", "Mon 08:00")
    glued(cast, "G2", "Mon 14:00")
    seen(cast, "G1", "Mon 13:00", "tacky", arrived="Mon 16:00")
    assert need_h(cast, "G2") == 5.0, "tacky at five hours, never seen ready: at least so long"
    same(cast)
    glued(cast, "G3", "Mon 12:00")
    assert need_h(cast, "G3") == LIGHT_H


def test_a_check_struck_out_teaches_nothing(cast):
    glued(cast, "G1", "Mon 08:00")
    ident = uuid4()
    seen(cast, "G1", "Mon 13:00", "tacky", ident=ident)
    glued(cast, "G2", "Mon 14:00")
    cast.do("struck_out", "Mon 14:05", target=ident, reason="it was the other one")
    assert need_h(cast, "G2") == LIGHT_H
    assert not Seen.objects.exists()
    same(cast)


def test_a_colder_reading_told_late_makes_of_the_check_what_it_really_saw(cast):
    glued(cast, "G1", "Mon 08:00")
    cast.read("Mon 18:00", 20.0, 55.0)
    seen(cast, "G1", "Mon 14:00", "tacky")
    glued(cast, "G2", "Mon 19:00")
    assert need_h(cast, "G2") == 6.0
    cast.read("Mon 11:00", 17.0, 70.0, arrived="Mon 20:00")
    assert LIGHT_H < need_h(cast, "G2") < 5.6, "fewer label-hours had passed when it was tacky"
    same(cast)


def test_the_next_reading_in_order_closes_the_leg_a_check_stood_on(cast):
    glued(cast, "G1", "Mon 08:00")
    cast.read("Mon 12:00", 20.0, 55.0)
    seen(cast, "G1", "Mon 14:00", "tacky")
    glued(cast, "G2", "Mon 14:30")
    assert need_h(cast, "G2") == pytest.approx(6.0, abs=0.05)
    cast.read("Mon 16:00", 12.0, 70.0)
    assert need_h(cast, "G2") < 5.8
    same(cast)


def test_what_is_learned_in_one_place_says_nothing_of_another(cast):
    cast.place("Box")
    cast.read("Mon 00:00", 20.0, 55.0, place="Box")
    glued(cast, "G1", "Mon 08:00")
    seen(cast, "G1", "Mon 13:00", "tacky")
    cast.piece("P G2")
    cast.spread("G2", ["P G2"], "Mon 14:00", place="Box")
    cast.press("G2", "Mon 14:00")
    assert need_h(cast, "G2") == LIGHT_H


def test_five_that_agree_shorten_by_a_tenth_at_most_and_earn_trust(cast):
    for day in range(5):
        name = f"G{day}"
        glued(cast, name, f"{day} 08:00")
        seen(cast, name, f"{day} 11:00", "tacky")
        seen(cast, name, f"{day} 11:45", "ready")
    warm(cast, 8)
    glued(cast, "G6", "5 08:00")
    assert need_h(cast, "G6") == pytest.approx(3.75, abs=0.001)
    assert 0.08 <= margin(cast, "G6") < 0.20
    assert margin(cast, "G6", "heavy") == 0.20
    assert need_h(cast, "G4") == LIGHT_H, "four before it"
    same(cast)


def test_another_container_resets_trust_and_not_the_number(cast):
    for day in range(5):
        glued(cast, f"G{day}", f"{day} 08:00")
        seen(cast, f"G{day}", f"{day} 12:30", "tacky")
        seen(cast, f"G{day}", f"{day} 13:00", "ready")
    warm(cast, 8)
    glued(cast, "G6", "5 08:00")
    assert margin(cast, "G6") < 0.20
    label = uuid4()
    values = {"light": 4.0, "spin": 24.0}
    common = {"material": cast.id("PVA-G"), "name": "PVA-G", "family": "pva_interior"}
    cast.do("label_read", "5 09:00", label=label, values=values, container="bottle 2", **common)
    cast.do("label_read", "5 10:00", label=uuid4(), values=values, container="bottle 3", **common)
    glued(cast, "G7", "5 11:00")
    assert need_h(cast, "G7") == need_h(cast, "G6") == 5.0
    assert margin(cast, "G7") == 0.20
    same(cast)


def test_a_container_told_of_late_resets_trust_of_what_was_begun_since(cast):
    for day in range(5):
        glued(cast, f"G{day}", f"{day} 08:00")
        seen(cast, f"G{day}", f"{day} 11:30", "tacky")
        seen(cast, f"G{day}", f"{day} 12:10", "ready")
    warm(cast, 8)
    glued(cast, "G6", "5 08:00")
    earned = margin(cast, "G6")
    assert earned < 0.20
    common = {"material": cast.id("PVA-G"), "name": "PVA-G", "family": "pva_interior"}
    event = uuid4()
    cast.do("label_read", "5 07:00", arrived="5 12:00", label=uuid4(), values={"light": 4.0},
            container="bottle 2", ident=event, **common)  # fmt: skip
    assert margin(cast, "G6") == 0.20
    same(cast)
    cast.do("struck_out", "5 12:05", target=event, reason="it was the glue for the kitchen")
    assert margin(cast, "G6") == earned
    same(cast)


def test_a_bottle_opened_resets_trust_and_opened_again_does_not(cast):
    common = {"material": cast.id("PVA-G"), "name": "bottle 2"}
    cast.do("container_taken_in", "Mon 01:00", container=cast.id("bottle 2"), **common)
    cast.do("container_opened", "Mon 02:00", container=cast.id("bottle 2"))
    for day in range(5):
        glued(cast, f"G{day}", f"{day} 08:00")
        seen(cast, f"G{day}", f"{day} 11:30", "tacky")
        seen(cast, f"G{day}", f"{day} 12:10", "ready")
    warm(cast, 8)
    cast.do("container_opened", "5 06:00", container=cast.id("bottle 2"))
    glued(cast, "G6", "5 08:00")
    assert margin(cast, "G6") < 0.20
    cast.do("container_taken_in", "5 08:10", container=cast.id("bottle 3"), **common)
    event = uuid4()
    cast.do(
        "container_opened", "5 07:00", arrived="5 09:00", container=cast.id("bottle 3"), ident=event
    )
    assert margin(cast, "G6") == 0.20
    same(cast)
    cast.do("struck_out", "5 09:05", target=event, reason="not that one")
    assert margin(cast, "G6") < 0.20
    same(cast)


def test_only_witnesses_broken_in_wood_count_where_it_can_hurt(cast):
    for day in range(5):
        glued(cast, f"G{day}", f"{day} 00:00")
        seen(cast, f"G{day}", f"{day} 12:00", "ready", gate="spin")
        seen(cast, f"G{day}", f"{day} 13:00", "tacky", gate="spin")
        cast.do("witness", f"{day + 1} 00:30", glue_up=cast.id(f"G{day}"), torn_tenths=5)
    glued(cast, "G6", "7 08:00")
    assert not Seen.objects.exists()
    assert margin(cast, "G6", "spin") == 0.20
    for day in range(5):
        cast.do("witness", f"{day + 1} 00:40", arrived="6 00:00", glue_up=cast.id(f"G{day}"),
                torn_tenths=9)  # fmt: skip
    warm(cast, 8)
    assert need_h(cast, "G6", "spin") == 24.0
    assert margin(cast, "G6", "spin") < 0.20
    assert margin(cast, "G6", "service") == 0.20, "nobody broke one at seventy-two hours"
    same(cast)


def test_witnesses_told_late_never_hasten_a_yes_that_was_told(cast):
    for day in range(5):
        glued(cast, f"G{day}", f"{day} 00:00")
    glued(cast, "G6", "7 08:00")
    gate = Gate.objects.get(wait__glue_up=cast.id("G6"), kind="spin")
    for day in range(5):
        cast.do("witness", f"{day + 1} 00:40", arrived="7 12:00", glue_up=cast.id(f"G{day}"),
                torn_tenths=9)  # fmt: skip
    again = Gate.objects.get(pk=gate.pk)
    assert (again.margin, again.sure_need_us) == (gate.margin, gate.sure_need_us)
    same(cast)


def test_the_bad_and_the_early_say_nothing(cast):
    glued(cast, "G1", "Mon 08:00")
    seen(cast, "G1", "Mon 13:00", "bad")
    seen(cast, "G1", "Mon 07:00", "tacky")
    assert not Seen.objects.exists()


def test_tacky_after_ready_counts(cast):
    glued(cast, "G1", "Mon 08:00")
    seen(cast, "G1", "Mon 12:30", "ready")
    seen(cast, "G1", "Mon 13:00", "soft")
    seen(cast, "G1", "Mon 14:00", "ready")
    glued(cast, "G2", "Mon 15:00")
    assert need_h(cast, "G2") == 6.0


@pytest.mark.parametrize("gate", ["keep", "", "recoat_opens", "open_time", "x" * 10_000])
def test_a_gate_that_no_joint_has_is_refused(cast, gate):
    glued(cast, "G1", "Mon 08:00")
    with pytest.raises(Refusal, match="one of"):
        seen(cast, "G1", "Mon 13:00", "tacky", gate=gate)


def test_why_shows_label_learned_need_and_every_look(cast):
    glued(cast, "G1", "Mon 08:00")
    seen(cast, "G1", "Mon 13:00", "tacky")
    seen(cast, "G1", "Mon 13:30", "ready")
    glued(cast, "G2", "Mon 08:30")
    seen(cast, "G2", "Mon 13:00", "tacky")
    glued(cast, "G3", "Mon 14:00")
    cast.read("Mon 14:30", 20.0, 55.0)
    gate = Gate.objects.get(wait__glue_up=cast.id("G3"), kind="light")
    told = one_why(cast.workshop, gate.id, when("Mon 15:00"))
    assert told.learned is not None
    assert (told.learned.label_h, told.learned.need_h, told.need_h) == (4.0, 5.5, 5.5)
    assert [(one.name, one.value) for one in told.factors] == [("learned", 1.375)]
    looks = [(one.of.name, one.after_h, one.until_h) for one in told.learned.looks]
    assert looks == [("G2", 4.5, None), ("G1", 5.0, 5.5)]
    assert (told.learned.checks, told.learned.agreeing) == (2, 1)
    before = Gate.objects.get(wait__glue_up=cast.id("G2"), kind="light")
    assert one_why(cast.workshop, before.id, when("Mon 15:00")).learned is None


def shown(cast: Cast, at: str) -> View:
    """The view on a phone of the owner."""
    phone = Phone(id=uuid4(), name="Phone")
    return view(Teller(cast.workshop, cast.owner.person, cast.owner.role, phone), when(at))


def test_the_view_shows_it_beside_the_label_and_starts_count_with_it(cast):
    glued(cast, "G1", "Mon 08:00")
    plain = shown(cast, "Mon 14:00")
    seen(cast, "G1", "Mon 13:00", "tacky")
    seen(cast, "G1", "Mon 13:30", "ready")
    told = shown(cast, "Mon 14:00")
    (learned,) = told.materials[0].learned
    assert (learned.gate, learned.place.name, learned.coat_number) == ("light", "Shed", 0)
    assert (learned.label_h, learned.need_h, learned.checks) == (4.0, 5.5, 1)
    assert plain.materials[0].learned == ()
    was, now = (one.offsets[0].gates["light"][0] for one in (plain, told))
    assert (was, now) == (4.0, 5.5)


def test_a_stranger_learns_nothing_of_it(cast):
    glued(cast, "G1", "Mon 08:00")
    seen(cast, "G1", "Mon 13:00", "tacky")
    other = Cast.open("Other shed")
    other.place()
    other.material()
    glued(other, "G2", "Mon 14:00")
    assert need_h(other, "G2") == LIGHT_H
    assert shown(other, "Mon 15:00").materials[0].learned == ()


def coated(cast: Cast, name: str, at: str, minutes: int = 20) -> None:
    """A coat on the one zone that every coat goes on."""
    started = when(at)
    cast.do("coat_began", started, coat=cast.id(name), name=name, label=cast.id("Varnish label"),
            place=cast.id("Shed"), zones=(cast.id("Q/stem"),))  # fmt: skip
    cast.do("coat_ended", started + timedelta(minutes=minutes), coat=cast.id(name))


@pytest.fixture
def stand(cast) -> Cast:
    from cureclock.actions.pieces_made import ZoneSaid

    cast.material("Varnish", "varnish_wiping", {"recoat_opens": 8.0, "min_c": 10.0})
    cast.piece("Q", zones=(ZoneSaid(cast.id("Q/stem"), "stem"),))
    return cast


def recoat_h(cast: Cast, name: str) -> float:
    gate = Gate.objects.get(wait__coat=cast.id(name), kind="recoat_opens")
    return gate.need_us / HOUR_US


def test_a_first_coat_teaches_first_coats_and_its_hours_count_from_the_end(stand):
    coated(stand, "C1", "Mon 08:00")
    stand.do("checked", "Mon 17:20", coat=stand.id("C1"), gate="recoat_opens", result="tacky")
    coated(stand, "C2", "Mon 18:00")
    assert recoat_h(stand, "C2") == 8.0, "a second coat on the same zone"
    row = Seen.objects.get()
    assert (row.coat_number, row.age_us) == (1, 9 * HOUR_US)
    same(stand)


def test_an_earlier_coat_told_late_makes_second_coats_of_the_others(stand):
    coated(stand, "C2", "Mon 18:00")
    stand.do("checked", "Tue 05:20", coat=stand.id("C2"), gate="recoat_opens", result="tacky")
    assert Seen.objects.get().coat_number == 1
    coated(stand, "C1", "Mon 08:00")
    assert Seen.objects.get().coat_number == 2
    same(stand)
