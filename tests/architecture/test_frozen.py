"""Values stay what they are: whoever was handed one need not ask who else holds it."""

import dataclasses
import importlib
import pkgutil

import pytest

from cureclock import core, waits

GATHERING = {  # these grow while one question is answered, and nobody keeps them after it
    "cureclock.core.planning.greedy.Placed",
    "cureclock.waits.current.Current",
    "cureclock.waits.foretold.Foresight",
    "cureclock.waits.holdings.Holding",
    "cureclock.waits.lathe._Bench",
    "cureclock.waits.learned.Lessons",
    "cureclock.waits.may.carried.Carried",
    "cureclock.waits.may.films.Films",
    "cureclock.waits.placing.Bench",
    "cureclock.waits.reread.Reread",
    "cureclock.waits.settle._Standing",
}
MODULES = [
    found.name
    for package in (core, waits)
    for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
    if ".migrations" not in found.name
]


@pytest.mark.parametrize("name", MODULES)
def test_values_of_core_and_waits_cannot_be_changed(name: str) -> None:
    loose = {
        f"{name}.{one.__name__}"
        for one in vars(importlib.import_module(name)).values()
        if isinstance(one, type) and dataclasses.is_dataclass(one)
        if one.__module__ == name and not one.__dataclass_params__.frozen
    }
    assert loose == {one for one in GATHERING if one.rpartition(".")[0] == name}
