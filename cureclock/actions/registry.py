"""Every verb, so that whoever looks one up by name finds it."""

from importlib import import_module
from pkgutil import iter_modules

import cureclock.actions
from cureclock.actions.verb import VERBS, Verb

for module in iter_modules(cureclock.actions.__path__):
    if module.name not in {"registry", "verb"}:
        import_module(f"cureclock.actions.{module.name}")


def verbs() -> dict[str, Verb]:
    """All verbs by name."""
    return dict(VERBS)
