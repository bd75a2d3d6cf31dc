"""Imported once by the process that all others are forked from: all that a dispatcher needs."""

import os

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")
django.setup()

from cureclock.actions import registry  # noqa: E402
from cureclock.runtime.management.commands import remind  # noqa: E402
from tests.faults import dispatcher, seed, verb  # noqa: E402

__all__ = ["dispatcher", "registry", "remind", "seed", "verb"]
