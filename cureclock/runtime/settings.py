"""Settings. Everything a host may change comes from the environment; docs/reference/settings.md."""

from pathlib import Path
from typing import Any

import environ
from django.core.exceptions import ImproperlyConfigured

from cureclock.runtime import addresses, keys, logs, webbuild

env = environ.Env()


def whole_number(name: str, default: int) -> int:
    value = env.str(name, default=str(default))
    if not value.strip().isdecimal():
        raise ImproperlyConfigured(f"{name} must be a whole number, not {value!r}.")
    return int(value)


# Where things lie
ROOT = webbuild.ROOT
CURECLOCK_DEMO = env.bool("CURECLOCK_DEMO", default=False)
CURECLOCK_VAR = Path(env.str("CURECLOCK_VAR", default=str(ROOT / "var"))).absolute()
if CURECLOCK_DEMO:
    CURECLOCK_VAR = CURECLOCK_VAR / "demo"  # never among a maker's own pieces

# Who may come in, and by which door
SECRET_KEY = env.str("CURECLOCK_SECRET_KEY", default="") or keys.kept_secret(
    CURECLOCK_VAR / "secret_key"
)
DEBUG = env.bool("CURECLOCK_DEBUG", default=False)
CURECLOCK_HOST = env.str("CURECLOCK_HOST", default="0.0.0.0")
CURECLOCK_PORT = whole_number("CURECLOCK_PORT", 8000)
CURECLOCK_TLS = env.bool("CURECLOCK_TLS", default=True)
CURECLOCK_TLS_PORT = whole_number("CURECLOCK_TLS_PORT", CURECLOCK_PORT + 443)
CURECLOCK_CERTIFICATE = env.str("CURECLOCK_CERTIFICATE", default="")
CURECLOCK_CERTIFICATE_KEY = env.str("CURECLOCK_CERTIFICATE_KEY", default="")
CURECLOCK_NAMES = env.list("CURECLOCK_NAMES", default=[])
CURECLOCK_THREADS = whole_number("CURECLOCK_THREADS", 12)
ALLOWED_HOSTS = ["*"]  # KnownHost decides: addresses come and go while the server runs
CURECLOCK_KNOWN_NAMES = [*addresses.machine_names(), *CURECLOCK_NAMES]
if env.bool("CURECLOCK_BEHIND_PROXY", default=False):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

# Apps, and what every request passes through
INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "rest_framework",
    "drf_spectacular",
    "cureclock.shop",
    "cureclock.waits",
    "cureclock.planner",
    "cureclock.reminders",
    "cureclock.runtime",
]
MIDDLEWARE = [
    "cureclock.runtime.middleware.request_id.RequestId",
    "cureclock.runtime.middleware.security_policy.SecurityPolicy",
    "django.middleware.security.SecurityMiddleware",
    "cureclock.runtime.middleware.known_host.KnownHost",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.common.CommonMiddleware",
]
ROOT_URLCONF = "cureclock.runtime.urls"
WSGI_APPLICATION = "cureclock.runtime.wsgi.application"
TEMPLATES = [{"BACKEND": "django.template.backends.django.DjangoTemplates", "APP_DIRS": True}]
APPEND_SLASH = False
DATA_UPLOAD_MAX_MEMORY_SIZE = whole_number("CURECLOCK_MAX_BODY_MB", 32) * 1024 * 1024

# The phone app's own files
STATIC_URL = "/static/"
WHITENOISE_ROOT = webbuild.DIST
WHITENOISE_INDEX_FILE = True
WHITENOISE_USE_FINDERS = False
WHITENOISE_ALLOW_ALL_ORIGINS = False
WHITENOISE_MAX_AGE = 0
WHITENOISE_IMMUTABLE_FILE_TEST = r"^/assets/"

# Records. SQLite takes the write lock at the start of a transaction and waits for it, so that
# nobody is told "locked"; full sync, so that what a maker tapped survives the plug being pulled.
DATABASES: dict[str, Any] = {
    "default": {"ENGINE": "django.db.backends.sqlite3", "NAME": CURECLOCK_VAR / "cureclock.sqlite3"}
}
if env.str("DATABASE_URL", default="") and not CURECLOCK_DEMO:
    DATABASES["default"] = env.db("DATABASE_URL")
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = {
        "timeout": 20,
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA foreign_keys=ON;",
    }
    DATABASES["default"]["TEST"] = {"NAME": CURECLOCK_VAR / "test.sqlite3"}
DATABASES["default"]["CONN_MAX_AGE"] = None
DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
REDIS_URL = env.str("REDIS_URL", default="")

# Mail
globals().update(env.email_url("CURECLOCK_EMAIL_URL", default="dummymail://"))
DEFAULT_FROM_EMAIL = env.str("CURECLOCK_EMAIL_FROM", default="cureclock@localhost")

# Time and words
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en"

# Logs
CURECLOCK_LOG_LEVEL = env.str("CURECLOCK_LOG_LEVEL", default="WARNING").upper()
CURECLOCK_LOG_FORMAT = env.str("CURECLOCK_LOG_FORMAT", default="plain")
LOGGING = logs.logging_config(CURECLOCK_LOG_LEVEL, CURECLOCK_LOG_FORMAT)

# The API
REST_FRAMEWORK: dict[str, Any] = {
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "UNAUTHENTICATED_USER": None,
}
SPECTACULAR_SETTINGS: dict[str, Any] = {"TITLE": "CureClock", "SERVE_INCLUDE_SCHEMA": False}
