"""What `up` prints once it answers: where to go, in the order a maker needs it."""

import io
from collections.abc import Callable

import segno
from django.conf import settings

from cureclock.runtime import addresses, certificates, hooks

EVERYWHERE = ("0.0.0.0", "::", "")


def say(write: Callable[[str], object], host: str, port: int, tls_port: int | None) -> None:
    main = reachable(host)[0]
    plain = f"http://{main}:{port}"
    home = f"https://{main}:{tls_port}" if tls_port else plain
    write(f"CureClock answers at {home}/")
    for other in reachable(host)[1:3]:
        write(f"             also at {home.replace(main, other)}/")
    owner = hooks.owner_link(home)
    if owner:
        write(f"\nThe first phone: open this link once, it makes its holder the owner.\n  {owner}")
    write(f"\n{qr(owner or home + '/')}")
    if tls_port and not settings.CURECLOCK_CERTIFICATE:
        write(f"A phone warns about the certificate? Install it once: {plain}/certificate")
        write(f"  Its fingerprint: {own_fingerprint()}")
        for name in certificates.left_out(settings.CURECLOCK_VAR / "tls", settings.CURECLOCK_NAMES):
            write(f"  {name} came later than the certificate authority and is not covered by it.")
    if not tls_port:
        write("HTTPS is off: phones will not keep the app offline, nor take alerts.")
    write("Ctrl-C stops it.")


def reachable(host: str) -> list[str]:
    """Addresses as they stand in a link, the likeliest first."""
    if host not in EVERYWHERE:
        return [f"[{host}]" if ":" in host else host]
    house = addresses.machine_addresses()
    shown = house if host == "::" else [address for address in house if address.version == 4]
    return [f"[{address}]" if address.version == 6 else str(address) for address in shown]


def qr(link: str) -> str:
    out = io.StringIO()
    segno.make(link, micro=False).terminal(out, compact=True)
    return out.getvalue()


def own_fingerprint() -> str:
    signer = certificates.read(certificates.authority_file(settings.CURECLOCK_VAR / "tls"))
    return certificates.fingerprint(signer.certificate) if signer else "none"
