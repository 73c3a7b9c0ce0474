"""A walk over every address as each role, as somebody who has left, and as nobody.

An address without a row in TABLE fails the suite: whoever adds a page says who may see it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

import pytest
from django.apps import apps
from django.test import Client as Browser
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from coach.feeds.actions import give_address
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Access, Fact, Role, access
from content.models import Proposal
from tests import factories
from tests.conftest import sign_in

SEE, CHANGE = Access.SEE, Access.CHANGE
EVERY_ROLE, ANYBODY = "every role", "anybody"


@dataclass(frozen=True)
class Row:
    """Who may open an address: roles with that access to that fact, every role, or anybody.

    `args` are those of the URL, by names of rows in `world`; `post` marks what only takes POST.
    `shows` is the status that whoever may sees.
    """

    who: tuple[Fact, Access] | str
    args: tuple[Any, ...] = ()
    post: bool = False
    shows: frozenset[int] = frozenset({200})

    def allows(self, role: str) -> bool:
        if isinstance(self.who, str):
            return True
        fact, wanted = self.who
        return access(role, fact) >= wanted


def page(fact: Fact, wanted: Access = SEE, *args: Any) -> Row:
    return Row((fact, wanted), args)


def act(fact: Fact, *args: Any, wanted: Access = CHANGE) -> Row:
    return Row((fact, wanted), args, post=True, shows=frozenset({200, 302, 400, 422}))


def account(*args: Any, shows: int | tuple[int, ...] = 200, post: bool = False) -> Row:
    found = (shows,) if isinstance(shows, int) else shows
    return Row(EVERY_ROLE, args, post=post, shows=frozenset(found))


CONTENT, CONTACT, PRACTICE = Fact.CONTENT, Fact.CONTACT, Fact.PRACTICE
TABLE: dict[str, Row] = {
    "home": Row(EVERY_ROLE),
    "style": page(PRACTICE),
    "begin": Row(ANYBODY, shows=frozenset({404})),
    # the practice
    "practice:index": Row(EVERY_ROLE),
    "practice:details": page(PRACTICE, CHANGE),
    "practice:trail": page(PRACTICE),
    "practice:roles": page(PRACTICE),
    "practice:take_away": act(PRACTICE),
    "practice:people": page(PRACTICE),
    "practice:add_person": act(PRACTICE),
    "practice:person": page(PRACTICE, CHANGE, "person"),
    "practice:person_link": act(PRACTICE, "person"),
    # uploads
    "uploads:now": Row((CONTENT, SEE), shows=frozenset({302})),
    "uploads:wishes": page(CONTENT, CHANGE),
    "uploads:month": page(CONTENT, SEE, "month"),
    "uploads:propose": act(CONTENT, "month"),
    "uploads:accept": act(CONTENT, "month"),
    "uploads:drop": act(CONTENT, "month"),
    "uploads:put_on": act(CONTENT, "month", "proposed day"),
    "uploads:leave_out": act(CONTENT, "month", "proposed day"),
    "uploads:move": act(CONTENT, "month", "upload"),
    "uploads:place": act(CONTENT, "month"),
    "uploads:add_day_off": act(CONTENT, "month"),
    "uploads:remove_day_off": act(CONTENT, "month", "day off"),
    # classes
    "classes:shelf": page(CONTENT),
    "classes:history": page(CONTENT),
    "classes:add": page(CONTENT, CHANGE),
    "classes:detail": page(CONTENT, SEE, "class"),
    "classes:edit": page(CONTENT, CHANGE, "class"),
    "classes:step": act(CONTENT, "class"),
    "classes:place": act(CONTENT, "class"),
    "classes:publish": act(CONTENT, "class"),
    "classes:take_off": act(CONTENT, "class"),
    "classes:withdraw": act(CONTENT, "class"),
    "classes:delete": act(CONTENT, "class"),
    # clients
    "clients:roster": page(CONTACT),
    "clients:add": page(CONTACT, CHANGE),
    "clients:client": page(CONTACT, SEE, "client"),
    "clients:edit": page(CONTACT, CHANGE, "client"),
    "clients:set_standing": act(CONTACT, "client"),
    "clients:set_quiet": act(Fact.HEALTH, "client"),
    "clients:add_pregnancy": page(Fact.STAGE, CHANGE, "client"),
    "clients:edit_pregnancy": page(Fact.STAGE, CHANGE, "client", "pregnancy"),
    "clients:record_end": page(Fact.STAGE, CHANGE, "client", "pregnancy"),
    # feeds
    "feeds:index": page(CONTENT),
    "feeds:make": act(CONTENT, wanted=SEE),
    "feeds:switch_off": act(CONTENT, wanted=SEE),
    "feeds:calendar": Row(ANYBODY, ("token",)),
    # signing in, by allauth; signed in, some of its pages lead on or ask for the password again
    "account_login": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_logout": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_signup": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_inactive": Row(ANYBODY),
    "account_reset_password": Row(ANYBODY),
    "account_reset_password_done": Row(ANYBODY),
    "account_reset_password_from_key": Row(ANYBODY, ("uid", "key")),
    "account_reset_password_from_key_done": Row(ANYBODY),
    "account_confirm_email": Row(ANYBODY, ("key",)),
    "account_email_verification_sent": Row(ANYBODY, shows=frozenset({200, 302})),
    "account_email": account(),
    "account_change_password": account(shows=(200, 302)),
    "account_set_password": account(shows=(200, 302)),
    "account_reauthenticate": account(shows=(200, 302)),
    "mfa_index": account(),
    "account_confirm_login_code": Row(ANYBODY, shows=frozenset({302})),
    "mfa_authenticate": Row(ANYBODY, shows=frozenset({302})),
    "mfa_reauthenticate": account(shows=(200, 302)),
    "mfa_activate_totp": account(shows=(200, 302)),
    "mfa_deactivate_totp": account(shows=(302, 404)),
    "mfa_view_recovery_codes": account(shows=(302, 404)),
    "mfa_generate_recovery_codes": account(shows=(200, 302, 404)),
    "mfa_download_recovery_codes": account(shows=(302, 404)),
}


def every_address(resolver: URLResolver | None = None, space: str = "") -> Iterator[str]:
    """The name of every URL pattern, with its namespace."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLResolver):
            yield from every_address(pattern, space or pattern.namespace or "")
        elif isinstance(pattern, URLPattern):
            yield f"{space}:{pattern.name}" if space else str(pattern.name)


