"""Coming in from outside: only where it is wanted, by a slow password, counted, and written down."""

from datetime import timedelta
from typing import Any

import pytest
from django.contrib.auth.hashers import Argon2PasswordHasher
from django.test import Client
from pytest_django import Settings

from cureclock.api.who import COOKIE
from cureclock.shop.models import OutsidePassword, SignIn, SignInTries
from cureclock.shop.outside import GOOD_FOR, MOST_BY_ADDRESS, MOST_BY_NAME, MOST_SET, WINDOW
from tests.api.door import PhoneAtDoor, at_the_clock, paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db
NAME, PASSWORD = "Ash", "twelve wet clamps"
SENT: dict[str, Any] = {"name": NAME, "password": PASSWORD, "phone_name": "office"}


class Quick(Argon2PasswordHasher):
    """The same, at a cost that a test can pay a hundred times."""

    time_cost, memory_cost, parallelism = 1, 8, 1


@pytest.fixture(autouse=True)
def outside(settings: Settings) -> None:
    settings.CURECLOCK_OUTSIDE = True
    settings.PASSWORD_HASHERS = [f"{__name__}.Quick"]


@pytest.fixture
def owner() -> PhoneAtDoor:
    phone = paired(Cast.open())
    told = phone.post("outside-password", "Mon 07:00", {"name": NAME, "password": PASSWORD})
    assert told.status_code == 200, told.content
    return phone


def sign_in(at: Any = "Mon 08:00", client: Client | None = None, **more: Any) -> Any:
    headers = {"Origin": "http://testserver", **more.pop("headers", {})}
    address = more.pop("address", "192.0.2.7")
    with at_the_clock(at):
        return (client or Client()).post(
            "/api/sign-in",
            {**SENT, **more},
            content_type="application/json",
            headers=headers,
            REMOTE_ADDR=address,
        )


def test_the_right_password_lets_a_phone_in_for_a_week(owner: PhoneAtDoor) -> None:
    client = Client()
    assert sign_in(client=client).status_code == 200
    with at_the_clock(when("Mon 08:00") + GOOD_FOR - timedelta(minutes=1)):
        assert client.get("/api/phones").status_code == 200
    with at_the_clock(when("Mon 08:00") + GOOD_FOR):
        assert client.get("/api/phones").status_code == 401


def test_the_password_is_kept_as_argon2_makes_it_and_never_as_it_is(owner: PhoneAtDoor) -> None:
    kept = OutsidePassword.objects.get()
    assert kept.password.startswith("argon2$argon2id$")
    assert PASSWORD not in kept.password


def test_a_wrong_password_and_an_unknown_name_get_the_same_answer(owner: PhoneAtDoor) -> None:
    wrong, unknown = sign_in(password="x" * 14), sign_in(name="Nobody")
    assert wrong.status_code == unknown.status_code == 422
    assert wrong.json() == unknown.json()
    assert COOKIE not in wrong.cookies


def test_an_unknown_name_costs_as_much_as_a_known_one(
    owner: PhoneAtDoor, monkeypatch: pytest.MonkeyPatch
) -> None:
    import cureclock.shop.outside as room

    made: list[str] = []
    real = room.make_password
    monkeypatch.setattr(room, "make_password", lambda word: made.append(word) or real(word))
    sign_in(name="Nobody")
    assert made == [PASSWORD]


@pytest.mark.parametrize("name", [NAME, "Nobody"])
def test_tries_by_one_name_are_counted_whether_it_is_known_or_not(
    owner: PhoneAtDoor, name: str
) -> None:
    tries = [
        sign_in(name=name, password="wrong words here", address=f"192.0.2.{number}")
        for number in range(MOST_BY_NAME + 1)
    ]
    assert [one.status_code for one in tries] == [422] * MOST_BY_NAME + [429]
    assert int(tries[-1]["Retry-After"]) == WINDOW.total_seconds()
    assert tries[-1].json()["key"] == "too_many"


def test_even_the_right_password_waits_once_the_tries_are_used_up(owner: PhoneAtDoor) -> None:
    for _ in range(MOST_BY_NAME):
        sign_in(password="wrong words here")
    assert sign_in().status_code == 429
    assert sign_in(when("Mon 08:00") + WINDOW).status_code == 200


def test_tries_from_one_address_are_counted_over_all_names(owner: PhoneAtDoor) -> None:
    codes = [sign_in(name=f"N{number}").status_code for number in range(MOST_BY_ADDRESS + 1)]
    assert codes == [422] * MOST_BY_ADDRESS + [429]
    assert sign_in(address="192.0.2.8").status_code == 200


def test_neither_names_nor_addresses_are_kept_by_the_count(owner: PhoneAtDoor) -> None:
    sign_in(password="wrong words here")
    keys = list(SignInTries.objects.values_list("key", flat=True))
    assert len(keys) == 3  # the name, the address, and that the owner set the password
    assert all(len(key) == 64 for key in keys)


def test_behind_a_proxy_the_address_is_the_one_it_saw(
    owner: PhoneAtDoor, settings: Settings
) -> None:
    settings.CURECLOCK_BEHIND_PROXY = True
    sign_in(headers={"X-Forwarded-For": "203.0.113.9, 198.51.100.4"})
    assert SignIn.objects.get().address == "198.51.100.4"


