"""docs/reference/api.md lists every address and every verb, and none that is not there."""

import re
from inspect import getsource
from pathlib import Path

from cureclock.actions.registry import verbs
from cureclock.api.urls import urlpatterns
from cureclock.waits.line import FIRST, LAST

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "reference" / "api.md").read_text()


def section(title: str) -> str:
    return PAGE.split(f"## {title}\n")[1].split("\n## ")[0]


def test_every_address_is_listed_and_every_listed_one_is_served() -> None:
    listed = set(re.findall(r"(?m)^\| `[A-Z]+ /api/(\S+)` \| .+ \|$", section("The addresses")))
    served = {str(one.pattern).replace("<uuid:ident>", "{ident}") for one in urlpatterns}
    assert listed == served - {""}


def test_every_verb_is_listed_and_every_listed_one_is_known() -> None:
    rows = re.findall(r"(?m)^\| `([a-z_]+)` \| .+ \|$", section("The happenings"))
    assert rows == sorted(verbs())


def test_what_only_an_owner_may_tell_is_said() -> None:
    told = re.search(r"and tells (`.+?`)\.", section("Who may ask"))
    assert told
    owners = {name for name, one in verbs().items() if "must_own()" in getsource(one.do)}
    assert set(re.findall(r"`([a-z_]+)`", told[1])) == owners


def test_every_act_that_is_no_gate_is_listed() -> None:
    reading = section("Reading the view")
    listed = re.search(r"or one of (.+?)\.\n", reading)
    assert listed
    assert set(re.findall(r"`([a-z_]+)`", listed[1])) == {*FIRST, *LAST}
