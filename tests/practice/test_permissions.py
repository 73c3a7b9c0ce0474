"""The table role × kind of fact, as a coach would read it."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import AnonymousUser

from coach.practice import registry
from coach.practice.models import User
from coach.practice.models.people import ROLES
from coach.practice.permissions import TABLE, Access, Fact, Role, access, may

NONE, SEE, CHANGE = Access.NONE, Access.SEE, Access.CHANGE
KINDS = ("contact", "stage", "go_ahead", "limits", "health", "money", "content", "practice")
EXPECTED = {
    # role            contact stage   go-ahead limits  health  money   content practice
    "owner": (CHANGE, CHANGE, CHANGE, CHANGE, CHANGE, CHANGE, CHANGE, CHANGE),
    "covering coach": (SEE, SEE, SEE, SEE, NONE, NONE, SEE, NONE),
    "assistant": (CHANGE, NONE, SEE, NONE, NONE, NONE, CHANGE, NONE),
    "bookkeeper": (SEE, NONE, NONE, NONE, NONE, CHANGE, NONE, NONE),
}


@pytest.mark.parametrize("role", EXPECTED)
def test_each_role_sees_and_changes_what_the_table_says(role: str) -> None:
    facts = [Fact[name.upper()] for name in KINDS]
    assert tuple(access(role, fact) for fact in facts) == EXPECTED[role]


def test_the_table_has_every_role_and_every_fact() -> None:
    assert set(TABLE) == set(Role)
    assert {frozenset(row) for row in TABLE.values()} == {frozenset(Fact)}
    assert [role for role, _ in ROLES] == [str(role) for role in Role]


@pytest.mark.parametrize("fact", Fact)
def test_an_unknown_role_and_nobody_may_nothing(fact: Fact) -> None:
    assert access("friend", fact) == NONE
    assert not may(AnonymousUser(), fact)
    assert not may(User(role=""), fact)


def test_every_stored_field_has_a_kind_of_fact() -> None:
    assert [name for room in registry.rooms() for name in room.unnamed_fields()] == []
