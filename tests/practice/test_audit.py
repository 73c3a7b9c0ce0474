"""The trail: names of fields and never values, and nobody can change what it holds."""

from __future__ import annotations

import pytest
from django.db import DatabaseError, transaction
from django.test import RequestFactory

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.models import AuditEntry, Practice, User


@pytest.fixture
def entry(owner: User, practice: Practice) -> AuditEntry:
    return audit.record(
        by=Actor(owner, "192.0.2.7"), verb="changed", subject=practice, fields=["name", "country"]
    )


def test_an_entry_says_who_what_and_when(entry: AuditEntry, owner: User) -> None:
    assert (entry.actor, entry.verb, entry.subject_kind, entry.subject_id) == (
        owner,
        "changed",
        "practice.practice",
        "1",
    )
    assert (entry.fields, entry.address, entry.at.date().isoformat()) == (
        ["country", "name"],
        "192.0.2.7",
        "2026-12-03",
    )


def test_an_entry_cannot_be_changed(entry: AuditEntry) -> None:
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        AuditEntry.objects.filter(pk=entry.pk).update(verb="nothing")
    assert AuditEntry.objects.get(pk=entry.pk).verb == "changed"


def test_an_entry_cannot_be_deleted(entry: AuditEntry) -> None:
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        AuditEntry.objects.filter(pk=entry.pk).delete()
    assert AuditEntry.objects.filter(pk=entry.pk).exists()


def test_a_command_acts_as_nobody(practice: Practice) -> None:
    made = audit.record(by=audit.SYSTEM, verb="checked")
    assert (made.actor, made.address, made.subject_kind) == (None, None, "")


def test_the_address_comes_from_the_connection(owner: User) -> None:
    request = RequestFactory().get("/", REMOTE_ADDR="203.0.113.9", HTTP_X_FORWARDED_FOR="1.1.1.1")
    request.user = owner
    assert audit.actor_of(request) == Actor(owner, "203.0.113.9")
