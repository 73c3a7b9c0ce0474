"""A person makes, renews and switches off the address of her feed."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError
from django.test import Client as Browser
from django.urls import reverse

from coach.feeds import actions, queries, rules
from coach.feeds.models import FeedAddress, Kind
from coach.practice.audit import Actor
from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Role
from tests import factories

TOKEN = re.compile(r"http://testserver/feeds/([A-Za-z0-9_-]+)\.ics")


def give(person: User) -> str:
    return actions.give_address(by=Actor(person, "192.0.2.7"), person=person)


def verbs() -> list[str]:
    return list(AuditEntry.objects.order_by("pk").values_list("verb", flat=True))


def test_the_hash_is_sha_256() -> None:
    """FIPS 180-4: the published example for the message "abc"."""
    assert rules.token_hash("abc") == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )


def test_an_address_has_256_random_bits_and_opens_her_feed(owner: User) -> None:
    tokens = {give(owner) for _ in range(20)}
    assert len(tokens) == 20
    assert {len(token) for token in tokens} == {43}  # 32 octets in base64url, RFC 4648 section 5


def test_the_address_opens_the_feed_of_its_person(owner: User) -> None:
    found = queries.address_behind(give(owner))
    assert found is not None
    assert (found.person, found.kind) == (owner, Kind.UPLOADS)


def test_the_secret_part_is_kept_nowhere(browser: Browser) -> None:
    page = browser.post(reverse("feeds:make")).content.decode()
    (token,) = set(TOKEN.findall(page))
    stored = [str(list(model._default_manager.values())) for model in apps.get_models()]
    assert [rows for rows in stored if token in rows] == []


def test_a_new_address_kills_the_old_one_at_once(owner: User) -> None:
    old, new = give(owner), give(owner)
    assert queries.address_behind(old) is None
    assert queries.address_behind(new) == queries.live_address(owner)
    assert verbs() == ["made a feed address", "renewed a feed address"]


def test_withdrawing_kills_it_and_is_recorded_once(owner: User) -> None:
    token, by = give(owner), Actor(owner, "192.0.2.7")
    assert actions.withdraw_address(by=by, person=owner) is True
    assert actions.withdraw_address(by=by, person=owner) is False
    assert queries.address_behind(token) is None
    assert verbs() == ["made a feed address", "withdrew a feed address"]


def test_the_trail_names_who_and_from_where_and_no_secret(owner: User) -> None:
    token = give(owner)
    entry = AuditEntry.objects.get()
    assert (entry.actor, entry.address, entry.subject_kind) == (
        owner,
        "192.0.2.7",
        "feeds.feedaddress",
    )
    assert entry.fields == ["kind", "person"]
    assert token not in str(AuditEntry.objects.values())


def test_an_address_after_one_withdrawn_is_made_not_renewed(owner: User) -> None:
    give(owner)
    actions.withdraw_address(by=Actor(owner), person=owner)
    give(owner)
    assert verbs()[-1] == "made a feed address"


def test_each_person_has_her_own(owner: User) -> None:
    assistant = factories.person(Role.ASSISTANT)
    hers, theirs = give(owner), give(assistant)
    actions.withdraw_address(by=Actor(assistant), person=assistant)
    assert queries.address_behind(hers) is not None
    assert queries.address_behind(theirs) is None


@pytest.mark.parametrize("change", [{"is_active": False}, {"role": Role.BOOKKEEPER}])
def test_who_may_no_longer_see_uploads_has_no_feed(owner: User, change: dict[str, Any]) -> None:
    token = give(owner)
    User.objects.filter(pk=owner.pk).update(**change)
    assert queries.address_behind(token) is None


def test_the_database_refuses_a_second_live_address(owner: User) -> None:
    FeedAddress.objects.create(kind=Kind.UPLOADS, person=owner, token_hash="1" * 64)
    with pytest.raises(IntegrityError):
        FeedAddress.objects.create(kind=Kind.UPLOADS, person=owner, token_hash="2" * 64)


# The page


PAGE = {
    "owner": 200,
    "covering coach": 200,
    "assistant": 200,
    "bookkeeper": 403,
    "leaver": 302,
    "nobody": 302,
}


def test_the_page_is_for_those_who_see_uploads(people: dict[str, Any], signed_in: Any) -> None:
    answers = {
        name: signed_in(person).get(reverse("feeds:index")).status_code
        for name, person in people.items()
    }
    assert answers == PAGE


@pytest.mark.parametrize("name", ["make", "switch_off"])
def test_nobody_else_makes_or_switches_off(
    people: dict[str, Any], signed_in: Any, name: str
) -> None:
    for person in ("bookkeeper", "leaver", "nobody"):
        answer = signed_in(people[person]).post(reverse(f"feeds:{name}"))
        assert answer.status_code == PAGE[person]
    assert FeedAddress.objects.count() == 0


@pytest.mark.parametrize("name", ["make", "switch_off"])
def test_asking_by_get_changes_nothing(browser: Browser, name: str) -> None:
    answer = browser.get(reverse(f"feeds:{name}"))
    assert (answer.status_code, answer.headers["Allow"]) == (405, "POST")


@pytest.mark.parametrize("name", ["make", "switch_off"])
def test_a_form_from_elsewhere_changes_nothing(owner: User, name: str) -> None:
    browser = Browser(enforce_csrf_checks=True)
    browser.force_login(owner)
    assert browser.post(reverse(f"feeds:{name}")).status_code == 403
    assert FeedAddress.objects.count() == 0


def test_the_new_address_is_shown_in_both_forms_and_never_again(browser: Browser) -> None:
    answer = browser.post(reverse("feeds:make"))
    page = answer.content.decode()
    (token,) = set(TOKEN.findall(page))
    assert f"<code>webcal://testserver/feeds/{token}.ics</code>" in page
    assert f'href="webcal://testserver/feeds/{token}.ics"' in page
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert token not in browser.get(reverse("feeds:index")).content.decode()


def test_behind_tls_the_address_begins_with_https(browser: Browser) -> None:
    page = browser.post(reverse("feeds:make"), secure=True).content.decode()
    assert len(re.findall(r"<code>https://testserver/feeds/[\w-]{43}\.ics</code>", page)) == 1
    assert len(re.findall(r"<code>webcal://testserver/feeds/[\w-]{43}\.ics</code>", page)) == 1


def test_the_page_says_whether_it_is_on_and_when_it_was_read(browser: Browser) -> None:
    assert "You have <b>no address</b> yet." in browser.get(reverse("feeds:index")).content.decode()
    page = browser.post(reverse("feeds:make")).content.decode()
    (token,) = set(TOKEN.findall(page))
    page = browser.get(reverse("feeds:index")).content.decode()
    assert "<b>switched on</b> since 3 December 2026." in page
    assert "No program has read it yet." in page
    Browser().get(reverse("feeds:calendar", args=[token]))
    page = browser.get(reverse("feeds:index")).content.decode()
    assert "Last read on 3 December 2026 at about 09:00." in page


def test_switching_off_leads_back_and_says_so(browser: Browser, owner: User) -> None:
    give(owner)
    answer = browser.post(reverse("feeds:switch_off"), follow=True)
    assert answer.redirect_chain == [(reverse("feeds:index"), 302)]
    page = answer.content.decode()
    assert "The address is switched off. Nothing can read it any more." in page
    assert "You have <b>no address</b> yet." in page
