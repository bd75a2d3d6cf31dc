"""Pictures of every screen in the demo shop: `python3 manage.py pictures` writes docs/pictures.

Not a test of looks; it fails where a screen has no picture, or cannot be reached.
"""

import io
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Page

from cureclock.shop.models import Sensor
from tests.browser.demo_shop import DemoShop, quiet

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / "docs" / "pictures"
COLOURS = 64
WIDTH = 585  # half as fine again as a phone counts
SUNDAY, WEDNESDAY = 6, 2

# What stands at each address of the app; a screen that needs something named says what.
WEEK: dict[str, str] = {
    "/start": "start",
    "/start/glue-up": "start-glue-up",
    "/start/coat": "start-coat",
    "/start/hold": "start-hold",
    "/can": "can-i",
    "/can/batch/{Batch L}": "can-i-batch",
    "/piece/{L-05}": "piece",
    "/wait/{G7 drums L-01-08}": "wait",
    "/pieces": "pieces",
    "/pieces/new": "pieces-new",
    "/air": "air",
    "/air/new": "air-new",
    "/air/{Shed}": "air-place",
    "/air/{Shed}/sensors": "sensors",
    "/sensor/{sensor}": "sensor",
    "/doubted": "readings-in-doubt",
    "/broker": "message-broker",
    "/bottles": "bottles",
    "/bottle/new": "bottle-new",
    "/bottle/{PVA-G}": "bottle",
    "/cautions": "cautions",
    "/phone": "this-phone",
    "/ring": "will-it-ring",
    "/hours": "hours",
    "/backups": "backups",
    "/outside": "from-outside",
    "/people": "people",
    "/calendar": "calendar",
    "/settings": "settings",
    "/settle/{conflict}": "settle",
    "/setup": "setup",
    "/more": "more",
    "/back": "looking-back",
    "/store": "wood-store",
    "/clamps": "clamps",
    "/who": "who-am-i",
    "/plan": "plan",
    "/plan/route": "plan-route",
    "/pair": "pair",
}
EVENING: dict[str, str] = {
    "/now": "now",
    "/tonight": "tonight",
    "/wait/{G11 drums L-17-24}": "wait-in-doubt",
}
SAME = {
    "/": "/now",
    "/pair/:token": "/pair",
    "/tag/:tag": "/piece/:id",
}  # lead to one of the others
BY_HAND = {"/glue/:id": "the glue clock, which has to be running"}


def keep(page: Page, name: str) -> None:
    """The screen as it is, in few colours: it is drawn, not photographed."""
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    PICTURES.mkdir(exist_ok=True)
    tall = picture.height * WIDTH // picture.width
    picture = picture.resize((WIDTH, tall), Image.Resampling.LANCZOS)
    few = picture.quantize(COLOURS, method=Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
    few.save(PICTURES / f"{name}.png", optimize=True)


def address(shop: DemoShop, path: str) -> str:
    return re.sub(r"\{(.+)\}", lambda found: ident(shop, found[1]), path)


def ident(shop: DemoShop, name: str) -> str:
    """The id of what is named in the story; of a sensor, that of the first."""
    if name == "conflict":
        return shop.conflict()
    return str(Sensor.objects.order_by("name")[0].id) if name == "sensor" else shop.ident(name)


def shoot(shop: DemoShop, page: Page, screens: dict[str, str], ending: str = "") -> None:
    for path, name in screens.items():
        page.goto(address(shop, path))
        quiet(page)
        keep(page, name + ending)


@pytest.fixture
def sunday(phones: Callable[[], Page], live_server: Any) -> DemoShop:
    return DemoShop.at(SUNDAY, 10, phones, live_server.url)


@pytest.fixture
def evening(phones: Callable[[], Page], live_server: Any) -> DemoShop:
    hour = 19 if datetime.now(UTC).minute < 15 else 18  # the stacks were pressed at ten past
    return DemoShop.at(WEDNESDAY, hour, phones, live_server.url)


def test_every_screen_has_its_picture() -> None:
    routes = set(re.findall(r'path="(/[^"]*)"', (ROOT / "frontend/src/app.tsx").read_text()))
    shot = {re.sub(r"\{.+\}", ":id", path) for path in (*WEEK, *EVENING)}
    assert routes == shot | set(SAME) | set(BY_HAND)


def test_screens_of_a_week_that_is_over(sunday: DemoShop) -> None:
    shoot(sunday, sunday.phone("light"), WEEK)


def test_screens_of_a_cold_evening(evening: DemoShop) -> None:
    page = evening.phone("light")
    shoot(evening, page, EVENING)
    page.goto("/start/glue-up")
    quiet(page)
    for name in ("PVA-G", "Cupboard"):
        page.get_by_role("radio", name=name).focus()
        page.keyboard.press("Space")
    page.get_by_role("button", name="All RM").tap()
    page.get_by_role("button", name="Spread began").tap()
    page.wait_for_url(re.compile("/glue/"), timeout=8000)
    page.wait_for_timeout(1500)
    keep(page, "glue-clock")


@pytest.mark.parametrize("theme", ["dark", "sun"])
def test_the_evening_in_other_light(evening: DemoShop, theme: str) -> None:
    shoot(evening, evening.phone(theme), EVENING, f"-{theme}")
