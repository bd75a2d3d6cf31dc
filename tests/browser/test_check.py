"""The check on the phone: asked in one tap, started with what it named, taken off in the ledger."""

from playwright.sync_api import expect

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
