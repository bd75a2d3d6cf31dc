"""The air of a place, typed in: as it was some hours ago, and as a usual day goes."""

from datetime import UTC, timedelta

import pytest
from playwright.sync_api import expect

from cureclock.shop.models import AirVersion, Reading
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed, ago

IN_CELSIUS = "localStorage.setItem('cureclock.settings', JSON.stringify({temperature: 'C'}))"


@pytest.fixture
def hand(shed: Shed) -> Hand:
    page = shed.phone()
    page.add_init_script(IN_CELSIUS)
    return Hand(page).open(f"/air/{shed.cast.id('Shed')}")


def test_a_reading_is_typed_for_the_hour_at_which_it_was_read(hand: Hand) -> None:
    read_at = ago(3).replace(second=0, microsecond=0)
    hand.phone.get_by_label("Temperature, °C").fill("4,5")
    when = hand.phone.get_by_label("When it was read, if not now")
    when.fill((read_at + timedelta(days=1)).astimezone().strftime("%Y-%m-%dT%H:%M"))
    hand.press("Write it down")
    expect(hand.phone.get_by_text("That is still to come.")).to_be_visible()
    when.fill(read_at.astimezone().strftime("%Y-%m-%dT%H:%M"))
    hand.press("Write it down")
    row = eventually(lambda: Reading.objects.filter(temp_c=4.5).first(), hand.phone)
    assert row.at.astimezone(UTC) == read_at
    assert row.mark == Reading.Mark.TYPED


def test_a_usual_day_is_told_by_the_clock_and_forgotten_again(hand: Hand) -> None:
    hand.phone.get_by_text("A usual day by the clock").tap()
    for number, typed in ((1, "6"), (3, "14")):
        hour = hand.phone.get_by_role("group", name=f"Hour {number}")
        hour.get_by_label("°C").fill(typed)
    hand.phone.get_by_role("group", name="Hour 3").get_by_label("At").fill("05:00")
    day = hand.phone.locator("details", has_text="A usual day by the clock")
    day.get_by_role("button", name="Reckon with it").tap()
    expect(hand.phone.get_by_text("an hour of its own")).to_be_visible()
    hand.phone.get_by_role("group", name="Hour 3").get_by_label("At").fill("14:30")
    day.get_by_role("button", name="Reckon with it").tap()
    told = AirVersion.objects.filter(place__name="Shed").order_by("arrived_at")
    first = eventually(told.first, hand.phone)
    assert first.typed == [["05:00", 6, None], ["14:30", 14, None]]
    hand.press("Forget what was told of the day")
    eventually(lambda: told.count() == 2, hand.phone)
    assert told[1].typed == []
