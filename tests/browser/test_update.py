"""A newer app waits to be let in: the page goes on with what it has, and no tap is lost."""

from playwright.sync_api import expect

from cureclock.shop.models import Event
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed


def test_a_newer_app_is_offered_and_taken_with_every_kept_tap(shed: Shed) -> None:
    shed.glued("First load", ["L-01", "L-02"], 6)
    page = shed.phone()
    hand = Hand(page).open()
    hand.kept_offline()
    page.route("**/api/happenings", lambda route: route.abort())
    hand.press("Off – First load")
    expect(page.get_by_text("1 kept on this phone").first).to_be_visible()

    page.evaluate("navigator.serviceWorker.register('/sw.js?next').then(() => true)")
    expect(page.get_by_text("A newer form of this app is here")).to_be_visible()
    old = page.evaluate("navigator.serviceWorker.controller.scriptURL")
    assert not old.endswith("?next")
    with page.expect_navigation():
        page.get_by_role("button", name="Update").tap()
    expect(page.get_by_text("1 kept on this phone").first).to_be_visible()

    page.unroute("**/api/happenings")
    hand.sent()
    assert len(eventually(lambda: list(Event.objects.filter(kind="clamps_off")), page)) == 1
