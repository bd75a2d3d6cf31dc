"""Registers what this app contributes to Django: its system checks."""

from django.apps import AppConfig
from django.core.checks import register

from cureclock.runtime import checks


class RuntimeConfig(AppConfig):
    name = "cureclock.runtime"

    def ready(self) -> None:
        for check in checks.ALL:
            register(check)
