"""Air on the phone: a sensor put up, put right and ruled on; a logger's file looked at and taken in."""

import json
from datetime import UTC, datetime, timedelta
from urllib.request import Request, urlopen

from playwright.sync_api import Route, expect

from cureclock.shop.models import BrokerVersion, OffsetVersion, Reading, Sensor, TopicVersion
from cureclock.shop.sealing import unsealed
from tests.browser.hand import Hand, eventually
from tests.browser.shed import Shed, ago


def report(shed: Shed, token: str, *temps: float) -> None:
    """One reading each quarter of an hour until now, as the sensor itself sends them."""
    last = len(temps) - 1
    rows = [
        {"at": ago((last - number) / 4).isoformat(), "temp_c": temp}
        for number, temp in enumerate(temps)
    ]
    body = json.dumps({"readings": rows}).encode()
    headers = {"Authorization": f"Sensor {token}", "Content-Type": "application/json"}
    with urlopen(Request(f"{shed.url}/api/readings", data=body, headers=headers)) as answer:
        assert json.load(answer)["kept"] == len(temps)


def put_up(shed: Shed) -> tuple[Hand, str]:
    """A sensor put up on the phone, and the token that it showed."""
    hand = Hand(shed.phone()).open(f"/air/{shed.cast.id('Shed')}")
    hand.follow("Sensors")
    hand.phone.get_by_label("What is it called?").fill("on the post")
    hand.press("Put it up")
    token = hand.phone.locator(".token").text_content()
    assert token
    return hand, token


def test_a_sensor_put_up_on_the_phone_reports_with_the_token_it_was_shown_once(shed: Shed) -> None:
    hand, token = put_up(shed)
    report(shed, token, 12.0, 12.1)
    hand.phone.goto(f"/sensor/{Sensor.objects.get().id}")
    expect(hand.phone.get_by_text("12.1 °C").first).to_be_visible()
    expect(hand.phone.get_by_text(token)).to_have_count(0)
    hand.phone.get_by_label("The better one says, °C").fill("13,6")
    hand.press("Put it right from now on")
    offset = eventually(OffsetVersion.objects.first, hand.phone)
    assert offset.temp_k == 1.5
    hand.phone.get_by_text("Say its topic").tap()
    hand.phone.get_by_label("Topic; empty: heard no more").fill("shed/post")
    hand.press("Listen there")
    assert eventually(TopicVersion.objects.first, hand.phone).topic == "shed/post"


def test_a_doubted_reading_is_ruled_on_in_1_touch(shed: Shed) -> None:
    hand, token = put_up(shed)
    report(shed, token, 19.0, 19.1, 19.0, -25.0, 19.1)
    hand.open("/doubted")
    expect(hand.phone.get_by_text("Until you rule it counts for what can hurt.")).to_be_visible()
    hand.press("They are wrong")
    assert hand.touches == 1
    flagged = Reading.objects.exclude(flag="")
    assert eventually(lambda: flagged.filter(ruled_right=False).first(), hand.phone).temp_c == -25
    expect(hand.phone.get_by_text("Ruled: wrong. They count nowhere.")).to_be_visible()


def held(hand: Hand, what: str) -> list[Route]:
    """What the phone asks from now on: it waits for its answer until somebody lets it go on."""
    asked: list[Route] = []

    def hold(route: Route) -> None:
        asked.append(route)

    hand.phone.route(what, hold)
    return asked


def test_a_logger_file_is_seen_before_it_counts_and_asks_what_only_a_person_knows(
    shed: Shed,
) -> None:
    hand, _ = put_up(shed)
    hand.phone.goto(f"/sensor/{Sensor.objects.get().id}")
    start = datetime(datetime.now(UTC).year - 1, 5, 4, tzinfo=UTC)
    times = [start + timedelta(minutes=15 * number) for number in range(40)]
    rows = [f"{at:%d/%m/%Y %H:%M};{10 + number % 7},5" for number, at in enumerate(times)]
    content = "\n".join(["time;temperature (C)", *rows, f"{start:%d/%m/%Y} 23:45;--"]).encode()
    file = {"name": "shed.csv", "mimeType": "text/csv", "buffer": content}
    listed = held(hand, "**/api/logger-files")
    hand.phone.locator("input[type=file]").set_input_files([file])  # type: ignore[list-item]
    take = hand.button("Take it in – shed.csv")
    expect(hand.phone.get_by_text("1 row cannot be read")).to_be_visible()
    expect(take).to_be_disabled()
    assert not Reading.objects.filter(sensor__isnull=False).exists()
    day_first = hand.phone.locator("label.choice", has_text="Day, month, year").first
    asked = held(hand, "**/look")
    day_first.tap(position={"x": 10, "y": 10})  # while the list of files is still on its way
    hand.phone.unroute("**/api/logger-files")
    for route in listed:
        route.continue_()
    eventually(lambda: asked, hand.phone)
    expect(take).to_be_disabled()  # what stands there is still the reading before the answer
    asked[0].continue_()
    hand.phone.unroute("**/look")
    expect(take).to_be_enabled()
    take.tap()
    expect(hand.phone.get_by_text("40 taken, 0 known already, 1 not taken.")).to_be_visible()
    taken = Reading.objects.filter(sensor__isnull=False).order_by("at")
    assert (taken.count(), taken[0].at, taken[0].temp_c) == (40, start, 10.5)


def test_the_owner_says_which_broker_is_listened_to(shed: Shed) -> None:
    hand = Hand(shed.phone()).open("/broker")
    expect(hand.phone.get_by_text("Nobody listens to a broker.")).to_be_visible()
    hand.phone.get_by_label("Its name or address").fill("127.0.0.1")
    hand.phone.get_by_label("Password").fill("not shown again")
    hand.press("Listen to it")
    told = eventually(BrokerVersion.objects.first, hand.phone)
    assert (told.host, told.port) == ("127.0.0.1", 1883)
    assert unsealed(told.password) == "not shown again"
    expect(hand.phone.get_by_text("127.0.0.1:1883")).to_be_visible()
    expect(hand.phone.get_by_label("Password")).to_have_value("")
