"""A shed behind steel: what is told without a signal arrives later, once, with its true times."""

import re
from datetime import UTC, datetime

from playwright.sync_api import Page, expect

from cureclock.shop.models import Conflict, Event
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed


def events(kind: str) -> list[Event]:
    return list(Event.objects.filter(kind=kind, phone__isnull=False))


def ready_to_go_on(shed: Shed) -> Hand:
    """A phone that has everything it needs for another load, and keeps it."""
    shed.glued("First load", ["L-01", "L-02"], 6)
    hand = Hand(shed.phone()).open()
    hand.kept_offline()
    hand.open()
    return hand


def test_spread_and_pressure_told_offline_arrive_once_with_their_true_times(shed: Shed) -> None:
    hand = ready_to_go_on(shed)
    hand.phone.context.set_offline(True)

    before_spread = datetime.now(UTC)
    hand.press("Spread began")
    expect(hand.button("Pressure on")).to_be_visible()
    after_spread = datetime.now(UTC)
    expect(hand.phone.get_by_text("1 kept on this phone").first).to_be_visible()
    expect(hand.phone.get_by_role("timer")).to_contain_text(re.compile("4:[345]"))
    hand.phone.reload()
    expect(hand.button("Pressure on")).to_be_visible()
    hand.phone.wait_for_timeout(1500)

    before_press = datetime.now(UTC)
    hand.press("Pressure on")
    expect(hand.phone.get_by_text("2 kept on this phone").first).to_be_visible()
    after_press = datetime.now(UTC)
    assert events("spread_began") == []

    hand.phone.context.set_offline(False)
    hand.sent()
    (spread,), (press,) = events("spread_began"), events("pressure_on")
    assert before_spread <= spread.happened_at <= after_spread
    assert before_press <= press.happened_at <= after_press
    assert (spread.number, press.number) == (1, 2)
    assert press.arrived_at > after_press
    assert spread.glue_up_id == press.glue_up_id


def test_a_wait_begun_offline_counts_down_as_a_guess_until_the_server_has_spoken(
    shed: Shed,
) -> None:
    hand = ready_to_go_on(shed)
    hand.phone.context.set_offline(True)
    hand.press("Spread began")
    hand.press("Pressure on")
    hand.follow("Now")
    guess = hand.phone.locator("li").filter(has_text="L-03").filter(has_text="guess")
    expect(guess).to_contain_text("from")
    hand.phone.context.set_offline(False)
    hand.sent()
    expect(hand.phone.locator("li").filter(has_text="L-03").first).to_be_visible()
    expect(hand.phone.get_by_text("this phone’s guess")).to_have_count(0)


def test_the_whole_list_is_readable_offline_and_says_since_when_it_has_no_word(shed: Shed) -> None:
    hand = ready_to_go_on(shed)
    lines = hand.phone.locator("main li").all_inner_texts()
    assert lines
    hand.phone.context.set_offline(True)
    hand.phone.reload()
    expect(hand.phone.get_by_text("No word since")).to_be_visible()
    assert hand.phone.locator("main li").all_inner_texts() == lines


def test_offline_the_phone_says_unsure_at_the_lathe_and_never_yes(shed: Shed) -> None:
    hand = ready_to_go_on(shed)
    hand.phone.context.set_offline(True)
    hand.follow("Can I?")
    hand.follow("L-01")
    expect(hand.phone.locator(".answer-word")).to_have_text("Unsure")
    expect(hand.phone.get_by_text("this phone never says yes by itself")).to_be_visible()


def test_two_phones_tell_the_same_off_one_of_them_offline_and_it_is_one_act(shed: Shed) -> None:
    shed.glued("First load", ["L-01", "L-02"], 6)
    one, other = Hand(shed.phone()).open(), Hand(shed.phone("helper")).open()
    other.phone.context.set_offline(True)
    other.press("Off – First load")
    expect(other.phone.get_by_text("1 kept on this phone").first).to_be_visible()
    one.press("Off – First load")
    one.sent()
    other.phone.context.set_offline(False)
    other.sent()
    for hand in (one, other):
        hand.open()
        expect(hand.button("Off – First load")).to_have_count(0)
        expect(hand.phone.get_by_text("Settle which is true")).to_have_count(0)
    assert not Conflict.objects.exists()


def test_two_pages_of_one_phone_send_each_tap_once(shed: Shed) -> None:
    shed.glued("First load", ["L-01", "L-02"], 6)
    page = shed.phone()
    hand = Hand(page).open()
    twin: Page = page.context.new_page()
    twin.goto("/now")
    expect(twin.get_by_text("All sent")).to_be_visible()
    page.context.set_offline(True)
    hand.press("Off – First load")
    expect(page.get_by_text("1 kept on this phone").first).to_be_visible()
    page.context.set_offline(False)
    hand.sent()
    eventually(lambda: events("clamps_off"), page)
    twin.wait_for_timeout(500)
    assert len(events("clamps_off")) == 1
    expect(twin.get_by_text("kept on this phone")).to_have_count(0)