def test_every_address_has_a_row_and_every_row_an_address() -> None:
    found = list(every_address())
    assert sorted(set(found) - set(TABLE)) == []
    assert sorted(set(TABLE) - set(found)) == []


@pytest.fixture
def world(people: dict[str, User | None]) -> dict[str, Any]:
    """One of everything that an address can name."""
    factories.wishes()
    proposed = factories.fitness_class("Proposed")
    month = date(2027, 1, 1)
    slots = [{"day": "2027-01-05", "class": proposed.pk, "reasons": ["because"]}]
    Proposal.objects.create(
        month=month, status="optimal", value=1, bound=1, slots=slots, fingerprint="x"
    )
    owner = people["owner"]
    assert owner is not None
    client = factories.client("Maeve Ashgrove")
    pregnancy = factories.pregnancy(client, due=date(2027, 4, 12), dated_by="told")
    from content.rules.months import Month

    return {
        "person": people[Role.ASSISTANT].pk,  # type: ignore[union-attr]  # a role's person exists
        "month": Month(2027, 1),
        "proposed day": date(2027, 1, 5),
        "upload": factories.upload(date(2027, 1, 9)).pk,
        "day off": factories.day_off(date(2027, 1, 20)).pk,
        "class": factories.fitness_class("Idea", state="idea").pk,
        "client": client.pk,
        "pregnancy": pregnancy.pk,
        "token": give_address(by=SYSTEM, person=owner),
        "uid": "1",
        "key": "no-key",
    }


def open_(browser: Browser, name: str, world: dict[str, Any]) -> int:
    row = TABLE[name]
    path = reverse(name, args=[world[arg] for arg in row.args])
    return (browser.post(path) if row.post else browser.get(path)).status_code


@pytest.mark.parametrize("name", TABLE)
def test_each_role_opens_what_its_row_says(
    name: str, people: dict[str, User | None], world: dict[str, Any]
) -> None:
    row = TABLE[name]
    # Those who may not come first, so that what an act changes cannot hide a refusal.
    refused = [role for role in Role if not row.allows(role)]
    assert [open_(sign_in(people[role]), name, world) for role in refused] == [403] * len(refused)
    for place, role in enumerate(role for role in Role if row.allows(role)):
        # Once the first has done it, the thing acted upon may be gone.
        shown = row.shows | {404} if row.post and place else row.shows
        assert (role, open_(sign_in(people[role]), name, world)) in {(role, n) for n in shown}


@pytest.mark.parametrize("who", ["nobody", "leaver"])
@pytest.mark.parametrize("name", TABLE)
def test_a_stranger_is_led_to_sign_in(
    name: str, who: str, people: dict[str, User | None], world: dict[str, Any]
) -> None:
    row = TABLE[name]
    status = open_(sign_in(people[who]), name, world)
    if row.who == ANYBODY:
        assert status in row.shows
    else:
        assert status == 302
        assert not AuditEntry.objects.exclude(verb="made a feed address").exists()


@pytest.mark.parametrize("name", [name for name, row in TABLE.items() if row.post])
def test_an_act_is_not_done_by_looking(name: str, owner: User, world: dict[str, Any]) -> None:
    row = TABLE[name]
    path = reverse(name, args=[world[arg] for arg in row.args])
    assert sign_in(owner).get(path).status_code == 405


@pytest.mark.parametrize("name", [name for name, row in TABLE.items() if row.post])
def test_an_act_needs_the_token_of_its_form(name: str, owner: User, world: dict[str, Any]) -> None:
    """ASVS 5.0, 3.5.1."""
    row = TABLE[name]
    strict = Browser(enforce_csrf_checks=True)
    strict.force_login(owner)
    path = reverse(name, args=[world[arg] for arg in row.args])
    assert strict.post(path).status_code == 403


def test_looking_changes_nothing_but_the_trail(owner: User, world: dict[str, Any]) -> None:
    """ASVS 5.0, 3.5.3: every page opened by the owner, and the stored rows are the same."""
    browser = sign_in(owner)
    before = contents()
    for name, row in TABLE.items():
        if not row.post and name not in {"account_logout", "feeds:calendar"}:
            open_(browser, name, world)
    assert contents() == before


def contents() -> dict[str, str]:
    """A digest of the rows of every table of ours but the trail's."""
    ours = [m for m in apps.get_models() if m.__module__.startswith(("coach", "cli", "con"))]
    return {
        model._meta.label: hashlib.sha256(
            repr(list(model._default_manager.order_by("pk").values())).encode()
        ).hexdigest()
        for model in ours
        if model is not AuditEntry
    }
