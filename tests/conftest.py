"""Fixtures that many rooms of tests share: the built phone app, a browser, phones."""

import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect, sync_playwright

CHROMIUM_OPTIONS = [
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]
PATIENCE_MS = 20_000  # for what is on its way while other tests keep the machine busy
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 3,
    "is_mobile": True,
    "has_touch": True,
}


@pytest.fixture(scope="session")
def web_app() -> None:
    """The phone app as it stands in frontend/, built if it changed."""
    from cureclock.runtime import webbuild

    webbuild.build(strict=True)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    # Playwright leaves an event loop in this thread, and the ORM then refuses to be called.
    os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def launch(playwright: Playwright) -> Callable[..., Browser]:
    """Starts a Chromium; `program` and `env` for one in another network or home, `options` of its own."""
    chromium = shutil.which("chromium")
    assert chromium, "chromium is missing; `python3 manage.py test` says how to install it"

    def start(
        *,
        program: str = chromium,
        env: dict[str, str] | None = None,
        options: Sequence[str] = (),
    ) -> Browser:
        return playwright.chromium.launch(
            executable_path=program,
            env=env,  # type: ignore[arg-type]
            args=[*CHROMIUM_OPTIONS, *options],
            chromium_sandbox=os.geteuid() != 0,
        )

    return start


@pytest.fixture(scope="session")
def browser(launch: Callable[..., Browser]) -> Iterator[Browser]:
    started = launch()
    yield started
    started.close()


@pytest.fixture
def phones(web_app: None, browser: Browser, live_server: Any) -> Iterator[Callable[[], Page]]:
    """Each call is another phone: its own storage, its own service worker."""
    contexts = []

    def another() -> Page:
        context = browser.new_context(base_url=live_server.url, **PHONE)
        context.grant_permissions(["notifications"], origin=live_server.url)
        contexts.append(context)
        return context.new_page()

    yield another
    for context in contexts:
        context.close()


@pytest.fixture
def phone(phones: Callable[[], Page]) -> Page:
    return phones()
