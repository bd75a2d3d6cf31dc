"""The bell that wakes a dispatcher in the same process; without it, it comes by itself."""

from collections.abc import Callable

_listeners: list[Callable[[], None]] = []


def ring() -> None:
    """Something may be due sooner than was thought."""
    for wake in _listeners:
        wake()


def answer(wake: Callable[[], None]) -> Callable[[], None]:
    """Be woken; what is returned ends it."""
    _listeners.append(wake)
    return lambda: _listeners.remove(wake)
