"""What the phone asks for at first, how soon it paints, and how soon it answers a touch.

500 waits in the shop, a processor slowed to a quarter, a line of 1.6 Mbit/s with 150 ms: the usual
profile of a mid-range phone. The rivals are in the same run: an empty page's first paint, and a
bare button that changes one word. Beside each ratio stands the figure, and the figure wanted.
"""

import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from statistics import median
from typing import Any

import pytest
from playwright.sync_api import CDPSession, Locator, Page

from cureclock.shop.models import Piece
from tests.browser.shed import Shed
from tests.many import shop, waits

pytestmark = pytest.mark.django_db(transaction=True)
WAITS, DUE, SLOWER, ROUNDS = 500, 60, 4, 3
MOST_SCRIPT_KB, MOST_STYLE_KB, MOST_PAINT_MS, MOST_TAP_MS = 90, 20, 1500, 100
LINE = {"offline": False, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 93_750}
PAINTS = """
window.painted = 0;
new PerformanceObserver((list) => { for (const one of list.getEntries()) window.painted = one.startTime; })
    .observe({ type: 'largest-contentful-paint', buffered: true });
"""
# From the touch to the frame that shows the first thing that came or went because of it.
ANSWERS = """
addEventListener('click', (event) => {
    const seen = new MutationObserver(() => {
        seen.disconnect();
        requestAnimationFrame(() => setTimeout(() => {
            window.answered = performance.now() - event.timeStamp;
        }));
    });
    window.answered = undefined;
    seen.observe(document.body, { childList: true, characterData: true, subtree: true });
}, true);
"""
BARE = """() => { document.body.innerHTML = '<button id=bare>one</button>';
    document.getElementById('bare').onclick = (event) => { event.target.textContent = 'two'; }; }"""


def busy_shop(phones: Callable[[], Page], url: str) -> Shed:
    """500 joints under pressure, sixty of them long enough."""
    now = datetime.now(UTC)
    cast = shop(now)
    due = [now + timedelta(minutes=one - DUE) for one in range(WAITS)]
    waits(cast, due, pressed=now - timedelta(hours=3))
    rows = list(Piece.objects.filter(workshop=cast.workshop).order_by("id"))
    for number, row in enumerate(rows):
        row.tag = f"L-{number:03d}"
    Piece.objects.bulk_update(rows, ["tag"])
    return Shed(cast, phones, url)


def slowed(page: Page) -> CDPSession:
    line = page.context.new_cdp_session(page)
    line.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    return line


def answered(page: Page, button: Locator) -> float:
    """Milliseconds from a touch until something came of it on the screen."""
    button.scroll_into_view_if_needed()
    page.wait_for_timeout(800)  # what came into sight is drawn
    page.evaluate("window.answered = undefined")
    button.tap()
    for _ in range(400):
        took = page.evaluate("window.answered")
        if took is not None:
            return float(took)
        page.wait_for_timeout(10)
    raise AssertionError("nothing came of the touch")


def told(what: str, figure: float, unit: str, rival: float, most: float) -> None:
    times, load = figure / rival, os.getloadavg()[0]
    print(f"{what}: {times:.1f} x rival, {figure / most:.2f} x most")
    print(f"    {figure:.0f} {unit}, rival {rival:.0f}, most {most:.0f}, load {load:.1f}")


def first_load(page: Page, path: str) -> tuple[dict[str, float], float]:
    """Kilobytes that came over the line by the ending of their address, and the largest paint."""
    line = slowed(page)
    line.send("Network.enable")
    line.send("Network.emulateNetworkConditions", LINE)
    asked: dict[str, str] = {}
    came: dict[str, float] = {}

    def note(one: dict[str, Any]) -> None:
        ending = asked.get(one["requestId"], "").rpartition(".")[2]
        came[ending] = came.get(ending, 0) + one["encodedDataLength"] / 1000

    line.on("Network.requestWillBeSent", lambda one: asked.update(_named(one)))
    line.on("Network.loadingFinished", note)
    page.add_init_script(PAINTS)
    page.goto(path, wait_until="load")
    page.wait_for_timeout(6000)
    return came, float(page.evaluate("window.painted"))


def _named(one: dict[str, Any]) -> dict[str, str]:
    return {one["requestId"]: one["request"]["url"]}


def test_the_first_load(phones: Callable[[], Page], live_server: Any) -> None:
    shed = busy_shop(phones, live_server.url)
    empty, app = [], []
    for _ in range(ROUNDS):
        empty.append(first_load(shed.phone(), "/robots.txt")[1])
        came, painted = first_load(shed.phone(), "/now")
        app.append(painted)
    assert came.keys() >= {"js", "css"}
    assert min(empty) > 0
    for ending, most in (("js", MOST_SCRIPT_KB), ("css", MOST_STYLE_KB)):
        told(f"first load, {ending}", came[ending], "kB", most, most)
    told("largest paint", median(app), "ms", median(empty), MOST_PAINT_MS)


def settled(page: Page, path: str) -> None:
    page.goto(path)
    page.get_by_text("All sent").wait_for(timeout=60_000)
    page.wait_for_load_state("networkidle")


def touched(page: Page) -> dict[str, Locator]:
    """What is touched most, each in the room where it stands."""

    def link(name: str) -> Locator:
        return page.get_by_role("link", name=name).first

    def button(name: str) -> Locator:
        return page.get_by_role("button", name=name).first

    return {
        "/now: it was earlier": button("It was earlier"),
        "/now: off": button("Off – "),
        "/now: open a wait": page.locator("a.line-what").first,
        "/now: start": link("Start"),
        "/now: can I?": link("Can I?"),
        "/start: glue-up": link("Glue-up"),
        "/start/glue-up: all pieces": button("All L"),
        "/can: a piece": link("L-007"),
        "/pieces: now": link("Now"),
    }


def test_touches(phones: Callable[[], Page], live_server: Any) -> None:
    shed = busy_shop(phones, live_server.url)
    page = shed.phone()
    page.add_init_script(ANSWERS)
    settled(page, "/now")
    slowed(page)
    found: dict[str, list[float]] = {}
    for _ in range(ROUNDS):
        page.goto("/robots.txt")
        page.evaluate(BARE)
        found.setdefault("bare", []).append(answered(page, page.locator("#bare")))
        for name, button in touched(page).items():
            settled(page, name.partition(":")[0])
            found.setdefault(name, []).append(answered(page, button))
    for name, took in found.items():
        told(f"touch, {name}", median(took), "ms", median(found["bare"]), MOST_TAP_MS)
