"""Writing in turn: one transaction of this process after another, where only one may write.

SQLite lets one write and has the others look again after longer and longer naps; threads of one
process that take turns do not nap.
"""

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext

from django.db import transaction

_turn: list[AbstractContextManager[object]] = [nullcontext()]


@contextmanager
def writing() -> Iterator[None]:
    """A transaction in its turn; not to be begun inside another."""
    with _turn[0], transaction.atomic():
        yield


def take_turns(turn: AbstractContextManager[object]) -> None:
    """From now on by this lock."""
    _turn[0] = turn