def test_every_try_by_a_known_name_is_shown_to_the_owner(owner: PhoneAtDoor) -> None:
    sign_in("Mon 08:00", password="wrong words here")
    sign_in("Mon 08:01")
    told = owner.get("audit", "Mon 09:00").json()["sign_ins"]
    assert [(one["well"], one["address"]) for one in told] == [
        (True, "192.0.2.7"),
        (False, "192.0.2.7"),
    ]
    assert told[0]["phone"]


def test_what_was_overruled_is_shown_to_the_owner_with_name_and_reason() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.do("override", "Mon 09:00", act="clamps_off", reason="needed them", glue_up=cast.id("G1"))
    (told,) = paired(cast).get("audit", "Mon 10:00").json()["overrides"]
    assert (told["kind"], told["reason"]) == ("override", "needed them")
    assert told["person"] == "Owner of Slipway shed"


@pytest.mark.parametrize("role", ["helper", "viewer"])
def test_only_the_owner_sets_a_password_and_reads_the_audit(role: str) -> None:
    phone = paired(Cast.open(), role)
    sent = {"name": NAME, "password": PASSWORD}
    assert phone.post("outside-password", "Mon 08:00", sent).status_code == 403
    assert phone.get("audit", "Mon 08:00").status_code == 403


@pytest.mark.parametrize("password", ["short", "ash ash ash ash", "qwerty123456", "1q2w3e4r5t6y"])
def test_a_password_that_would_be_guessed_is_refused(password: str) -> None:
    phone = paired(Cast.open())
    told = phone.post("outside-password", "Mon 08:00", {"name": NAME, "password": password})
    assert told.status_code == 422
    assert told.json()["field"] == "password"


def test_a_name_stands_for_one_owner_of_the_whole_server(owner: PhoneAtDoor) -> None:
    other = paired(Cast.open("Other yard"))
    sent = {"name": NAME.upper(), "password": PASSWORD}
    assert other.post("outside-password", "Mon 08:00", sent).status_code == 422


def test_an_owner_who_is_none_any_more_stays_out(owner: PhoneAtDoor) -> None:
    owner.phone.workshop.memberships.filter(role="owner").update(role="viewer")
    assert sign_in().status_code == 422


def test_another_page_cannot_sign_a_browser_in(owner: PhoneAtDoor) -> None:
    assert sign_in(headers={"Origin": "https://elsewhere.example"}).status_code == 403
    assert not SignIn.objects.exists()


def test_in_the_house_there_is_no_such_door(owner: PhoneAtDoor, settings: Settings) -> None:
    settings.CURECLOCK_OUTSIDE = False
    assert sign_in().status_code == 404
    sent = {"name": NAME, "password": PASSWORD}
    assert owner.post("outside-password", "Mon 08:00", sent).status_code == 404


def test_no_log_line_and_no_error_holds_the_password(
    owner: PhoneAtDoor, caplog: pytest.LogCaptureFixture
) -> None:
    from cureclock.actions.signed_in import SignedIn

    caplog.set_level("DEBUG")
    sign_in()
    sign_in(password="wrong words here")
    assert PASSWORD not in caplog.text
    assert PASSWORD not in repr(SignedIn(NAME, PASSWORD))


def test_the_owner_is_told_how_the_door_stands_and_never_the_password(owner: PhoneAtDoor) -> None:
    sign_in("Mon 08:00")
    sign_in("Mon 08:05", password="wrong words here", address="192.0.2.9")
    answer = owner.get("outside-password", "Mon 09:00")
    assert answer.json() == {
        "reached": True,
        "name": "ash",
        "set_at": "2026-02-02T07:00:00Z",
        "used_at": "2026-02-02T08:00:00Z",
        "used_from": "192.0.2.7",
        "refused_at": "2026-02-02T08:05:00Z",
        "refused_from": "192.0.2.9",
    }
    assert "argon2" not in answer.content.decode()


def test_where_the_house_is_shut_the_owner_is_told_so(
    owner: PhoneAtDoor, settings: Settings
) -> None:
    settings.CURECLOCK_OUTSIDE = False
    assert owner.get("outside-password", "Mon 09:00").json()["reached"] is False


def test_a_password_that_was_taken_away_opens_nothing(owner: PhoneAtDoor) -> None:
    assert owner.post("outside-password/drop", "Mon 07:30", {}).json()["name"] == ""
    assert sign_in().status_code == 422
    assert not OutsidePassword.objects.exists()


def test_a_changed_password_shuts_out_the_one_before(owner: PhoneAtDoor) -> None:
    sent = {"name": NAME, "password": "nine dry dowels"}
    assert owner.post("outside-password", "Mon 07:30", sent).status_code == 200
    assert sign_in().status_code == 422
    assert sign_in(password="nine dry dowels").status_code == 200


def test_setting_it_again_and_again_has_to_wait(owner: PhoneAtDoor) -> None:
    sent = {"name": NAME, "password": PASSWORD}
    at = when("Mon 07:01")
    codes = [owner.post("outside-password", at, sent).status_code for _ in range(MOST_SET)]
    assert codes == [200] * (MOST_SET - 1) + [429]  # the first was set before
    assert owner.post("outside-password", at + WINDOW, sent).status_code == 200


@pytest.mark.parametrize("role", ["helper", "viewer"])
def test_only_the_owner_sees_and_drops_a_password(owner: PhoneAtDoor, role: str) -> None:
    owner.phone.workshop.memberships.filter(role="owner").update(role=role)
    assert owner.get("outside-password", "Mon 09:00").status_code == 403
    assert owner.post("outside-password/drop", "Mon 09:00", {}).status_code == 403
    assert OutsidePassword.objects.exists()
