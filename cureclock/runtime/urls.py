"""Every address the server answers."""

from django.urls import include, path, re_path
from django.urls.resolvers import URLPattern, URLResolver

from cureclock.api.logger_files import WithReader
from cureclock.intake import logger_file
from cureclock.runtime import health, pages

WithReader.reader = logger_file  # neither room knows the other

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/", include("cureclock.api.urls")),
    path("certificate", pages.certificate),
    path("certificate/authority.crt", pages.authority_download, {"form": "crt"}),
    path("certificate/authority.pem", pages.authority_download, {"form": "pem"}),
    path("health/live", health.live),
    path("health/ready", health.ready),
    path("metrics", health.metrics),
    path("plain.css", pages.style),
    re_path(r"(?s)^(?P<path>.*)$", pages.app),
]
