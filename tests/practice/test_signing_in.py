"""Signing in: closed to strangers, slow for guessers, silent about who is there."""

from __future__ import annotations

import pytest
from django.core import mail
from django.core.cache import cache
from django.test import Client as Browser

from coach.practice.adapters import MFAAdapter
from coach.practice.encryption import CannotDecrypt
from coach.practice.models import AuditEntry, Practice, User
from tests import factories
from tests.conftest import PASSWORD

LOGIN = "/account/login/"


@pytest.fixture(autouse=True)
def _fresh_counters(db: None) -> None:
    cache.clear()


@pytest.fixture
def nuala(practice: Practice) -> User:
    return factories.person(email="nuala@example.org", password=PASSWORD)


def send(login: str, password: str, browser: Browser | None = None) -> tuple[int, bool]:
    used = browser or Browser()
    answer = used.post(LOGIN, {"login": login, "password": password})
    return answer.status_code, "_auth_user_id" in used.session


def test_her_e_mail_in_any_case_and_her_password_sign_her_in(nuala: User) -> None:
    assert send("Nuala@Example.org", PASSWORD) == (302, True)
    assert [entry.verb for entry in AuditEntry.objects.all()] == ["signed in"]


def test_a_wrong_password_is_recorded_without_what_was_typed(nuala: User) -> None:
    assert send("nuala@example.org", "a wrong one") == (200, False)
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.reason, entry.actor) == ("failed to sign in", "", None)


def test_known_and_unknown_addresses_get_the_same_answer(nuala: User) -> None:
    pages = [
        Browser().post(LOGIN, {"login": login, "password": "a wrong one"}).context["form"].errors
        for login in ("nuala@example.org", "nobody@example.org")
    ]
    assert pages[0] == pages[1]


def test_guessing_is_slowed_down(nuala: User) -> None:
    tries = [send("nuala@example.org", f"guess {n}") for n in range(12)]
    assert send("nuala@example.org", PASSWORD)[1] is False
    assert all(signed_in is False for _, signed_in in tries)


def test_nobody_can_sign_up(practice: Practice) -> None:
    sent = {"email": "stranger@example.org", "password1": PASSWORD, "password2": PASSWORD}
    for answer in (
        Browser().get("/account/signup/"),
        Browser().post("/account/signup/", sent),
    ):
        assert "Only for this practice" in answer.content.decode()
    assert User.objects.count() == 0


def test_a_forgotten_password_of_a_stranger_sends_no_mail(nuala: User) -> None:
    sent = Browser().post("/account/password/reset/", {"email": "stranger@example.org"})
    known = Browser().post("/account/password/reset/", {"email": "nuala@example.org"})
    assert (sent.status_code, sent["Location"]) == (known.status_code, known["Location"])
    assert [message.to for message in mail.outbox] == [["nuala@example.org"]]


def test_the_session_key_changes_at_sign_in_and_dies_at_sign_out(nuala: User) -> None:
    browser = Browser()
    browser.get(LOGIN)
    send("nuala@example.org", PASSWORD, browser)
    key = browser.cookies["session"].value
    browser.post("/account/logout/")
    stale = Browser()
    stale.cookies["session"] = key
    assert stale.get("/practice/").status_code == 302


def test_the_secret_of_the_second_step_is_sealed() -> None:
    adapter = MFAAdapter()
    sealed = adapter.encrypt("JBSWY3DPEHPK3PXP")
    assert "JBSWY3DPEHPK3PXP" not in sealed
    assert adapter.decrypt(sealed) == "JBSWY3DPEHPK3PXP"
    with pytest.raises(CannotDecrypt):
        adapter.decrypt(sealed[:-2] + "00")


@pytest.mark.parametrize(
    "password", ["short1234", "password123456"[:10], "1234567890", "nuala@example.org"]
)
def test_weak_passwords_are_refused(nuala: User, password: str) -> None:
    """ASVS 5.0, 6.2.1 and 6.2.4: a least length and a list of common passwords."""
    from django.contrib.auth.password_validation import validate_password
    from django.core.exceptions import ValidationError

    with pytest.raises(ValidationError):
        validate_password(password, nuala)
