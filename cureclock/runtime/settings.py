"""Settings. Everything a host may change comes from the environment; docs/reference/settings.md."""

from pathlib import Path
from typing import Any

from cureclock.runtime import addresses, keys, logs, webbuild
from cureclock.runtime.environment import database, mail, names, text, whole_number, yes_or_no

# Where things lie
ROOT = webbuild.ROOT
CURECLOCK_DEMO = yes_or_no("CURECLOCK_DEMO", default=False)
CURECLOCK_VAR = Path(text("CURECLOCK_VAR", str(ROOT / "var"))).absolute()
if CURECLOCK_DEMO:
    CURECLOCK_VAR = CURECLOCK_VAR / "demo"  # never among a maker's own pieces

# Who may come in, and by which door
SECRET_KEY = text("CURECLOCK_SECRET_KEY") or keys.kept_secret(CURECLOCK_VAR / "secret_key")
DEBUG = yes_or_no("CURECLOCK_DEBUG", default=False)
CURECLOCK_HOST = text("CURECLOCK_HOST", "0.0.0.0")
CURECLOCK_PORT = whole_number("CURECLOCK_PORT", 8000)
CURECLOCK_TLS = yes_or_no("CURECLOCK_TLS", default=True)
CURECLOCK_TLS_PORT = whole_number("CURECLOCK_TLS_PORT", CURECLOCK_PORT + 443)
CURECLOCK_CERTIFICATE = text("CURECLOCK_CERTIFICATE")
CURECLOCK_CERTIFICATE_KEY = text("CURECLOCK_CERTIFICATE_KEY")
CURECLOCK_NAMES = names("CURECLOCK_NAMES")
CURECLOCK_THREADS = whole_number("CURECLOCK_THREADS", 12)
ALLOWED_HOSTS = ["*"]  # KnownHost decides: addresses come and go while the server runs
CURECLOCK_KNOWN_NAMES = [*addresses.machine_names(), *CURECLOCK_NAMES]
CURECLOCK_BEHIND_PROXY = yes_or_no("CURECLOCK_BEHIND_PROXY", default=False)
if CURECLOCK_BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
CURECLOCK_OUTSIDE = yes_or_no("CURECLOCK_OUTSIDE", default=False)
CURECLOCK_REQUESTS_A_MINUTE = whole_number("CURECLOCK_REQUESTS_A_MINUTE", 1200)
CURECLOCK_STATEMENT_S = whole_number("CURECLOCK_STATEMENT_S", 30)
CURECLOCK_BROKER_IN_HOUSE = yes_or_no("CURECLOCK_BROKER_IN_HOUSE", default=True)
CURECLOCK_METRICS_TOKEN = text("CURECLOCK_METRICS_TOKEN")
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
CSRF_COOKIE_SECURE = True
if CURECLOCK_OUTSIDE:
    SECURE_HSTS_SECONDS = 365 * 24 * 3600
    SECURE_SSL_REDIRECT = CURECLOCK_BEHIND_PROXY  # without one, our own doors have ports
    SECURE_REDIRECT_EXEMPT = [r"^health/", r"^metrics$"]
    # The other names of this domain are not ours to speak for.
    SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
else:
    # In the house the plain door has to stay open: a phone fetches the certificate through it.
    SILENCED_SYSTEM_CHECKS = ["security.W004", "security.W008"]

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
    "cureclock.exports",
    "cureclock.runtime",
]
MIDDLEWARE = [
    "cureclock.runtime.middleware.request_id.RequestId",
    "cureclock.runtime.middleware.counted.Counted",
    "cureclock.runtime.middleware.security_policy.SecurityPolicy",
    "cureclock.runtime.middleware.known_host.KnownHost",  # before anything repeats the name
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",  # a view of 250 kB would take its time in a shed
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",  # for pages; the API asks for our own header
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "cureclock.runtime.middleware.bounded_statements.BoundedStatements",
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
if not CURECLOCK_DEMO:
    DATABASES["default"] = database("DATABASE_URL") or DATABASES["default"]
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = {
        "timeout": 20,
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA foreign_keys=ON;",
    }
    DATABASES["default"]["TEST"] = {"NAME": CURECLOCK_VAR / "test.sqlite3"}
else:
    # A dispatcher that was stopped amid a transaction must not hold its clocks for ever: the
    # server lets them go, and another one takes over. As long as a lease; our choice.
    DATABASES["default"].setdefault("OPTIONS", {}).setdefault(
        "options", "-c idle_in_transaction_session_timeout=30000"
    )
DATABASES["default"]["CONN_MAX_AGE"] = None
DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
REDIS_URL = "" if CURECLOCK_DEMO else text("REDIS_URL")
CACHES: dict[str, Any] = {
    "default": {"BACKEND": "cureclock.runtime.shared_cache.SharedCache", "LOCATION": REDIS_URL}
    if REDIS_URL
    else {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}
}

# Mail
globals().update(mail("CURECLOCK_EMAIL_URL"))
DEFAULT_FROM_EMAIL = text("CURECLOCK_EMAIL_FROM", "cureclock@localhost")

# Push services and webhooks
CURECLOCK_CONTACT = text("CURECLOCK_CONTACT")
CURECLOCK_PRIVATE_ENDPOINTS = yes_or_no("CURECLOCK_PRIVATE_ENDPOINTS", default=False)

# Time and words
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en"

# Logs
CURECLOCK_LOG_LEVEL = text("CURECLOCK_LOG_LEVEL", "WARNING").upper()
CURECLOCK_LOG_FORMAT = text("CURECLOCK_LOG_FORMAT", "plain")
LOGGING = logs.logging_config(CURECLOCK_LOG_LEVEL, CURECLOCK_LOG_FORMAT)

# The API
REST_FRAMEWORK: dict[str, Any] = {
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["cureclock.api.parser.BoundedJSONParser"],
    "DEFAULT_AUTHENTICATION_CLASSES": ["cureclock.api.who.PhoneAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["cureclock.api.who.IsPaired"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "cureclock.api.problems.handle",
    "DEFAULT_THROTTLE_CLASSES": ["cureclock.api.limits.RequestLimit"],
    "UNAUTHENTICATED_USER": None,
}
SPECTACULAR_SETTINGS: dict[str, Any] = {
    "DEFAULT_GENERATOR_CLASS": "cureclock.runtime.document.OneAtATime",
    "TITLE": "CureClock",
    "DESCRIPTION": "What a paired phone and a sensor say and hear.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PERMISSIONS": ["rest_framework.permissions.AllowAny"],
    "SERVE_AUTHENTICATION": [],
    "SCHEMA_PATH_PREFIX": "/api",
    "POSTPROCESSING_HOOKS": ["cureclock.api.schema.with_components"],
}
