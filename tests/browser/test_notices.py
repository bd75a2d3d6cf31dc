"""A notice pushed to the phone is shown whatever it says, and one touch opens its one screen."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from cureclock.reminders.channels.memory import Memory
from cureclock.reminders.channels.message import Outgoing
from cureclock.reminders.channels.webpush import payload
from cureclock.reminders.dispatch import Dispatcher
from cureclock.reminders.models import Answered, Delivery, Way
from cureclock.runtime.clock import SystemClock
from cureclock.runtime.tick import Turn
from tests.browser.hand import Hand
from tests.browser.shed import Shed

SHOWN = """void (window.shown = new Promise((done) =>
    navigator.serviceWorker.addEventListener('message', (event) => done(event.data))))"""
NOTICES = """navigator.serviceWorker.ready.then((one) => one.getNotifications()).then((all) =>
    all.map((one) => [one.title, one.body, one.tag, one.requireInteraction]))"""
TOUCH = """async (action = '') => {
    const [notification] = await self.registration.getNotifications();
    const touch = { notification, action };
    self.dispatchEvent(new NotificationEvent('notificationclick', touch));
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


def sent_by_the_server(shed: Shed) -> Outgoing:
    """What the dispatcher sends of clamps whose time came: found, looked up, composed, taken."""
    cast, clock, memory = shed.cast, SystemClock(), Memory()
    cast.workshop.hours = {str(day): ["00:00", "23:59"] for day in range(7)}
    cast.workshop.save(update_fields=["hours"])
    told = {"kind": "memory", "host": "memory", "address": "phone"}
    person = cast.owner.person
    Way.objects.create(workshop=cast.workshop, person=person, made_at=clock.now(), **told)
    shed.glued("Second load", ["L-02"], 1)
    turn = Turn(clock, Dispatcher(clock, {"memory": memory}))
    turn.firing.fire_all(clock.now())
    turn.dispatcher.dispatch()
    return next(message for _, message in memory.sent if "Second load" in message.title)


def until(page: Page, true: Callable[[], bool]) -> bool:
    """Whether the server has come to know it, within a few seconds."""
    for _ in range(200):
        if true():
            return True
        page.wait_for_timeout(50)
    return False


def test_a_notice_takes_the_place_of_an_older_one_with_its_tag(page: Page) -> None:
    push(page, notice())
    newer = notice().replace("Not the lathe.", "Not the lathe before Fri 14:07.")
    expected = ["Take clamps off – First load", "Not the lathe before Fri 14:07.", "a|1", True]
    assert push(page, newer) == [expected]
    assert len(push(page, newer.replace("a|1", "a|2"))) == 2


def test_a_button_of_what_the_server_sends_reaches_the_server(page: Page, shed: Shed) -> None:
    message = sent_by_the_server(shed)
    shown = push(page, payload(message, shed.url).decode())
    assert [one[:2] for one in shown] == [[message.title, message.body]]
    delivery = Delivery.objects.filter(id=message.delivery)
    assert until(page, delivery.filter(shown_at__isnull=False).exists)
    (worker,) = page.context.service_workers
    worker.evaluate(TOUCH, "mine")
    answers = Answered.objects.filter(alert=message.alert, person=shed.cast.owner.person)
    assert until(page, answers.filter(says="mine").exists)
    assert until(page, delivery.filter(seen_at__isnull=False).exists)
    assert until(page, lambda: page.evaluate(NOTICES) == [])


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
    assert until(page, lambda: page.evaluate(NOTICES) == [])


def test_a_notice_never_leads_away_from_the_shed(page: Page, shed: Shed) -> None:
    push(page, notice("https://elsewhere.example/now"))
    (worker,) = page.context.service_workers
    worker.evaluate(TOUCH)
    page.wait_for_timeout(300)
    assert page.url.startswith(shed.url)
