"""A server in trouble, a phone that is full, a clock that is wrong: nothing lost, plainly said."""

import json
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Error, Page, Route, expect

from cureclock.shop.models import Event
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed

Answer = Callable[[Route], None]
PROBLEM = "application/problem+json"


def status(code: int, key: str = "") -> Answer:
    body = json.dumps({"key": key, "detail": "no"})
    kind = PROBLEM if key else "text/html"
    return lambda route: route.fulfill(status=code, body=body, content_type=kind)


def cut_off(route: Route) -> None:
    """It reaches the server, and the answer is lost on the way back."""
    route.fetch()
    route.abort()


def glued(shed: Shed) -> Hand:
    shed.glued("First load", ["L-01", "L-02"], 6)
    return Hand(shed.phone()).open()


def off_events() -> list[Event]:
    return list(Event.objects.filter(kind="clamps_off", phone__isnull=False))


@pytest.mark.parametrize(
    ("trouble", "words"),
    [
        (status(500), "in trouble"),
        (status(413), "too much at once"),
        (status(401, "not_paired"), "is not paired"),
        (cut_off, "No word since"),
    ],
    ids=["500", "413", "401", "cut off"],
)
def test_a_tap_in_the_middle_of_trouble_is_kept_and_arrives_once(
    shed: Shed, trouble: Answer, words: str
) -> None:
    hand = glued(shed)
    hand.phone.route("**/api/happenings", trouble)
    hand.press("Off – First load")
    expect(hand.phone.get_by_text("1 kept on this phone").first).to_be_visible()
    expect(hand.phone.get_by_text(words).first).to_be_visible()
    hand.phone.unroute("**/api/happenings")
    hand.phone.reload()
    hand.sent()
    assert len(eventually(off_events, hand.phone)) == 1


def test_a_refused_tap_stays_with_its_words_until_it_is_read(shed: Shed) -> None:
    hand = glued(shed)

    def refuse(route: Route) -> None:
        (told,) = json.loads(route.request.post_data or "")["happenings"]
        problem = {"key": "refused", "detail": "glue-up: was parted off; reload"}
        answer = {"id": told["id"], "outcome": "refused", "problem": problem}
        route.fulfill(json={"now": datetime.now(UTC).isoformat(), "answers": [answer]})

    hand.phone.route("**/api/happenings", refuse)
    hand.press("Off – First load")
    hand.follow("1 refused")
    hand.phone.reload()
    expect(hand.phone.get_by_text("glue-up: was parted off; reload")).to_be_visible()
    hand.press("I have read it")
    expect(hand.phone.get_by_text("glue-up: was parted off")).to_have_count(0)


def test_a_full_phone_says_that_the_tap_was_not_kept_and_shows_nothing_as_done(shed: Shed) -> None:
    hand = glued(shed)
    hand.phone.evaluate(
        """() => { IDBObjectStore.prototype.add = () => {
            throw new DOMException('no room', 'QuotaExceededError'); } }"""
    )
    hand.press("Off – First load")
    expect(hand.phone.get_by_text("This phone is full")).to_be_visible()
    expect(hand.button("Off – First load")).to_be_visible()
    assert off_events() == []


def test_a_tap_is_on_disk_before_the_page_says_so(shed: Shed) -> None:
    hand = glued(shed)
    hand.phone.route("**/api/happenings", lambda route: route.abort())
    hand.phone.evaluate(
        """() => {
            window.order = [];
            const done = IDBTransaction.prototype;
            const watch = IDBDatabase.prototype.transaction;
            IDBDatabase.prototype.transaction = function (...asked) {
                const write = watch.apply(this, asked);
                if (asked[1] === 'readwrite' && asked[2]?.durability === 'strict')
                    write.addEventListener('complete', () => window.order.push('disk'));
                return write;
            };
            new MutationObserver(() => {
                if (document.body.innerText.includes('Clamps off')) window.order.push('page');
            }).observe(document.body, { subtree: true, childList: true, characterData: true });
        }"""
    )
    hand.press("Off – First load")
    expect(hand.phone.get_by_role("button", name="Undo")).to_be_visible()
    order = hand.phone.evaluate("window.order")
    assert order[0] == "disk"
    assert "page" in order


def test_a_damaged_store_is_said_and_the_shop_is_still_shown(shed: Shed) -> None:
    shed.glued("First load", ["L-01", "L-02"], 6)
    page = shed.phone()
    page.add_init_script("indexedDB.open = () => { throw new Error('damaged'); };")
    page.goto("/now")
    expect(page.get_by_text("store cannot be written")).to_be_visible()
    expect(page.get_by_text("First load").first).to_be_visible()


def test_garbage_where_the_view_was_kept_is_fetched_again(shed: Shed) -> None:
    hand = glued(shed)
    hand.phone.evaluate(
        """() => new Promise((done) => { const open = indexedDB.open('cureclock');
            open.onsuccess = () => { const write = open.result.transaction('kept', 'readwrite');
                write.objectStore('kept').put({ now: 7, groups: 'x' }, 'view');
                write.oncomplete = done; }; })"""
    )
    hand.open()
    expect(hand.button("Off – First load")).to_be_visible()


@pytest.mark.parametrize(
    "wrong_by", [timedelta(hours=3), timedelta(hours=-3)], ids=["fast", "slow"]
)
def test_a_wrong_clock_is_said_and_its_taps_are_put_right(shed: Shed, wrong_by: timedelta) -> None:
    shed.glued("First load", ["L-01", "L-02"], 6)
    page = shed.phone()
    page.clock.install(time=datetime.now(UTC) + wrong_by)
    hand = Hand(page).open()
    expect(page.get_by_text("clock is wrong by 3 h 00")).to_be_visible()
    hand.press("Off – First load")
    (off,) = eventually(off_events, page)
    assert abs(off.happened_at - datetime.now(UTC)) < timedelta(seconds=30)


@pytest.mark.parametrize(
    ("form", "words"), [("2", "A newer form of this app"), ("0", "speaks an older form")]
)
def test_an_app_and_a_server_of_different_forms_say_so(shed: Shed, form: str, words: str) -> None:
    page = with_form(shed, form)
    page.goto("/now")
    expect(page.get_by_text(words)).to_be_visible()


def test_an_old_app_keeps_its_taps_for_the_update(shed: Shed) -> None:
    page = with_form(shed, "2")
    page.goto("/now")
    page.get_by_role("button", name="Off – First load").tap()
    expect(page.get_by_text("1 kept on this phone").first).to_be_visible()
    page.get_by_role("button", name="Update").tap()
    expect(page.get_by_text("1 kept on this phone").first).to_be_visible()
    assert off_events() == []
    page.unroute("**/api/view")
    page.get_by_role("button", name="Update").tap()
    assert len(eventually(off_events, page)) == 1


def with_form(shed: Shed, form: str) -> Page:
    shed.glued("First load", ["L-01", "L-02"], 6)
    page = shed.phone()

    def other(route: Route) -> None:
        with suppress(Error):  # the page may go before it is answered
            told: dict[str, Any] = route.fetch().json()
            route.fulfill(json={**told, "version": form})

    page.route("**/api/view", other)
    return page


def test_names_that_are_scripts_are_only_names(shed: Shed) -> None:
    name = "<img src=x onerror=window.bitten=1><script>window.bitten=1</script>"
    shed.glued(name, ["L-01"], 6)
    hand = Hand(shed.phone()).open()
    expect(hand.phone.get_by_text(name).first).to_be_visible()
    hand.follow(name)
    expect(hand.phone.get_by_role("heading", name=name)).to_be_visible()
    assert hand.phone.evaluate("window.bitten") is None
