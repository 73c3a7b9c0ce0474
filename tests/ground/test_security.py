"""What every answer carries, after OWASP ASVS 5.0 (sections named beside each check)."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import Any

import pytest
from django.conf import settings
from django.test import Client as Browser
from django.test import override_settings

from coach.practice.models import User
from tests import factories
from tests.conftest import sign_in

POLICY = (
    "script-src 'self'",
    "style-src 'self'",
    "object-src 'none'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
    "form-action 'self'",
    "default-src 'none'",
)
UNDER_TLS: dict[str, Any] = {
    "SESSION_COOKIE_SECURE": True,
    "SESSION_COOKIE_NAME": "__Host-session",
    "SESSION_COOKIE_HTTPONLY": True,
    "SESSION_COOKIE_SAMESITE": "Lax",
    "CSRF_COOKIE_SECURE": True,
    "CSRF_COOKIE_NAME": "__Host-csrf",
    "SECURE_HSTS_SECONDS": 31_536_000,
    "SECURE_HSTS_INCLUDE_SUBDOMAINS": True,
    "SECURE_SSL_REDIRECT": True,
    "DEBUG": False,
}
PAGES = ("/", "/clients/", "/practice/trail/", "/uploads/2027-01/", "/account/login/", "/nowhere/")


@pytest.mark.parametrize("path", PAGES)
def test_every_page_carries_a_strict_content_policy(browser: Browser, path: str) -> None:
    """ASVS 3.4.3."""
    policy = browser.get(path)["Content-Security-Policy"]
    assert [part for part in POLICY if part not in policy] == []
    assert "unsafe" not in policy


def test_a_refused_page_carries_it_too(owner: User) -> None:
    refused = sign_in(factories.person(role="bookkeeper")).get("/practice/trail/")  # type: ignore[arg-type]  # a role is a word
    assert refused.status_code == 403
    assert "default-src 'none'" in refused["Content-Security-Policy"]


@pytest.mark.parametrize("path", PAGES)
def test_nothing_is_sniffed_framed_or_told_to_others(browser: Browser, path: str) -> None:
    """ASVS 3.4.4, 3.4.5, 3.4.6, 3.4.8."""
    answer = browser.get(path)
    assert {
        name: answer.get(name)
        for name in (
            "X-Content-Type-Options",
            "Referrer-Policy",
            "X-Frame-Options",
            "Cross-Origin-Opener-Policy",
        )
    } == {
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "same-origin",
        "X-Frame-Options": "DENY",
        "Cross-Origin-Opener-Policy": "same-origin",
    }


@pytest.mark.parametrize("path", [path for path in PAGES if path != "/account/login/"])
def test_no_copy_of_a_signed_in_page_is_kept(browser: Browser, path: str) -> None:
    """ASVS 14.3.2."""
    assert "no-store" in browser.get(path)["Cache-Control"]


def test_a_page_that_fails_says_nothing_of_why(
    browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """ASVS 16.5.1."""

    def fail(*_: Any, **__: Any) -> None:
        raise RuntimeError("bleeding at 20 weeks")

    monkeypatch.setattr("coach.today.views.today_page", fail)
    browser.raise_request_exception = False
    answer = browser.get("/")
    assert answer.status_code == 500
    assert "bleeding" not in answer.content.decode()


def test_a_wrong_host_is_refused(browser: Browser) -> None:
    with override_settings(ALLOWED_HOSTS=["coach.example.org"]):
        assert browser.get("/", headers={"host": "evil.example"}).status_code == 400


@pytest.mark.parametrize(
    "target", ["//evil.example", "https:///evil.example", "javascript:alert(1)"]
)
def test_signing_in_leads_nowhere_else(practice: Any, target: str) -> None:
    """ASVS 3.7.2."""
    factories.person(password="a long walk by the canal")
    sent = {"login": "owner@example.org", "password": "a long walk by the canal", "next": target}
    answer = Browser().post("/account/login/", sent)
    assert (answer.status_code, answer["Location"]) == (302, "/")


def settings_with(**variables: str) -> dict[str, Any]:
    """Some settings as another process reads them."""
    names = [*UNDER_TLS]
    code = (
        "import json; from django.conf import settings; "
        f"print(json.dumps({{name: getattr(settings, name) for name in {names}}}))"
    )
    found = subprocess.run(
        [sys.executable, "-c", code],
        cwd=settings.BASE_DIR,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "coach.settings", **variables},
        capture_output=True,
        text=True,
        check=True,
    )
    values: dict[str, Any] = json.loads(found.stdout)
    return values


def test_under_tls_cookies_are_secure_and_hsts_lasts_a_year() -> None:
    """ASVS 3.3.1 to 3.3.4 and 3.4.1."""
    assert settings_with(COACH_TLS="1", COACH_HOSTS="coach.example.org") == UNDER_TLS


def test_without_tls_the_same_cookies_work_on_this_computer() -> None:
    found = settings_with()
    assert (found["SESSION_COOKIE_SECURE"], found["SESSION_COOKIE_NAME"], found["DEBUG"]) == (
        False,
        "session",
        False,
    )
