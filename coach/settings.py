"""All settings, from environment variables; each is named in DEVELOPERS.md.

A value that cannot be right stops the start with a sentence rather than being guessed.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any
from urllib.parse import quote

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from coach import keys


def _switch(name: str) -> bool:
    value = os.environ.get(name, "0")
    if value not in {"0", "1"}:
        raise ImproperlyConfigured(f"{name} is {value!r}: it takes 1 or 0.")
    return value == "1"


def _database() -> dict[str, Any]:
    # Quoted, because "#" and "?" in a folder's name mean something in an address.
    url = os.environ.get("DATABASE_URL") or f"sqlite:///{quote(str(VAR / 'coach.sqlite3'))}"
    if not url.startswith(("sqlite:", "postgres:", "postgresql:")):
        raise ImproperlyConfigured("DATABASE_URL must begin with sqlite: or postgresql:.")
    found: dict[str, Any] = dict(dj_database_url.parse(url))
    if found["ENGINE"].endswith("sqlite3"):
        found["OPTIONS"] = {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": (
                "PRAGMA journal_mode=WAL; PRAGMA foreign_keys=ON; PRAGMA synchronous=FULL;"
            ),
        }
        # The live server of the browser tests runs in threads: those need a file.
        found["TEST"] = {"NAME": str(VAR / "test.sqlite3")}
    else:
        found["CONN_HEALTH_CHECKS"] = True
        found["CONN_MAX_AGE"] = 60
    return found


BASE_DIR = Path(__file__).parent.parent
VAR = Path(os.environ.get("COACH_VAR") or BASE_DIR / "var").absolute()
VAR.mkdir(mode=0o700, parents=True, exist_ok=True)
_KEYS = VAR / "keys"

DEBUG = _switch("COACH_DEBUG")
TLS = _switch("COACH_TLS")
ALLOWED_HOSTS = os.environ.get("COACH_HOSTS", "127.0.0.1,localhost").split(",")
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS] if TLS else []

SECRET_KEY = keys.kept_secret("COACH_SECRET_KEY", _KEYS, keys.new_secret_key())
FIELD_KEYS = keys.field_keys(keys.kept_secret("COACH_FIELD_KEYS", _KEYS, keys.new_field_key()))
FILE_KEY_FOLDER = _KEYS
FILES = VAR / "files"
# A letter larger than a few megabytes would lie unencrypted in a temporary file otherwise.
FILE_UPLOAD_HANDLERS = ["coach.practice.uploads.InMemory"]

INSTALLED_APPS = [
    "coach.apps.CoachConfig",
    "coach.practice.apps.PracticeConfig",
    "clients.apps.ClientsConfig",
    "content.apps.ContentConfig",
    "coach.billing.apps.BillingConfig",
    "coach.diary.apps.DiaryConfig",
    "coach.feeds.apps.FeedsConfig",
    "coach.today.apps.TodayConfig",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "csp",
    "django_htmx",
    "template_partials",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.humanize",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "coach.middleware.HtmxAnswers",
    "coach.middleware.NoStore",
    "coach.practice.middleware.BeginFirst",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]

ROOT_URLCONF = "coach.urls"
WSGI_APPLICATION = "coach.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "coach.practice.context.page",
            ],
        },
    }
]

DATABASES = {"default": _database()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
# Shared by all processes, because sign-in throttling counts in it.
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "coach_cache",
    }
}

AUTH_USER_MODEL = "practice.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS: list[dict[str, Any]] = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "home"
ACCOUNT_ADAPTER = "coach.practice.adapters.AccountAdapter"
MFA_ADAPTER = "coach.practice.adapters.MFAAdapter"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*"]
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_EMAIL_VERIFICATION = "none"  # the owner enters the addresses of her own people
ACCOUNT_EMAIL_UNKNOWN_ACCOUNTS = False
ACCOUNT_LOGOUT_ON_PASSWORD_CHANGE = False
ACCOUNT_REAUTHENTICATION_REQUIRED = True
ACCOUNT_SESSION_REMEMBER = True
# The owner entered the address; there is nothing to verify before a second step is set up.
MFA_ALLOW_UNVERIFIED_EMAIL = True
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]

SESSION_COOKIE_AGE = 14 * 24 * 3600
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = TLS
# Lax: with Strict every link opened from a calendar would show the sign-in page.
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_NAME = "__Host-session" if TLS else "session"
CSRF_COOKIE_NAME = "__Host-csrf" if TLS else "csrf"
SECURE_HSTS_SECONDS = 31_536_000 if TLS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = TLS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if TLS else None
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
        "object-src": [NONE],
    }
}

LANGUAGE_CODE = "en-gb"
USE_I18N = True
TIME_ZONE = "UTC"
USE_TZ = True

STATIC_URL = "/static/"
STATIC_ROOT = VAR / "static"
STATIC_ROOT.mkdir(exist_ok=True)
STATICFILES_DIRS: list[Path] = []
# Names with a digest need the files collected first: `demo` and `start` do so and say it here.
_COLLECTED = _switch("COACH_STATIC_COLLECTED")
_STATIC = "whitenoise.storage.CompressedManifestStaticFilesStorage"
_PLAIN = "django.contrib.staticfiles.storage.StaticFilesStorage"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": _STATIC if _COLLECTED else _PLAIN},
}
WHITENOISE_USE_FINDERS = not _COLLECTED

EMAIL_URL = os.environ.get("COACH_EMAIL")  # host:port, user and password beside it
EMAIL_BACKEND = "django.core.mail.backends." + (
    "smtp.EmailBackend" if EMAIL_URL else "console.EmailBackend"
)
EMAIL_HOST, _, _EMAIL_PORT = (EMAIL_URL or "localhost:587").partition(":")
EMAIL_PORT = int(_EMAIL_PORT or "587")
EMAIL_HOST_USER = os.environ.get("COACH_EMAIL_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("COACH_EMAIL_PASSWORD", "")
EMAIL_USE_TLS = bool(EMAIL_URL)
DEFAULT_FROM_EMAIL = os.environ.get("COACH_EMAIL_FROM", "practice@localhost")

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"no_secret_addresses": {"()": "coach.feeds.redaction.RedactSecretAddresses"}},
    "handlers": {
        "terminal": {"class": "logging.StreamHandler", "filters": ["no_secret_addresses"]},
    },
    "root": {"handlers": ["terminal"], "level": "WARNING"},
    "loggers": {
        "django": {"handlers": ["terminal"], "level": "WARNING", "propagate": False},
        "django.server": {"handlers": ["terminal"], "level": "INFO", "propagate": False},
    },
}
