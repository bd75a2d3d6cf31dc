"""A certificate authority of the house's own, and the server's certificate signed by it.

A phone gives a plain http page no service worker, push, wake lock or camera, and no public
authority signs for an address inside a house. The authority made here is bound to names and
addresses of a house (RFC 5280, 4.2.1.10), so that its key, were it stolen, could not be used
to pose as anything on the internet to the phones that trust it.
"""

import datetime as dt
import secrets
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from cureclock.runtime import addresses
from cureclock.runtime.keys import write_private

AUTHORITY_DAYS = 3650
SERVER_DAYS = 397  # browsers refuse longer ones (CA/Browser Forum baseline requirements 6.3.2)
RENEW_DAYS = 30
BACKDATED = dt.timedelta(days=1)  # a phone's clock may be behind
HOUSE_NAMES = ("localhost", "local", "lan", "home.arpa", "internal")


@dataclass(frozen=True)
class Signer:
    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    def pem(self) -> bytes:
        """Key and certificate in one file, so that the two can never be of different making."""
        return self.key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        ) + self.certificate.public_bytes(serialization.Encoding.PEM)


def authority_file(folder: Path) -> Path:
    return folder / "authority.pem"


def server_file(folder: Path) -> Path:
    return folder / "server.pem"


def ensure(folder: Path, names: list[str], where: list[addresses.Address], at: dt.datetime) -> Path:
    """The server's key and certificate for these names, made or renewed if they have to be."""
    authority = read(authority_file(folder))
    if authority is None or days_left(authority, at) < SERVER_DAYS:
        authority = make_authority(names, at)
        write_private(authority_file(folder), authority.pem())
    wanted = allowed(authority, names, where)
    server = read(server_file(folder))
    if server is None or days_left(server, at) < RENEW_DAYS or not fits(server, authority, wanted):
        write_private(server_file(folder), make_server(authority, wanted, at).pem())
    return server_file(folder)


def read(path: Path) -> Signer | None:
    """What lies there, if it is whole."""
    try:
        content = path.read_bytes()
        key = serialization.load_pem_private_key(content, password=None)
        certificate = x509.load_pem_x509_certificate(content)
    except (OSError, ValueError):
        return None
    return Signer(certificate, key) if isinstance(key, ec.EllipticCurvePrivateKey) else None


def days_left(signer: Signer, at: dt.datetime) -> int:
    return (signer.certificate.not_valid_after_utc - at).days


def allowed(
    authority: Signer, names: list[str], where: list[addresses.Address]
) -> list[x509.GeneralName]:
    """Those of our names the authority may speak for; one it may not would spoil the rest."""
    zones = authority.certificate.extensions.get_extension_for_class(x509.NameConstraints)
    permitted = zones.value.permitted_subtrees or []
    domains = [zone.value for zone in permitted if isinstance(zone, x509.DNSName)]
    good = [n for n in names if any(n == zone or n.endswith(f".{zone}") for zone in domains)]
    house = [address for address in where if addresses.in_the_house(address)]
    return [*map(x509.DNSName, good), *map(x509.IPAddress, house)]


def left_out(folder: Path, names: list[str]) -> list[str]:
    """Names the authority on the phones does not cover: they came after it was made."""
    authority = read(authority_file(folder))
    if authority is None:
        return []
    covered = {name.value for name in allowed(authority, names, [])}
    return [name for name in names if name not in covered]


def fits(server: Signer, authority: Signer, wanted: list[x509.GeneralName]) -> bool:
    """Signed by this authority, and for every name wanted; an address that went away may stay."""
    found = server.certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName)
    signed = server.certificate.issuer == authority.certificate.subject
    return signed and set(wanted) <= set(found.value)


def fingerprint(certificate: x509.Certificate) -> str:
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def make_authority(names: list[str], at: dt.datetime) -> Signer:
    key = ec.generate_private_key(ec.SECP256R1())
    machine = (names[1] if len(names) > 1 else names[0])[:40]
    title = f"CureClock of {machine} {secrets.token_hex(2)}"  # told apart in a phone's list
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title)])
    zones = [x509.DNSName(name) for name in dict.fromkeys([*HOUSE_NAMES, *names])]
    zones_and_nets = [*zones, *(x509.IPAddress(network) for network in addresses.HOUSE)]
    draft = (
        draft_of(subject, subject, key, at, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage(signs_certificates=True), critical=True)
        .add_extension(x509.NameConstraints(zones_and_nets, None), critical=True)
    )
    return Signer(draft.sign(key, hashes.SHA256()), key)


def make_server(authority: Signer, wanted: list[x509.GeneralName], at: dt.datetime) -> Signer:
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "CureClock server")])
    issuer = authority.certificate.subject
    issuer_key = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key())
    draft = (
        draft_of(subject, issuer, key, at, SERVER_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(wanted), critical=False)
        .add_extension(issuer_key, critical=False)
    )
    return Signer(draft.sign(authority.key, hashes.SHA256()), key)


def draft_of(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    at: dt.datetime,
    days: int,
) -> x509.CertificateBuilder:
    began = at - BACKDATED
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(began)
        .not_valid_after(began + dt.timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
