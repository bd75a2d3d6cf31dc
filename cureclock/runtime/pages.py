"""The few pages the server writes itself: the app's door, and how a phone comes to trust us."""

from cryptography.hazmat.primitives.serialization import Encoding
from django.conf import settings
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.http.request import split_domain_port
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cureclock.runtime import certificates, webbuild

DOWNLOADS = {"crt": Encoding.DER, "pem": Encoding.PEM}
HTTPS_PORT = "cureclock.https_port"  # put into each request by `up`, which alone knows it


@require_safe
def app(request: HttpRequest, path: str = "") -> HttpResponseBase:
    """The app finds its own way from here: every address of a screen opens the same page."""
    index = webbuild.DIST / "index.html"
    if path.startswith(("api/", "assets/")):
        raise Http404
    if not index.exists():
        return render(request, "runtime/not_built.html", status=503)
    return FileResponse(index.open("rb"), content_type="text/html; charset=utf-8")


@require_safe
def certificate(request: HttpRequest) -> HttpResponse:
    signer = authority(request)
    context = {
        "secure": request.is_secure(),
        "authority": signer is not None,
        "https": https_address(request),
        "title": signer.certificate.subject.rfc4514_string().removeprefix("CN=") if signer else "",
        "fingerprint": certificates.fingerprint(signer.certificate) if signer else "",
    }
    return render(request, "runtime/certificate.html", context)


@require_safe
def authority_download(request: HttpRequest, form: str) -> HttpResponse:
    signer = authority(request)
    if signer is None:
        raise Http404
    return HttpResponse(
        signer.certificate.public_bytes(DOWNLOADS[form]),
        content_type="application/x-x509-ca-cert",
        headers={"Content-Disposition": f'attachment; filename="cureclock-authority.{form}"'},
    )


@require_safe
def style(request: HttpRequest) -> HttpResponse:
    return render(request, "runtime/plain.css", content_type="text/css")


def authority(request: HttpRequest) -> certificates.Signer | None:
    """None where HTTPS is off or has a given certificate: there is nothing to install then."""
    if settings.CURECLOCK_CERTIFICATE or HTTPS_PORT not in request.META:
        return None
    return certificates.read(certificates.authority_file(settings.CURECLOCK_VAR / "tls"))


def https_address(request: HttpRequest) -> str:
    """Where this same machine answers HTTPS, by the name the reader used; empty if nowhere."""
    if request.is_secure():
        return request.build_absolute_uri("/")
    name, _port = split_domain_port(request.get_host())
    return f"https://{name}:{request.META[HTTPS_PORT]}/" if HTTPS_PORT in request.META else ""
