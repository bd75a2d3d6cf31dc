"""Every screen: touched with gloves, read by anybody, on any width, by keyboard and aloud."""

import re
from uuid import uuid4

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from cureclock.actions.counted import ThingCount
from cureclock.actions.pieces_made import PieceSaid
from cureclock.actions.readings_taken import readings_taken
from cureclock.shop.models import Conflict, Sensor
from cureclock.shop.readings import ReadingSaid
from tests.browser.shed import Shed, ago

LEAST_PX = 94  # 15 mm at 160 dpi is 94.5 px
WIDTHS = (320, 390, 768, 1280)
THEMES = ("light", "dark", "sun")
THEME = "localStorage.setItem('cureclock.settings', JSON.stringify({theme: '%s'}))"
SIDEWAYS = "document.documentElement.scrollWidth > document.documentElement.clientWidth"
ASKS_MORE = (
    "/piece",
    "/settings",
    "/hours",
    "/backups",
    "/outside",
    "/people",
    "/calendar",
    "/bottle",
    "/setup",
    "/clamps",
    "/can/batch",
    "/wait",
    "/store",
    "/air",
    "/sensor",
    "/doubted",
)
OPENED = "document.querySelectorAll('details').forEach((one) => (one.open = true))"
UNFOLD = ("Show the sum", "What happened to it", "Pictures", "Go against it", "It was earlier")
TARGETS = """() => [...document.querySelectorAll('a, button, input, select, summary')]
    .filter((one) => !one.classList.contains('skip') && one.checkVisibility())
    .map((one) => one.closest('label.choice, label.switch, label.quiet') ?? one)
    .map((one) => ({ box: one.getBoundingClientRect(), words: one.innerText || one.ariaLabel }))
    .filter(({ box }) => box.width > 0)
    .map(({ box, words }) => [Math.min(box.width, box.height), words])"""


PLAIN = [
    "now",
    "start",
    "start/glue-up",
    "start/coat",
    "start/hold",
    "can",
    "pieces",
    "pieces/new",
    "air",
    "air/new",
    "tonight",
    "bottles",
    "bottle/new",
    "cautions",
    "phone",
    "ring",
    "plan",
    "plan/route",
    "back",
    "store",
    "who",
    "clamps",
    "hours",
    "backups",
    "outside",
    "people",
    "calendar",
    "broker",
    "doubted",
    "settings",
    "setup",
    "more",
    "pair/token",
    "nothing",
]


def lived_in(shed: Shed) -> dict[str, str]:
    """A shed with something of everything, and the address of every screen in it."""
    cast = shed.cast
    shed.glued("First load", ["L-01", "L-02"], 6)
    shed.glued("Second load", ["L-03", "L-04"], 2)
    cast.spread("Third load", ["L-05"], ago(0.03))  # type: ignore[arg-type]
    cast.do("clamps_off", ago(3), glue_up=cast.id("Second load"))
    zones = tuple(cast.id(f"{tag} drum") for tag in ("L-01", "L-02"))
    where = {"label": cast.id("Varnish-W label"), "place": cast.id("Shed")}
    cast.do("coat_began", ago(1), coat=cast.id("Drums"), name="Drums", zones=zones, **where)
    cast.do("coat_ended", ago(0.8), coat=cast.id("Drums"))
    cast.do("hold_on", ago(5), hold=cast.id("hold"), piece=cast.id("L-01"), what="Paper joint")
    clamps = {"thing": cast.id("F-clamps"), "name": "F-clamps", "kind": "clamp", "count": 4}
    cast.do("things_owned", ago(40), **clamps, force_kn=4, reach_mm=600)
    for load, count in (("First load", 3), ("Third load", 2)):
        held = (ThingCount(cast.id("F-clamps"), count),)
        cast.do("things_held", ago(0.02), about=cast.id(load), things=held)
    batch = {"batch": cast.id("Bowls"), "batch_name": "Bowls"}
    cast.do("pieces_made", ago(40), pieces=(PieceSaid(cast.id("B-1"), "B-1"),), **batch)
    bottle = {"container": cast.id("blue lid"), "material": cast.id("PVA-G"), "name": "blue lid"}
    cast.do("container_taken_in", ago(30), **bottle, holds_g=500)
    cast.do("container_frozen", ago(20), container=cast.id("blue lid"))
    for lot, mc_pct in (("ash", 11.6), ("poplar", 22.0)):
        cast.do("lot_taken_in", ago(30), lot=cast.id(lot), name=lot)
        cast.do("metered", ago(29), lot=cast.id(lot), mc_pct=mc_pct)
    shed.read(8, 0.05)
    sensor = doubted_sensor(shed)
    conflict = Conflict.objects.get(kind="off_before_pressure")
    ids = {
        "/glue": cast.id("Third load"),
        "/wait": cast.id("First load"),
        "/wait of a coat": cast.id("Drums"),
        "/piece": cast.id("L-01"),
        "/air": cast.id("Shed"),
        "/bottle": cast.id("PVA-G"),
        "/settle": conflict.id,
        "/can/batch": cast.id("Bowls"),
        "/sensor": sensor.id,
    }
    plain = {f"/{path}": f"/{path}" for path in PLAIN}
    named = {f"{name} of one": f"{name.split()[0]}/{ident}" for name, ident in ids.items()}
    return plain | named | {"/sensors of one": f"/air/{cast.id('Shed')}/sensors"}


