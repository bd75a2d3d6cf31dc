"""The check on the phone: asked in one tap, started with what it named, taken off in the ledger."""

from playwright.sync_api import expect

from cureclock.shop.models import Event
from tests.browser.hand import eventually
from tests.browser.shed import Shed, ago


def test_from_the_check_to_clamps_that_are_counted_held_and_off(shed: Shed) -> None:
    cast = shed.cast
    cast.do(
        "things_owned",
        ago(47),
        thing=cast.id("F-clamps"),
        name="F-clamps",
        kind="clamp",
        count=36,
        force_kn=4.0,
    )
    page = shed.phone()
    page.goto("/start/glue-up")
    page.get_by_label("PVA-G").check()
    page.get_by_label("L-01").check()
    page.get_by_text("Dry run and shape").click()
    page.get_by_label("Seconds to spread one").fill("25")
    page.get_by_label("Face to face").check()
    for label, figure in (("Layers", "2"), ("Length, mm", "700"), ("Width, mm", "48")):
        page.get_by_label(label).fill(figure)
    page.get_by_role("button", name="Check first").click()
    expect(page.get_by_text("of F-clamps free")).to_be_visible()
    page.locator(".at-hand button").click()
    page.wait_for_url("**/glue/*")
    page.goto("/clamps")
    expect(page.get_by_text("35 of 36 free")).to_be_visible()
    page.goto("/tonight")
    expect(page.get_by_text("Open by")).to_be_visible()


def test_wood_is_told_once_and_the_next_load_takes_the_clamps_and_the_thickness_along(
    shed: Shed,
) -> None:
    cast = shed.cast
    clamps = {"thing": cast.id("F-clamps"), "name": "F-clamps", "kind": "clamp", "count": 36}
    cast.do("things_owned", ago(47), **clamps, force_kn=4.0)
    page = shed.phone()
    page.goto("/start/glue-up")
    page.get_by_label("PVA-G").check()
    page.get_by_label("L-01").check()
    page.get_by_text("Dry run and shape").click()
    page.get_by_label("Face to face").check()
    for label, figure in (("Layers", "2"), ("Length, mm", "700"), ("Width, mm", "48")):
        page.get_by_label(label).press_sequentially(figure)
    page.get_by_text("Wood, press and spread").click()
    page.get_by_label("Thickness of the wood, mm").press_sequentially("28,5")
    page.get_by_label("Moisture in its core, %").press_sequentially("10.5")
    page.get_by_label("Moisture of what it meets, %").press_sequentially("22")
    page.get_by_role("button", name="Check first").click()
    expect(page.get_by_role("heading", name="Not now")).to_be_visible()
    page.get_by_label("Moisture of what it meets, %").fill("11")
    page.get_by_role("button", name="Check first").click()
    expect(page.get_by_text("of F-clamps free")).to_be_visible()
    page.locator(".at-hand button").click()
    page.wait_for_url("**/glue/*")
    page.get_by_role("button", name="Pressure on").click()
    page.get_by_role("button", name="Same again").click()
    page.get_by_role("button", name="Pressure on").wait_for()

    def both() -> list[Event]:
        found = list(Event.objects.filter(kind="spread_began").order_by("happened_at"))
        return found if len(found) == 2 else []

    first, again = (event.body for event in eventually(both, page))
    assert again["things"] == first["things"] != []
    assert [joint["thickness_mm"] for joint in again["joints"]] == [28.5]
