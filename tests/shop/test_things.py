"""What a workshop owns is as last told, by what stands."""

import pytest

from cureclock.core.refusal import Refused
from cureclock.shop.models import ThingVersion
from cureclock.shop.refusals import NotHere, Refusal
from cureclock.shop.things import owned
from tests.cast import Cast

pytestmark = pytest.mark.django_db


def own(cast: Cast, name: str, count: int, at: str = "Mon 07:00", **more: object) -> None:
    said = {"kind": "clamp", **more}
    cast.do("things_owned", at, thing=cast.id(name), name=name, count=count, **said)


def test_what_was_told_last_counts_and_none_is_no_line() -> None:
    cast = Cast.open()
    own(cast, "F-clamps", 32, sort="f_clamp", force_kn=4.0, reach_mm=600)
    own(cast, "F-clamps", 36, "Tue 07:00", sort="f_clamp", force_kn=4.0, reach_mm=600)
    own(cast, "Bands", 14, kind="band")
    own(cast, "Old bars", 8)
    own(cast, "Old bars", 0, "Tue 07:00")
    told = [(one.kind, one.name, one.count, one.force_kn) for one in owned(cast.workshop)]
    assert told == [("band", "Bands", 14, None), ("clamp", "F-clamps", 36, 4.0)]


def test_a_struck_count_leaves_the_one_before_it() -> None:
    cast = Cast.open()
    own(cast, "Bands", 14, kind="band")
    own(cast, "Bands", 140, "Mon 07:05", kind="band")
    wrong = ThingVersion.objects.get(count=140)
    cast.do("struck_out", "Mon 07:06", target=wrong.id, ident=cast.id("strike"))
    assert [one.count for one in owned(cast.workshop)] == [14]
    cast.do("struck_out", "Mon 07:07", target=cast.id("strike"))
    assert [one.count for one in owned(cast.workshop)] == [140]


def test_a_late_telling_of_an_earlier_count_changes_nothing_now() -> None:
    cast = Cast.open()
    own(cast, "Bands", 14, "Tue 07:00", kind="band")
    cast.do(
        "things_owned",
        "Mon 07:00",
        arrived="Wed 07:00",
        thing=cast.id("Bands"),
        name="Bands",
        kind="band",
        count=9,
    )
    assert [one.count for one in owned(cast.workshop)] == [14]


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": "anvil"},
        {"sort": "anvil"},
        {"count": -1},
        {"count": 10_001},
        {"force_kn": 0.0},
        {"reach_mm": 0.0},
        {"takes": 0},
    ],
)
def test_impossible_things_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(Refused):
        own(Cast.open(), "Clamps", **{"count": 3, **wrong})  # type: ignore[arg-type]


def test_things_of_another_workshop_are_not_here() -> None:
    cast, other = Cast.open(), Cast.open("Other")
    own(other, "Bands", 14, kind="band")
    cast.named["Bands"] = other.id("Bands")
    with pytest.raises(Refusal):
        own(cast, "Bands", 3, kind="band")
    other.place("Elsewhere")
    with pytest.raises(NotHere):
        own(cast, "Hooks", 12, kind="hook", place=other.id("Elsewhere"))


def test_a_viewer_may_not_say_what_is_owned() -> None:
    cast = Cast.open()
    with pytest.raises(Refusal):
        cast.do(
            "things_owned",
            "Mon 07:00",
            by=cast.viewer,
            thing=cast.id("Bands"),
            name="Bands",
            kind="band",
            count=14,
        )
