"""A tag on the wood opens its piece: by its address, or held to the camera."""

from playwright.sync_api import expect

from tests.browser.hand import Hand
from tests.browser.shed import Shed

READER = """
navigator.mediaDevices.getUserMedia = async () => {
    const canvas = document.createElement('canvas');
    canvas.getContext('2d').fillRect(0, 0, 10, 10);
    return canvas.captureStream(5);
};
window.BarcodeDetector = class { async detect() { return [{ rawValue: window.held ?? '' }]; } };
"""


def test_the_address_on_a_tag_lands_on_its_piece(shed: Shed) -> None:
    page = shed.phone()
    page.goto("/tag/L-03")
    expect(page.get_by_text("Can I spin L-03?")).to_be_visible()


def test_a_tag_held_to_the_camera_is_answered_after_2_touches(shed: Shed) -> None:
    page = shed.phone()
    page.add_init_script(READER)
    hand = Hand(page).open()
    page.evaluate("window.held = 'https://shed.local/tag/L-04'")
    hand.follow("Can I?")
    hand.press("Scan a tag")
    expect(page.get_by_text("Can I spin L-04?")).to_be_visible()
    assert hand.touches == 2


def test_once_the_camera_is_allowed_a_tag_is_answered_after_1_touch(shed: Shed) -> None:
    page = shed.phone()
    page.context.grant_permissions(["camera"], origin=shed.url)
    page.add_init_script(READER)
    hand = Hand(page).open()
    page.evaluate("window.held = 'L-04'")
    hand.follow("Can I?")
    expect(page.get_by_text("Can I spin L-04?")).to_be_visible()
    assert hand.touches == 1


def test_a_tag_of_another_shop_is_named_and_opens_nothing(shed: Shed) -> None:
    page = shed.phone()
    page.add_init_script(READER)
    hand = Hand(page).open("/can")
    page.evaluate("window.held = 'X-99'")
    hand.press("Scan a tag")
    expect(page.get_by_text("No piece here is called X-99.")).to_be_visible()


def test_where_the_browser_cannot_read_tags_nothing_is_offered(shed: Shed) -> None:
    page = shed.phone()
    page.add_init_script("delete window.BarcodeDetector")
    Hand(page).open("/can")
    expect(page.get_by_role("button", name="Scan a tag")).to_have_count(0)
