"""A gloved hand on a phone: it touches what can be named, and the page itself counts the touches."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Locator, Page, expect

COUNTING = """
window.touches = 0;
addEventListener('click', (event) => { if (event.isTrusted) window.touches += 1; }, true);
"""


@dataclass
class Hand:
    """Opens the app and touches it."""

    phone: Page

    def __post_init__(self) -> None:
        self.phone.add_init_script(COUNTING)

    def open(self, path: str = "/now") -> "Hand":
        """The app as it stands when the phone is taken up: nothing touched yet."""
        self.phone.goto(path)
        expect(self.phone.get_by_text("All sent")).to_be_visible()
        self.phone.evaluate("window.touches = 0")
        return self

    @property
    def touches(self) -> int:
        """How many touches there were since it was opened, by the page's own count."""
        counted: int = self.phone.evaluate("window.touches")
        return counted

    def button(self, name: str) -> Locator:
        return self.phone.get_by_role("button", name=name).first

    def press(self, name: str) -> None:
        self.button(name).tap()

    def follow(self, name: str) -> None:
        self.phone.get_by_role("link", name=name).first.tap()

    def sent(self) -> None:
        """Wait until nothing is kept on the phone any more.

        A tap of a moment ago may not be kept yet: where its arrival matters, look for its record.
        """
        expect(self.phone.get_by_text("kept on this phone")).to_have_count(0)
        expect(self.phone.get_by_text("All sent")).to_be_visible(timeout=15_000)

    def kept_offline(self) -> None:
        """Wait until the app would open without a signal."""
        self.phone.evaluate("navigator.serviceWorker.ready")
        comes_true(self.phone, "navigator.serviceWorker.controller !== null")


def eventually(look: Callable[[], Any], phone: Page, patience_ms: int = 20_000) -> Any:
    """What a look at the records finds, once it finds something."""
    for _ in range(patience_ms // 50):
        found = look()
        if found:
            return found
        phone.wait_for_timeout(50)
    raise AssertionError("nothing came")


def comes_true(phone: Page, expression: str, arg: Any = None) -> None:
    """Wait for it by asking again and again: the page itself may evaluate no words."""
    eventually(lambda: phone.evaluate(expression, arg), phone, patience_ms=30_000)
