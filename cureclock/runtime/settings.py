"""Settings. Everything a host may change comes from the environment (CURECLOCK_*)."""

from pathlib import Path

import environ

env = environ.Env()
ROOT = Path(__file__).resolve().parents[2]
VAR = Path(env("CURECLOCK_VAR", default=str(ROOT / "var")))

SECRET_KEY = env("CURECLOCK_SECRET_KEY", default="only-for-tests-and-first-look")
DEBUG = env.bool("CURECLOCK_DEBUG", default=False)
ALLOWED_HOSTS = ["*"]

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.staticfiles",
    "rest_framework",
    "drf_spectacular",
    "cureclock.shop",
    "cureclock.waits",
    "cureclock.planner",
    "cureclock.reminders",
    "cureclock.runtime",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.common.CommonMiddleware",
]
ROOT_URLCONF = "cureclock.runtime.urls"
WSGI_APPLICATION = "cureclock.runtime.wsgi.application"
TEMPLATES = [{"BACKEND": "django.template.backends.django.DjangoTemplates", "APP_DIRS": True}]

DATABASES = {"default": env.db("DATABASE_URL", default=f"sqlite:///{VAR / 'cureclock.sqlite3'}")}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = {
        "timeout": 20,
        "transaction_mode": "IMMEDIATE",
        "init_command": "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA foreign_keys=ON;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en"
STATIC_URL = "/static/"
