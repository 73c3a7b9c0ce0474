"""Signing in and the pages around it: in our look, with nothing the content policy refuses."""

from __future__ import annotations

import re

import pytest
from django.core.cache import cache
from django.test import Client as Browser

from coach.practice.models import Practice, User
from tests import factories
from tests.conftest import PASSWORD

OUTSIDE = {
    "/account/login/": "Sign in",
    "/account/signup/": "Only for this practice",
    "/account/password/reset/": "A new password",
    "/account/password/reset/done/": "Look in your mail",
    "/account/password/reset/key/1-none/": "This link has run out",
    "/account/password/reset/key/done/": "Your password is kept",
    "/account/inactive/": "No longer open",
    "/account/confirm-email/": "Look in your mail",
    "/account/confirm-email/none/": "This link has run out",
}
INSIDE = {
    "/account/password/change/": "Your sign-in",
    "/account/email/": "Your sign-in",
    "/account/2fa/": "Your sign-in",
    "/account/logout/": "Sign out?",
    "/account/reauthenticate/": "Is it you?",
}


@pytest.fixture(autouse=True)
def _fresh_counters(db: None) -> None:
    cache.clear()


def heading(page: str) -> str:
    found = re.findall(r"<h1>(.*?)(?:<small>.*?</small>)?</h1>", page, flags=re.S)
    assert len(found) == 1
    return str(found[0]).strip()


def refused_by_the_policy(page: str) -> list[str]:
    return re.findall(r"\sstyle=|<style|\son[a-z]+=|<script(?![^>]*\ssrc=)", page)


@pytest.mark.parametrize(("address", "title"), OUTSIDE.items())
def test_a_page_outside(practice: Practice, address: str, title: str) -> None:
    page = Browser().get(address).content.decode()
    assert heading(page) == title
    assert refused_by_the_policy(page) == []
    assert 'class="bare"' in page


@pytest.fixture
def proven(practice: Practice) -> Browser:
    """Somebody who has just typed her password twice, so that it is not asked for again."""
    factories.person(email="nuala@example.org", password=PASSWORD)
    made = Browser()
    made.post("/account/login/", {"login": "nuala@example.org", "password": PASSWORD})
    made.post("/account/reauthenticate/", {"password": PASSWORD})
    return made


@pytest.mark.parametrize(("address", "title"), INSIDE.items())
def test_a_page_of_her_own_sign_in(proven: Browser, address: str, title: str) -> None:
    page = proven.get(address).content.decode()
    assert heading(page) == title
    assert refused_by_the_policy(page) == []


def test_setting_up_the_app_shows_the_key_and_asks_for_a_code(proven: Browser) -> None:
    page = proven.get("/account/2fa/totp/activate/").content.decode()
    assert heading(page) == "Set up the app"
    assert re.search(r'<code id="totp-key">[A-Z2-7]{32}</code>', page)
    assert refused_by_the_policy(page) == []


def test_somebody_without_a_password_chooses_one(practice: Practice) -> None:
    newcomer = Browser()
    newcomer.force_login(factories.person(email="new@example.org"))
    page = newcomer.get("/account/password/change/", follow=True).content.decode()
    assert heading(page) == "Choose a password"


def test_a_wrong_password_keeps_the_address_and_says_so(practice: Practice) -> None:
    sent = {"login": "nuala@example.org", "password": "wrong"}
    page = Browser().post("/account/login/", sent).content.decode()
    assert 'value="nuala@example.org"' in page
    assert '<div class="summary" role="alert"' in page


def test_the_masthead_says_who_is_signed_in_and_lets_her_leave(
    browser: Browser, owner: User
) -> None:
    page = browser.get("/account/2fa/").content.decode()
    assert f'signed in as <a href="/account/password/change/">{owner.name}</a>' in page
    assert '<form class="account" method="post" action="/account/logout/">' in page


def test_a_page_that_is_not_there_is_in_our_look(browser: Browser) -> None:
    answer = browser.get("/nothing/here/")
    assert (answer.status_code, heading(answer.content.decode())) == (404, "Not here")
