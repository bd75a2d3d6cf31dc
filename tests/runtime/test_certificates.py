"""The house's own authority and the certificate it signs."""

import datetime as dt
import ipaddress
import stat
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.x509 import verification

from cureclock.runtime import certificates as certs

AT = dt.datetime(2026, 2, 2, tzinfo=dt.UTC)
NAMES = ["localhost", "shed", "shed.local"]
WHERE = [ipaddress.ip_address(text) for text in ("192.168.1.20", "127.0.0.1", "fd00::2")]


def signed(folder: Path) -> x509.Certificate:
    server = certs.read(certs.server_file(folder))
    assert server is not None
    return server.certificate


def authority(folder: Path) -> x509.Certificate:
    found = certs.read(certs.authority_file(folder))
    assert found is not None
    return found.certificate


def accepted(folder: Path, name: x509.GeneralName, at: dt.datetime = AT) -> bool:
    """By an independent verifier that knows the rules of the web."""
    store = verification.Store([authority(folder)])
    builder = verification.PolicyBuilder().store(store).time(at.replace(tzinfo=None))
    verifier = builder.build_server_verifier(name)
    try:
        verifier.verify(signed(folder), [])
    except verification.VerificationError:
        return False
    return True


def test_certificate_is_accepted_at_every_name_and_address_of_the_machine(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    for name in NAMES:
        assert accepted(tmp_path, x509.DNSName(name)), name
    for address in WHERE:
        assert accepted(tmp_path, x509.IPAddress(address)), address
    assert not accepted(tmp_path, x509.DNSName("other.local"))


def test_certificate_lasts_no_longer_than_browsers_allow(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    life = signed(tmp_path).not_valid_after_utc - signed(tmp_path).not_valid_before_utc
    assert life == dt.timedelta(days=397)


def test_certificate_is_kept_while_it_is_good(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    first = signed(tmp_path)
    certs.ensure(tmp_path, NAMES, WHERE[:2], AT + dt.timedelta(days=300))
    assert signed(tmp_path) == first


def test_certificate_is_renewed_a_month_before_its_end_by_the_same_authority(
    tmp_path: Path,
) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    first, trusted = signed(tmp_path), authority(tmp_path)
    later = AT + dt.timedelta(days=370)
    certs.ensure(tmp_path, NAMES, WHERE, later)
    assert signed(tmp_path) != first
    assert authority(tmp_path) == trusted
    assert accepted(tmp_path, x509.DNSName("shed.local"), later)


def test_new_address_gets_a_new_certificate(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    moved = ipaddress.ip_address("192.168.1.77")
    assert not accepted(tmp_path, x509.IPAddress(moved))
    certs.ensure(tmp_path, NAMES, [moved, *WHERE], AT)
    assert accepted(tmp_path, x509.IPAddress(moved))


def test_authority_is_replaced_before_it_would_end_under_its_certificate(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    first = authority(tmp_path)
    later = AT + dt.timedelta(days=3650 - 396)
    certs.ensure(tmp_path, NAMES, WHERE, later)
    assert authority(tmp_path) != first
    assert accepted(tmp_path, x509.DNSName("shed"), later)


def test_authority_cannot_speak_for_the_internet(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    stolen = certs.read(certs.authority_file(tmp_path))
    assert stolen is not None
    for name in (
        x509.DNSName("bank.example"),
        x509.IPAddress(ipaddress.ip_address("8.8.8.8")),
    ):
        forged = certs.make_server(stolen, [name], AT)
        certs.write_private(certs.server_file(tmp_path), forged.pem())
        assert not accepted(tmp_path, name), name


def test_address_of_the_internet_stays_out_of_the_certificate(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, [ipaddress.ip_address("8.8.8.8"), *WHERE], AT)
    assert accepted(tmp_path, x509.IPAddress(WHERE[0]))


def test_name_that_came_after_the_authority_is_left_out_and_told(tmp_path: Path) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    certs.ensure(tmp_path, [*NAMES, "glue.example"], WHERE, AT)
    assert certs.left_out(tmp_path, [*NAMES, "glue.example"]) == ["glue.example"]
    assert accepted(tmp_path, x509.DNSName("shed"))


def test_name_known_when_the_authority_is_made_is_covered(tmp_path: Path) -> None:
    certs.ensure(tmp_path, [*NAMES, "glue.example"], WHERE, AT)
    assert accepted(tmp_path, x509.DNSName("glue.example"))
    assert certs.left_out(tmp_path, ["glue.example"]) == []


def test_keys_are_closed_to_other_users(tmp_path: Path) -> None:
    certs.ensure(tmp_path / "tls", NAMES, WHERE, AT)
    files = list((tmp_path / "tls").iterdir())
    assert sorted(file.name for file in files) == ["authority.pem", "server.pem"]
    assert {stat.S_IMODE(file.stat().st_mode) for file in files} == {0o600}


@pytest.mark.parametrize("damage", [b"", b"not a certificate"])
def test_damaged_file_is_made_anew(tmp_path: Path, damage: bytes) -> None:
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    certs.server_file(tmp_path).write_bytes(damage)
    certs.ensure(tmp_path, NAMES, WHERE, AT)
    assert accepted(tmp_path, x509.DNSName("shed"))
