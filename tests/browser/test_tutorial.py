"""The tutorial is walked through as it is written: what it says to tap is tapped, in its order."""

import os
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Locator, Page, expect

from cureclock.core.planning.solve import Effort
from cureclock.demo.opening import ENDS
from cureclock.planner.resolve import Work, claim, resolve
from cureclock.shop.models import Piece
from tests.browser.demo_shop import DemoShop, quiet
from tests.browser.shed import zone_where_it_is
from tests.browser.test_first_day import link
from tests.cast import Cast

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / "docs" / "pictures"
STEP = re.compile(r"\*\*(?P<tap>[^*]+)\*\*|!\[[^\]]*\]\((?P<picture>[^)]+)\)")
# Words in bold that are not for tapping.
WORDS = {"bold"}
NOTHING: dict[str, list[str]] = {}
PATIENCE_MS = 60_000  # of a machine that has other things to do as well


def steps(page: str) -> Iterator[tuple[str, str]]:
    """What a page of the tutorial says to tap and to look at."""
    text = (ROOT / "docs" / "tutorial" / page).read_text("utf-8")
    for found in STEP.finditer(text):
        kind = str(found.lastgroup)
        if found[kind] not in WORDS:
            yield kind, found[kind]


def named(phone: Page, name: str) -> Locator:
    """The button, link or choice that bears this name or begins with it."""
    begins = re.compile(rf"^(Open )?{re.escape(name)}")
    roles = ("button", "link", "radio", "checkbox")
    found = phone.get_by_role("button", name=begins)
    for role in roles[1:]:
        found = found.or_(phone.get_by_role(role, name=begins))  # type: ignore[arg-type]
    return found.first


def keep_picture(phone: Page, path: Path) -> None:
    """Take the picture; into the docs where that is asked for."""
    phone.wait_for_timeout(400)
    taken = Image.open(BytesIO(phone.screenshot()))
    assert len(taken.getcolors(maxcolors=1 << 20) or [0] * 99) > 8, "nothing is to be seen"
    if os.environ.get("REMAKE_PICTURES"):
        path.parent.mkdir(exist_ok=True)
        small = taken.convert("RGB").resize((390, 390 * taken.height // taken.width))
        small.quantize(64).save(path, optimize=True)
    assert path.exists(), f"{path.name} is shown and not there: REMAKE_PICTURES=1 makes it"


def walk(phone: Page, page: str, says: dict[str, list[str]] = NOTHING) -> list[str]:
    """Tap what a page says; after some of it the screen has to say what the page promises."""
    tapped = []
    for kind, what in steps(page):
        if kind == "tap":
            named(phone, what).tap(timeout=PATIENCE_MS)
            tapped.append(what)
            for words in says.get(what, []):
                said = phone.get_by_text(words).first
                expect(said).to_be_visible(timeout=PATIENCE_MS)
                said.scroll_into_view_if_needed()
        else:
            keep_picture(phone, PICTURES / Path(what).name)
    return tapped


def test_the_first_glue_up_and_the_first_coat(phones: Callable[[], Page], live_server: Any) -> None:
    cast, phone = Cast.open("Slipway shed"), phones()
    morning = {"timezoneId": zone_where_it_is(8)}  # the night's lowest is asked for before noon
    phone.context.new_cdp_session(phone).send("Emulation.setTimezoneOverride", morning)
    phone.goto(link(cast))
    assert "Pressure on" in walk(phone, "first-glue-up.md")
    expect(phone.get_by_text("All sent")).to_be_visible(timeout=15_000)
    assert "Coat ends" in walk(phone, "first-coat.md")
    expect(phone.get_by_text("All sent")).to_be_visible(timeout=15_000)


def test_the_first_batch(phones: Callable[[], Page], live_server: Any) -> None:
    """In the demo shop as `up --demo` opens it."""
    shop = DemoShop.at(ENDS.days, ENDS.seconds // 3600, phones, live_server.url)
    work = Work(Effort(limit_s=1.0), Effort(limit_s=0.3), None)
    now = datetime.now(UTC)
    assert claim(shop.story.workshop.id, now)  # beside a server a process of its own does it
    resolve(shop.story.workshop, now, work)
    phone = shop.phone("light")
    phone.goto("/now")
    says = {
        "L-07": ["Can I spin L-07?"],
        "What happened to it": ["Every joint it carries", "L-07 waste block", "closing 2"],
        "L-19": ["Unknown"],
        "The plan": ["Batch L", "wrap"],
    }
    assert set(says) <= set(walk(phone, "first-batch.md", says))
    for _ in range(PATIENCE_MS // 200):
        if Piece.objects.filter(tag="A-10").exists():
            break
        phone.wait_for_timeout(200)
    assert Piece.objects.get(tag="A-10").workshop == shop.story.workshop
    quiet(phone)
