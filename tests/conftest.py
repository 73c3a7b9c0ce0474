"""The standing people of every test, and a world that cannot touch a real practice."""

from __future__ import annotations

import os
import uuid
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import transaction
from django.test import Client as Browser
from hypothesis import settings as settings_of_properties
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import sync_playwright

from coach.billing import frozen
from coach.management import demo_practice
from coach.practice import audit
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from tests import factories

# Properties are tried on fewer examples at a desk than where everything is run.
settings_of_properties.register_profile("desk", max_examples=40)
if not os.environ.get("CI"):
    settings_of_properties.load_profile("desk")

TODAY = date(2026, 12, 3)
PASSWORD = "a long walk by the canal"
_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@pytest.fixture(autouse=True)
def _own_world(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Thursday 3 December 2026 in every test, files in its own folder, quick passwords."""
    monkeypatch.setenv("COACH_TODAY", TODAY.isoformat())
    # Made when the first file is stored: most tests store none.
    monkeypatch.setattr(settings, "FILES", tmp_path_factory.getbasetemp() / uuid.uuid4().hex)
    monkeypatch.setattr(
        settings, "PASSWORD_HASHERS", ["django.contrib.auth.hashers.MD5PasswordHasher"]
    )


@pytest.fixture
def _append_only_off(request: pytest.FixtureRequest) -> Iterator[None]:
    """Emptying the tables after a transactional test would meet the triggers that guard some."""
    yield
    audit.allow_changes()
    frozen.allow_changes()


@pytest.fixture
def transactional_db(transactional_db: None, _append_only_off: None) -> None:
    """As pytest-django's, but the audit trail can be emptied afterwards."""


@pytest.fixture
def today() -> date:
    """The date it is in every test."""
    return TODAY


@pytest.fixture
def practice(db: None) -> Practice:
    """An invented practice in Galway."""
    return factories.practice()


@pytest.fixture
def owner(practice: Practice) -> User:
    return factories.person(Role.OWNER, password=PASSWORD)


@pytest.fixture
def people(owner: User) -> dict[str, User | None]:
    """Everybody a page is tested with: each role, somebody without access, and nobody."""
    others = {
        str(role): factories.person(role, password=PASSWORD) for role in Role if role != Role.OWNER
    }
    leaver = factories.person(Role.OWNER, email="leaver@example.org", is_active=False)
    return {"owner": owner, **others, "leaver": leaver, "nobody": None}


@pytest.fixture
def browser(owner: User) -> Browser:
    """The owner's browser, signed in."""
    return sign_in(owner)


def sign_in(user: Any) -> Browser:
    """A browser signed in as somebody, or as nobody."""
    made = Browser()
    if user is not None:
        made.force_login(user)
    return made


@pytest.fixture(scope="module")
def _demo_files(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Path]:
    """The demo, built once for the tests of a file and taken back at their end."""
    folder = tmp_path_factory.mktemp("demo")
    with django_db_blocker.unblock(), transaction.atomic():
        with pytest.MonkeyPatch.context() as world:
            world.setenv("COACH_TODAY", TODAY.isoformat())
            world.setattr(settings, "FILES", folder)
            demo_practice.build(TODAY)
        yield folder
        transaction.set_rollback(True)


@pytest.fixture
def demo(_demo_files: Path, db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """The demo practice; for files whose every test wants it. What a test changes is undone."""
    monkeypatch.setattr(settings, "FILES", _demo_files)


@pytest.fixture
def signed_in() -> Any:
    """`signed_in(user)` gives that person's browser."""
    return sign_in


@pytest.fixture(scope="session")
def chromium() -> Iterator[Chromium]:
    """One browser for all tests. Playwright's event loop runs here, Django's guard is told so."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    path = os.environ.get("COACH_CHROMIUM") or "/usr/bin/chromium"
    manager = sync_playwright()
    with manager as playwright:
        # The development mode notes where each of its calls comes from: a fifth of the time.
        manager._loop.set_debug(False)
        browser = playwright.chromium.launch(executable_path=path, args=_ARGUMENTS)
        yield browser
        browser.close()
