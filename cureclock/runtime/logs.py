"""What the server says about itself: one line per happening, each with the request it belongs to."""

import logging
import sys
from typing import Any

import structlog
from django.http import HttpRequest

FORMATS = ("plain", "json")
LEVELS = ("DEBUG", "INFO", "WARNING", "ERROR", "CRITICAL")
BEFORE: list[structlog.types.Processor] = [
    structlog.contextvars.merge_contextvars,
    structlog.stdlib.add_logger_name,
    structlog.stdlib.add_log_level,
    structlog.processors.TimeStamper(fmt="iso", utc=True),
]


def logging_config(level: str, form: str) -> dict[str, Any]:
    """For Django's LOGGING; also points structlog at the same place."""
    structlog.configure(
        processors=[*BEFORE, structlog.stdlib.ProcessorFormatter.wrap_for_formatter],
        logger_factory=structlog.stdlib.LoggerFactory(),
        wrapper_class=structlog.make_filtering_bound_logger(
            logging.getLevelNamesMapping().get(level, logging.WARNING)
        ),
        cache_logger_on_first_use=False,
    )
    formatter = {
        "()": structlog.stdlib.ProcessorFormatter,
        "foreign_pre_chain": [*BEFORE, name_route_not_path],
        "processors": [structlog.stdlib.ProcessorFormatter.remove_processors_meta, *ending(form)],
    }
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"line": formatter},
        "handlers": {"screen": {"class": "logging.StreamHandler", "formatter": "line"}},
        "root": {"handlers": ["screen"], "level": level if level in LEVELS else "WARNING"},
        "loggers": {
            "django": {"handlers": [], "propagate": True},
            "django.request": {"level": "ERROR"},
        },
    }


def ending(form: str) -> list[structlog.types.Processor]:
    if form == "json":
        return [structlog.processors.format_exc_info, structlog.processors.JSONRenderer()]
    plain = structlog.dev.plain_traceback  # the richer one prints local values, secrets among them
    colors = sys.stderr.isatty()
    return [structlog.dev.ConsoleRenderer(colors=colors, exception_formatter=plain)]


def name_route_not_path(
    _logger: Any, _method: str, event: structlog.types.EventDict
) -> structlog.types.EventDict:
    """Django's own lines quote the path, and paths carry tokens of feeds and sensors."""
    request = getattr(event.get("_record"), "request", None)
    if isinstance(request, HttpRequest):
        event["event"] = f"{event['_record'].status_code} {request.method} {route_of(request)}"
    return event


def route_of(request: HttpRequest) -> str:
    """The pattern of the address, never the address."""
    return request.resolver_match.route if request.resolver_match else "(no route)"