def doubted_sensor(shed: Shed) -> Sensor:
    """A sensor whose last word but one cannot be right."""
    place = shed.cast.workshop.places.get()
    sensor = Sensor.objects.create(place=place, name="on the post", token_hash="x")
    temps = enumerate((9.0, 9.0, -30.0, 9.0))
    said = [ReadingSaid(uuid4(), ago(1 - number / 4), temp_c, 60.0) for number, temp_c in temps]
    readings_taken(shed.cast.owner, place, said, ago(0), sensor)
    return sensor


@pytest.fixture
def screens(shed: Shed) -> tuple[Page, dict[str, str]]:
    addresses = lived_in(shed)
    return shed.phone(), addresses


def visit(page: Page, address: str) -> None:
    page.goto(address)
    expect(page.get_by_text("All sent")).to_be_visible()
    if address.startswith(ASKS_MORE):
        page.wait_for_load_state("networkidle")
    page.evaluate(OPENED)
    for name in UNFOLD:
        for button in page.get_by_role("button", name=name).all():
            button.tap()
            page.wait_for_load_state("networkidle")
    page.evaluate(OPENED)  # and what came of it


def test_every_target_is_15_mm_and_no_screen_scrolls_sideways(
    screens: tuple[Page, dict[str, str]],
) -> None:
    page, addresses = screens
    small, wide = [], []
    for name, address in addresses.items():
        visit(page, address)
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 800})
            found = page.evaluate(TARGETS)
            assert found, name
            small += [(name, width, *one) for one in found if one[0] < LEAST_PX]
            if page.evaluate(SIDEWAYS):
                wide.append((name, width))
    assert small == []
    assert wide == []


def test_text_at_200_percent_still_fits(screens: tuple[Page, dict[str, str]]) -> None:
    page, addresses = screens
    page.add_init_script(
        "addEventListener('DOMContentLoaded', () => "
        "document.documentElement.style.setProperty('font-size', '200%'))"
    )
    wide = []
    for name, address in addresses.items():
        visit(page, address)
        if page.evaluate(SIDEWAYS):
            wide.append(name)
    assert wide == []


def complaints(page: Page, name: str) -> list[tuple[str, str, str]]:
    found = Axe().run(page).response["violations"]
    return [(name, one["id"], node["html"][:120]) for one in found for node in one["nodes"]]


def test_axe_finds_nothing_on_any_screen(screens: tuple[Page, dict[str, str]]) -> None:
    page, addresses = screens
    found = []
    for name, address in addresses.items():
        visit(page, address)
        found += complaints(page, name)
    assert not found, found


@pytest.mark.parametrize("theme", THEMES)
def test_every_theme_has_enough_contrast_where_it_matters_most(
    screens: tuple[Page, dict[str, str]], theme: str
) -> None:
    page, addresses = screens
    page.add_init_script(THEME % theme)
    names = ["/now", "/glue of one", "/piece of one", "/wait of one", "/air of one"]
    found = []
    for name in names:
        visit(page, addresses[name])
        assert page.evaluate("document.documentElement.dataset.theme") == theme
        found += complaints(page, name)
    assert not found, found


@pytest.mark.long
@pytest.mark.parametrize("theme", THEMES)
def test_axe_finds_nothing_on_any_screen_in_any_theme(
    screens: tuple[Page, dict[str, str]], theme: str
) -> None:
    page, addresses = screens
    page.add_init_script(THEME % theme)
    found = []
    for name, address in addresses.items():
        visit(page, address)
        found += complaints(page, name)
    assert not found, found


def test_the_whole_way_to_pressure_on_goes_by_keyboard(shed: Shed) -> None:
    page = shed.phone()
    visit(page, "/start/glue-up")
    page.get_by_role("radio", name="PVA-G").focus()
    page.keyboard.press("Space")
    page.get_by_role("checkbox", name="L-01").focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Spread began").focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Pressure on").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("Take clamps off").first).to_be_visible()


def test_a_strip_says_in_words_what_it_draws(screens: tuple[Page, dict[str, str]]) -> None:
    page, addresses = screens
    visit(page, addresses["/wait of one"])
    strip = page.get_by_role("img", name="Night strip of First load")
    for words in ("clamps off", "not before", "bare", "spin", "sure"):
        expect(strip).to_have_accessible_name(re.compile(words))
