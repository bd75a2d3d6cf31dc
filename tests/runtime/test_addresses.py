"""What this machine is called, and where a phone in the house can reach it."""

import ipaddress
import socket

import pytest

from cureclock.runtime import addresses


def test_loopback_is_there_and_last() -> None:
    found = addresses.machine_addresses()
    assert [str(address) for address in found[-2:]] == ["127.0.0.1", "::1"]
    assert not any(address.is_loopback for address in found[:-2])


def test_every_address_is_one_this_machine_can_listen_on() -> None:
    for address in addresses.machine_addresses():
        if address.version == 4:
            with socket.create_server((str(address), 0)):
                pass


def test_machine_answers_to_its_name_in_the_house(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(socket, "gethostname", lambda: "Shed.example.org")
    assert addresses.machine_names() == ["localhost", "shed.example.org", "shed.local"]


def test_name_no_certificate_can_hold_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(socket, "gethostname", lambda: "the shed's box")
    assert addresses.machine_names() == ["localhost"]


@pytest.mark.parametrize("text", ["192.168.1.2", "10.0.0.9", "172.31.0.1", "fd00::1", "::1"])
def test_address_used_in_houses_is_known_as_one(text: str) -> None:
    assert addresses.in_the_house(ipaddress.ip_address(text))


@pytest.mark.parametrize("text", ["8.8.8.8", "172.32.0.1", "2a00::1"])
def test_address_of_the_internet_is_not_taken_for_one_of_the_house(text: str) -> None:
    assert not addresses.in_the_house(ipaddress.ip_address(text))
