"""What a verb is: the shape of what is said with it, and the function that does it."""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import date, time
from typing import Any, TypeVar
from uuid import UUID

from cureclock.shop.happening import Happening

Said = TypeVar("Said")


@dataclass(frozen=True)
class Done:
    """What became of a happening.

    Attributes:
        id: the happening's own id.
        new: False where the same happening was known already.
    """

    id: UUID
    new: bool


@dataclass(frozen=True)
class Verb:
    """One verb: its name, the shape of what is said with it, and what does it."""

    name: str
    shape: type[Any]
    do: Callable[[Happening, Any], Done]


VERBS: dict[str, Verb] = {}
Doing = Callable[[Happening, Said], Done]


def verb(name: str, shape: type[Said]) -> Callable[[Doing[Said]], Doing[Said]]:
    """Enter a function among the verbs under the name a maker's phone sends."""

    def enter(do: Doing[Said]) -> Doing[Said]:
        VERBS[name] = Verb(name, shape, do)
        return do

    return enter


def plain(said: Any) -> dict[str, Any]:
    """What was said as plain data for the log, without what was left unsaid."""
    return {name: _plain(value) for name, value in asdict(said).items() if value not in (None, ())}


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _plain(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, date | time):
        return value.isoformat()
    return str(value) if isinstance(value, UUID) else value
