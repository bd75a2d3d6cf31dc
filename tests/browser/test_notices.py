"""A notice pushed to the phone is shown whatever it says, and one touch opens its one screen."""

import json
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.hand import Hand
from tests.browser.shed import Shed

SHOWN = """void (window.shown = new Promise((done) =>
    navigator.serviceWorker.addEventListener('message', (event) => done(event.data))))"""
NOTICES = """navigator.serviceWorker.ready.then((one) => one.getNotifications()).then((all) =>
    all.map((one) => [one.title, one.body, one.tag, one.requireInteraction]))"""
TOUCH = """async () => {
    const [notice] = await self.registration.getNotifications();
    self.dispatchEvent(new NotificationEvent('notificationclick', { notification: notice }));
}"""


@pytest.fixture
def page(shed: Shed) -> Page:
    shed.glued("First load", ["L-01"], 6)
    hand = Hand(shed.phone()).open()
    hand.kept_offline()
    return hand.phone


def push(page: Page, text: str) -> list[list[Any]]:
    """What stands on the phone after this was pushed to it."""
    cdp = page.context.new_cdp_session(page)
    found: list[dict[str, Any]] = []
    cdp.on("ServiceWorker.workerRegistrationUpdated", lambda e: found.extend(e["registrations"]))
    cdp.send("ServiceWorker.enable")
    while not found:
        page.wait_for_timeout(20)
    page.evaluate(SHOWN)
    origin = page.evaluate("location.origin")
    sent = {"origin": origin, "registrationId": found[0]["registrationId"], "data": text}
    cdp.send("ServiceWorker.deliverPushMessage", sent)
    page.evaluate("window.shown")
    notices: list[list[Any]] = page.evaluate(NOTICES)
    return notices


def notice(link: str = "/now") -> str:
    data = {"link": link, "urgent": True}
    told = {"title": "Take clamps off – First load", "body": "Not the lathe.", "tag": "a|1"}
    return json.dumps(
        {"web_push": 8030, "notification": {**told, "requireInteraction": True, "data": data}}
    )


def test_a_notice_says_its_two_lines_and_stays(page: Page) -> None:
    expected = ["Take clamps off – First load", "Not the lathe.", "a|1", True]
    assert push(page, notice()) == [expected]


@pytest.mark.parametrize("text", ["", "no json", "[]", "{}"])
def test_a_push_that_cannot_be_read_is_shown_all_the_same(page: Page, text: str) -> None:
    assert [one[0] for one in push(page, text)] == ["CureClock"]


def test_a_touch_opens_the_screen_it_speaks_of(page: Page, shed: Shed) -> None:
    wait = f"/wait/{shed.cast.id('First load')}"
    push(page, notice(wait))
    (worker,) = page.context.service_workers
    worker.evaluate(TOUCH)
    expect(page).to_have_url(f"{shed.url}{wait}")
    expect(page.get_by_role("heading", name="First load")).to_be_visible()
    assert page.evaluate(NOTICES) == []


def test_a_notice_never_leads_away_from_the_shed(page: Page, shed: Shed) -> None:
    push(page, notice("https://elsewhere.example/now"))
    (worker,) = page.context.service_workers
    worker.evaluate(TOUCH)
    page.wait_for_timeout(300)
    assert page.url.startswith(shed.url)
