"""Puts the built phone app into the wheel. A checkout builds it at `manage.py up` instead."""

import importlib.util
from pathlib import Path
from types import ModuleType
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


def webbuild(root: str) -> ModuleType:
    """Loaded by path: while a wheel is being built the package itself is not installed."""
    path = Path(root, "cureclock/runtime/webbuild.py")
    spec = importlib.util.spec_from_file_location("webbuild", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class CustomBuildHook(BuildHookInterface):  # type: ignore[type-arg, misc]
    def dependencies(self) -> list[str]:
        build = webbuild(self.root)
        return [] if build.system_node() else [build.NODE_PACKAGE]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002
        if version != "editable":
            webbuild(self.root).build(strict=True)
