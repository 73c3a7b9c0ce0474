"""A walk over every address as each role, as somebody who has left, and as nobody.

An address without a row in addresses.py fails the suite: whoever adds a page says who may see it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from typing import Any

import pytest
from django.apps import apps
from django.db import transaction
from django.test import Client as Browser
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from coach.practice.models import AuditEntry, User
from coach.practice.permissions import Role
from tests.addresses import ANYBODY, TABLE
from tests.conftest import sign_in
from tests.world import one_of_everything


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
    return one_of_everything(people)


def path_of(name: str, world: dict[str, Any]) -> str:
    return reverse(name, args=[world[arg] for arg in TABLE[name].args])


def open_(browser: Browser, name: str, world: dict[str, Any]) -> int:
    path = path_of(name, world)
    return (browser.post(path) if TABLE[name].post else browser.get(path)).status_code


def section(name: str) -> str:
    """The room that an address belongs to: what stands before its colon."""
    return name.partition(":")[0] if ":" in name else "the site"


@pytest.mark.parametrize("of", sorted({section(name) for name in TABLE}))
def test_each_role_opens_what_its_row_says(
    of: str, people: dict[str, User | None], world: dict[str, Any]
) -> None:
    wrong = {}
    for name in (one for one in TABLE if section(one) == of):
        with transaction.atomic():  # each address finds the world as it was
            if found := opened_otherwise(name, people, world):
                wrong[name] = found
            transaction.set_rollback(True)
    assert wrong == {}


def opened_otherwise(
    name: str, people: dict[str, User | None], world: dict[str, Any]
) -> list[tuple[Role, int]]:
    """The roles that are shown something else than the row says, with what they are shown."""
    row, wrong = TABLE[name], []
    # Those who may not come first, so that what an act changes cannot hide a refusal.
    roles = sorted(Role, key=row.allows)
    first = next((role for role in roles if row.allows(role)), None)
    for role in roles:
        shown = row.shows if row.allows(role) else frozenset({403})
        if row.post and row.allows(role) and role != first:
            shown |= {404}  # once the first has done it, the thing acted upon may be gone
        status = open_(sign_in(people[role]), name, world)
        if status not in shown:
            wrong.append((role, status))
    return wrong


@pytest.mark.parametrize("who", ["nobody", "leaver"])
def test_a_stranger_is_led_to_sign_in_everywhere_and_changes_nothing(
    who: str, people: dict[str, User | None], world: dict[str, Any]
) -> None:
    browser = sign_in(people[who])
    open_(browser, "feeds:calendar", world)  # notes when it was read, once an hour
    before, trail = contents(), AuditEntry.objects.count()
    statuses = {name: open_(browser, name, world) for name in TABLE}
    shown = {
        name: row.shows if row.who == ANYBODY else frozenset({302}) for name, row in TABLE.items()
    }
    assert {name: n for name, n in statuses.items() if n not in shown[name]} == {}
    assert (contents(), AuditEntry.objects.count()) == (before, trail)


def test_no_act_is_done_by_looking(owner: User, world: dict[str, Any]) -> None:
    browser = sign_in(owner)
    statuses = {
        name: browser.get(path_of(name, world)).status_code
        for name, row in TABLE.items()
        if row.post
    }
    assert {name: status for name, status in statuses.items() if status != 405} == {}


def test_every_act_needs_the_token_of_its_form(owner: User, world: dict[str, Any]) -> None:
    """ASVS 5.0, 3.5.1: every address that takes a POST, but the one that programs read."""
    strict = Browser(enforce_csrf_checks=True)
    strict.force_login(owner)
    statuses = {
        name: strict.post(path_of(name, world)).status_code
        for name in TABLE
        if name != "feeds:calendar"
    }
    assert {name: n for name, n in statuses.items() if n not in {403, 405}} == {}


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
