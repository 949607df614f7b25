"""Django's settings. The data folder decides the rest; docs/workshop.md tells every variable."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sideshake.storage.folder import data_folder, files_folder, made, secret_key
from sideshake.web.base.database import database
from sideshake.web.base.zone import machine_zone

DATA = data_folder()
FILES = files_folder(DATA)
BACKUPS = DATA / "backups"

SECRET_KEY = secret_key(DATA)
DEBUG = False
ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]"] + [
    host for host in os.environ.get("SIDESHAKE_HOSTS", "").split(",") if host
]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "sideshake.web",
]
MIDDLEWARE = [
    "sideshake.web.base.middleware.no_body_for_head",
    "sideshake.web.base.middleware.safe_headers",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "sideshake.web.base.middleware.readable_address",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "sideshake.web.base.middleware.kept_private",
    "sideshake.web.base.middleware.say_what_is_wrong",
]
ROOT_URLCONF = "sideshake.web.urls"
TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": sorted(Path(__file__).parent.glob("*/templates")),
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": ["sideshake.web.templatetags.bench"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "sideshake.web.base.context.workshop",
            ],
        },
    }
]
WSGI_APPLICATION = "sideshake.web.wsgi.application"

DATABASES: dict[str, Any] = {"default": database(DATA, os.environ.get("DATABASE_URL", ""))}

AUTH_USER_MODEL = "bench.User"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign-in"
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
]

LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English")]
LOCALE_PATHS = [Path(__file__).parent / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = os.environ.get("SIDESHAKE_TIME_ZONE") or machine_zone()

STATIC_URL = "/static/"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False

SESSION_ENGINE = "django.contrib.sessions.backends.cached_db"
HTTPS = os.environ.get("SIDESHAKE_HTTPS") == "1"
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
"""A browser that came by HTTPS once does not come without it for a year."""
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_NAME = "sideshake_session"
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_NAME = "sideshake_csrf"
CSRF_FAILURE_VIEW = "sideshake.web.base.fault_pages.csrf_failure"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"

MOST_PHOTOGRAPH_BYTES = 60_000_000
MOST_PHOTOGRAPH_PIXELS = 80_000_000
MOST_RECORDING_BYTES = 4_000_000_000
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_000_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 1000
DATA_UPLOAD_MAX_NUMBER_FILES = 100
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.TemporaryFileUploadHandler"]
FILE_UPLOAD_TEMP_DIR = str(made(DATA / "uploading"))


def told_in_words() -> Callable[[Any], bool]:
    """Return what makes one line of a fault that a page tells in words; loaded when all is."""

    def shorten(record: Any) -> bool:
        from sideshake.web.base.faults import shorten as of_record

        return of_record(record)

    return shorten


LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"told": {"()": "sideshake.web.settings.told_in_words"}},
    "handlers": {"screen": {"class": "logging.StreamHandler", "filters": ["told"]}},
    "loggers": {
        "django": {"handlers": ["screen"], "level": "WARNING"},
        "django.request": {"level": "ERROR"},  # a refused request is told on its page
        "django.security.DisallowedHost": {"level": "CRITICAL"},  # refused, and told so
        "waitress.queue": {"level": "ERROR"},  # a page that waits its turn is no fault
        "sideshake": {"handlers": ["screen"], "level": "WARNING"},
    },
}
