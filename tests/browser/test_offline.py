"""The app opens without a signal, from what the phone kept."""

from urllib.parse import urlsplit

from playwright.sync_api import Page, expect

from tests.browser.hand import comes_true
from tests.browser.shed import Shed


def wait_until_kept(phone: Page) -> None:
    phone.evaluate("navigator.serviceWorker.ready")
    comes_true(phone, "navigator.serviceWorker.controller !== null")


def test_app_opens_again_without_a_signal(phone: Page) -> None:
    phone.goto("/")
    wait_until_kept(phone)
    phone.context.set_offline(True)
    phone.reload()
    expect(phone.get_by_role("heading", level=1)).to_be_visible()


def test_address_of_a_screen_opens_without_a_signal(phone: Page) -> None:
    phone.goto("/")
    wait_until_kept(phone)
    phone.context.set_offline(True)
    phone.goto("/waits/7")
    expect(phone.get_by_role("heading", level=1)).to_be_visible()


def test_page_breaks_none_of_the_rules_it_is_served_with(shed: Shed) -> None:
    phone, complaints = shed.phone(), []
    phone.on("console", lambda message: complaints.append(message.text))
    phone.on("pageerror", lambda error: complaints.append(str(error)))
    phone.goto("/")
    wait_until_kept(phone)
    assert complaints == []


def test_certificate_page_is_legible_without_the_app(phone: Page) -> None:
    phone.goto("/certificate")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Install this certificate")
    background = phone.evaluate("getComputedStyle(document.body).backgroundColor")
    assert background != "rgba(0, 0, 0, 0)"  # its style sheet was let in


def test_opening_the_app_asks_for_the_whole_view_once(shed: Shed) -> None:
    page = shed.phone()
    asked: list[str] = []
    page.on("request", lambda one: asked.append(urlsplit(one.url).path))
    with page.expect_response("**/api/alerts"):  # the last thing a round asks for
        page.goto("/now")
    assert asked.count("/api/view") == 1
