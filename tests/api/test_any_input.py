"""Whatever is sent is answered or refused in words; the server never stumbles."""

import dataclasses
from collections import Counter
from collections.abc import Mapping
from types import NoneType
from typing import Any, get_args, get_origin, get_type_hints
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cureclock.actions.registry import verbs
from cureclock.waits.rebuild import differences
from tests.api.door import paired
from tests.api.test_view import shed
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db

VERBS = sorted(verbs())
WORDS = ["", "L-01", "cold", "tacky", "under_water", "spin", "pva_interior", "shellac", "x" * 100]
NUMBERS = [-300, -5, 0, 0.5, 3, 8.0, 12, 20.0, 79.9, 81, 1e9]
TIMES = ["2026-02-02T10:00:00", "2026-02-02T10:00:00Z", "2026-02-03T06:00:00+02:00", "noon"]
LEAF = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.floats(allow_nan=False),
    st.text(max_size=12),
    st.sampled_from([*WORDS, *TIMES]),
)
ANYTHING = st.recursive(
    LEAF,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)
NAMED = {  # what the cast calls a thing that a field may speak of
    "glue_up": ("G0", "G1"),
    "coat": ("C0", "C1"),
    "place": ("Shed",),
    "label": ("PVA-G label", "Oil label"),
    "material": ("PVA-G", "Oil"),
    "piece": ("0-0", "0-1", "1-0"),
    "made_from": ("0-0", "0-1", "1-0"),
    "zones": ("0-0 drum", "0-1 drum", "1-0 drum"),
    "joints": ("G0/0-0", "G0/0-1", "G1/1-0"),
}
FRESH = ("id", "hold", "batch", "conflict", "target", "material", "label", "glue_up", "coat")


def field(hint: Any, name: str, cast: Cast) -> st.SearchStrategy[Any]:
    """Mostly something of the right kind that is there; now and then anything at all."""
    right = of_kind(hint, name, cast)
    return st.integers(0, 19).flatmap(lambda dice: right if dice else ANYTHING)


def of_kind(hint: Any, name: str, cast: Cast) -> st.SearchStrategy[Any]:
    args = [arg for arg in get_args(hint) if arg not in (NoneType, Ellipsis)]
    if get_origin(hint) is tuple:
        return st.lists(field(args[0], name, cast), max_size=2)
    if len(args) == 1:
        return of_kind(args[0], name, cast)
    if get_origin(hint) is Mapping or hint is dict:
        return st.sampled_from([{}, {"spin": 24}, {"spin": -1}, {"min_c": 5, "q": 2.5}]) | ANYTHING
    if dataclasses.is_dataclass(hint):
        return shape(hint, cast)
    if hint is UUID:
        known = [str(cast.id(one)) for one in NAMED.get(name, ())]
        fresh = st.uuids(version=4).map(str)
        return (st.sampled_from(known) if known else fresh) | (
            fresh if name in FRESH else st.nothing()
        )
    kinds = {bool: st.booleans(), str: st.sampled_from(WORDS), int: st.integers(-2, 12)}
    return kinds.get(hint, st.sampled_from(NUMBERS if hint is float else TIMES))


def shape(kind: Any, cast: Cast) -> st.SearchStrategy[dict[str, Any]]:
    hints = get_type_hints(kind)
    needed = {
        item.name
        for item in dataclasses.fields(kind)
        if item.default is dataclasses.MISSING and item.default_factory is dataclasses.MISSING
    }
    strategies = {name: field(hint, name, cast) for name, hint in hints.items()}
    return st.fixed_dictionaries(
        {name: one for name, one in strategies.items() if name in needed},
        optional={name: one for name, one in strategies.items() if name not in needed},
    )


def test_any_happening_is_answered_or_refused_in_words() -> None:
    cast = shed(2)
    phone, outcomes = paired(cast), Counter[str]()

    @given(data=st.data())
    @settings(suppress_health_check=list(HealthCheck), max_examples=400)
    def told(data: st.DataObject) -> None:
        verb = data.draw(st.sampled_from(VERBS))
        said = data.draw(shape(verbs()[verb].shape, cast))
        at = data.draw(st.sampled_from(["Mon 08:00", "Mon 10:00", "Mon 12:00"]))
        (answer,) = phone.tell(phone.tap(verb, at, **said), at="Mon 12:01")
        outcomes[answer["outcome"]] += 1
        if answer["outcome"] == "refused":
            problem = answer["problem"]
            assert problem["field"]
            assert problem["wrong"]
            assert problem["mend"]
            assert 400 <= problem["status"] < 500

    told()
    assert outcomes.keys() == {"applied", "refused"}
    assert min(outcomes.values()) > 50, outcomes
    assert phone.get("view", "Mon 12:02").status_code == 200
    assert differences(cast.workshop, when("Mon 12:02")) == []


PATHS = ["happenings", "readings", "heartbeat", "pair", "pairing-links", "sensors"]


def test_any_body_is_answered_or_refused() -> None:
    phone = paired(shed(1))

    @given(body=ANYTHING, path=st.sampled_from(PATHS))
    @settings(suppress_health_check=list(HealthCheck), max_examples=200)
    def sent(body: Any, path: str) -> None:
        response = phone.post(path, "Mon 12:00", body)
        assert response.status_code < 500
        if response.status_code >= 400:
            assert response.json()["mend"]

    sent()
