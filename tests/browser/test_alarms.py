"""What runs out is counted aloud and by shape on an open page, with or without a signal."""

from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, expect

from tests.browser.hand import Hand, comes_true
from tests.browser.shed import Shed, ago

VOICE = """
window.said = [];
speechSynthesis.getVoices = () => [{}];
speechSynthesis.speak = (spoken) => window.said.push(spoken.text);
"""
AWAKE = """
window.awake = 0;
Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => {
    window.awake += 1;
    return { addEventListener() {}, release: async () => { window.awake -= 1; } };
} } });
"""


def spreading(shed: Shed) -> Page:
    """A phone without a signal whose owner has just begun to spread; five minutes of open time."""
    shed.glued("First load", ["L-01", "L-02"], 6)
    page = shed.phone()
    page.add_init_script(VOICE)
    page.add_init_script(AWAKE)
    page.clock.install(time=datetime.now(UTC))
    hand = Hand(page).open()
    page.context.set_offline(True)
    hand.press("Spread began")
    expect(page.get_by_role("timer")).to_be_visible()
    return page


def shape(page: Page) -> str:
    return page.locator(".face-pool path").get_attribute("d") or ""


def test_open_time_is_counted_aloud_and_by_shape_without_a_signal(shed: Shed) -> None:
    page = spreading(shed)
    shapes = [shape(page).count("L")]
    for minutes, words in (
        (3, "Two minutes of open time"),
        (1, "One minute of open time"),
        (0.5, "Thirty seconds of open time"),
        (0.6, "Open time is over. Do not force it."),
    ):
        page.clock.run_for(int(minutes * 60_000))
        comes_true(page, "words => window.said.includes(words)", words)
        shapes.append(shape(page).count("L"))
    assert page.evaluate("window.said.length") == 4
    assert shapes[:4] == sorted(set(shapes[:4])), "each call has a shape of its own"


def test_the_screen_is_kept_awake_while_it_runs_and_let_go_after(shed: Shed) -> None:
    page = spreading(shed)
    comes_true(page, "window.awake === 1")
    page.get_by_role("button", name="Pressure on").tap()
    page.clock.run_for(2000)
    comes_true(page, "window.awake === 0")


def test_the_alarm_is_seen_on_every_other_screen_and_leads_to_its_clock(shed: Shed) -> None:
    page = spreading(shed)
    page.get_by_role("link", name="Can I?").tap()
    page.clock.run_for(200_000)
    alarm = page.get_by_role("link", name="Close it up")
    expect(alarm).to_contain_text("1:")
    alarm.tap()
    expect(page.get_by_role("button", name="Pressure on")).to_be_visible()


def test_silence_can_be_chosen_and_the_shape_still_changes(shed: Shed) -> None:
    shed.glued("First load", ["L-01", "L-02"], 6)
    page = shed.phone()
    page.goto("/settings")
    page.get_by_role("radio", name="Silent").check()
    page.close()
    quiet = page.context.new_page()
    quiet.add_init_script(VOICE)
    quiet.clock.install(time=datetime.now(UTC))
    hand = Hand(quiet).open()
    quiet.context.set_offline(True)
    hand.press("Spread began")
    quiet.clock.run_for(200_000)
    expect(quiet.locator(".face-two")).to_be_visible()
    assert quiet.evaluate("window.said") == []


def test_wiping_off_is_counted_from_the_first_piece(shed: Shed) -> None:
    zones = (shed.cast.id("L-01 drum"),)
    where = {"label": shed.cast.id("Varnish-W label"), "place": shed.cast.id("Shed")}
    coat = shed.cast.id("Drums")
    shed.cast.do("coat_began", ago(0.1), coat=coat, name="Drums", zones=zones, **where)
    page = shed.phone()
    Hand(page).open()
    alarm = page.get_by_role("link", name="Wipe off Drums")
    expect(alarm).to_contain_text("13:")
    page.goto(f"/glue/{coat}")
    expect(page.get_by_text("until it must be wiped off")).to_be_visible()


@pytest.mark.parametrize("red", ["Rags can burn"])
def test_a_red_caution_stands_before_the_button_and_is_never_quite_gone(
    shed: Shed, red: str
) -> None:
    page = shed.phone()
    page.goto("/start/coat")
    page.get_by_role("radio", name="Varnish-W").check()
    caution = page.get_by_role("heading", name=red)
    expect(caution).to_be_visible()
    expect(page.get_by_text("Not in the bin, not in a heap")).to_be_visible()
    page.get_by_role("button", name=f"I have read it – {red}").tap()
    expect(page.get_by_text("Not in the bin, not in a heap")).to_have_count(0)
    expect(caution).to_be_visible()
    page.reload()
    page.get_by_role("radio", name="Varnish-W").check()
    expect(caution).to_be_visible()
    order = page.evaluate(
        """() => { const all = [...document.querySelectorAll('.cautions-red, .tape-wide')];
            return all.map((one) => one.classList.contains('tape-wide') ? 'button' : 'caution'); }"""
    )
    assert order == ["caution", "button"]
