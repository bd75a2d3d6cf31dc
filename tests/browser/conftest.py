"""A shed in use today, and phones paired with it."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.shed import Shed


@pytest.fixture
def shed(phones: Callable[[], Page], live_server: Any) -> Shed:
    return Shed.open(phones, live_server.url)
