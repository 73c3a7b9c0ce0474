"""What each role gets of each command with `--as`: the table of permissions, again."""

from __future__ import annotations

import json
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories
from tests.world import one_of_everything

NONE = "refused"


@pytest.fixture(autouse=True)
def _world(people: dict[str, User | None], today: date) -> None:
    one_of_everything(people)


def run(*arguments: str) -> str:
    out = StringIO()
    call_command(*arguments, stdout=out)
    return out.getvalue()


def got(*arguments: str) -> str:
    try:
        return run(*arguments)
    except CommandError as refused:
        if "does not see" not in str(refused):
            raise
        return NONE


@pytest.mark.parametrize(
    ("role", "words", "reasons"),
    [
        (Role.OWNER, True, True),
        (Role.COVERING_COACH, True, False),
        (Role.ASSISTANT, True, False),
        (Role.BOOKKEEPER, False, False),
    ],
)
def test_due_tells_the_word_to_some_and_why_to_the_owner(
    role: str, words: bool, reasons: bool
) -> None:
    text = got("due", "--json", "--as", str(role))
    found: dict[str, Any] = json.loads(text) if text != NONE else {"clearances": []}
    assert bool(found["clearances"]) == words
    assert any(row["reasons"] for row in found["clearances"]) == reasons
    assert bool(found.get("reassessments")) == reasons
    assert ("Dizzy" in text) == reasons


@pytest.mark.parametrize(
    ("role", "slots", "reasons"),
    [
        (Role.OWNER, True, True),
        (Role.COVERING_COACH, True, True),
        (Role.ASSISTANT, True, False),
        (Role.BOOKKEEPER, False, False),
    ],
)
def test_plan_gives_its_reasons_to_those_who_see_stages(
    role: str, slots: bool, reasons: bool
) -> None:
    # The client of the world is on hold: nothing is planned for her.
    factories.pregnancy(factories.client("Honora Finch"), due=date(2027, 4, 12))
    text = got("plan", "2027-01", "--json", "--as", str(role))
    found: dict[str, Any] = json.loads(text) if text != NONE else {"slots": [], "unmet": []}
    assert bool(found["slots"]) == slots
    assert any(slot["reasons"] for slot in found["slots"]) == reasons
    assert ("trimester" in text) == reasons


@pytest.mark.parametrize(
    ("command", "allowed"),
    [
        (("feed", "uploads"), {Role.OWNER, Role.COVERING_COACH, Role.ASSISTANT}),
        (("feed", "todo"), {Role.OWNER}),
    ],
)
def test_feeds_are_printed_for_those_who_may_read_them(
    command: tuple[str, ...], allowed: set[Role]
) -> None:
    shown = {role for role in Role if got(*command, "--as", str(role)) != NONE}
    assert shown == allowed


def test_an_invoice_is_written_for_those_who_see_money(tmp_path: Path) -> None:
    file = tmp_path / "invoice.pdf"
    shown = set()
    for role in Role:
        file.unlink(missing_ok=True)
        got("invoice", "2026-00001", "--pdf", str(file), "--as", str(role))
        if file.exists():
            shown.add(role)
    assert shown == {Role.OWNER, Role.BOOKKEEPER}
