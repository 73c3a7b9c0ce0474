"""The audit trail: who did what to which record and when; names of fields, never values.

Written by actions, and by views that show a health record. Entries are append-only: triggers in
the database refuse to change or delete one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db import connection, models
from django.http import HttpRequest

from coach import clock
from coach.practice.models import AuditEntry

if TYPE_CHECKING:
    from coach.practice.models import User


@dataclass(frozen=True, slots=True)
class Actor:
    """Who acts, from which network address; nobody (`SYSTEM`) for commands."""

    user: User | None = None
    address: str | None = None


SYSTEM = Actor()


def actor_of(request: HttpRequest) -> Actor:
    """The person signed in and the address her request came from."""
    user = request.user if request.user.is_authenticated else None
    return Actor(user, request.META.get("REMOTE_ADDR") or None)


def record(
    *,
    by: Actor,
    verb: str,
    subject: models.Model | None = None,
    fields: Iterable[str] = (),
    reason: str = "",
) -> AuditEntry:
    """Add one entry. Call it inside the transaction of what it records."""
    return AuditEntry.objects.create(
        actor=by.user,
        at=clock.now(),
        verb=verb,
        subject_kind=subject._meta.label_lower if subject else "",
        subject_id=str(subject.pk) if subject else "",
        fields=sorted(fields),
        reason=reason,
        address=by.address,
    )


_SQLITE = """
CREATE TRIGGER IF NOT EXISTS {table}_no_{verb} BEFORE {verb} ON {table}
BEGIN SELECT RAISE(ABORT, 'the audit trail is append-only'); END
"""
_POSTGRES_FUNCTION = """
CREATE OR REPLACE FUNCTION refuse_audit_change() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION 'the audit trail is append-only'; END $$
"""
_POSTGRES = """
CREATE OR REPLACE TRIGGER {table}_no_{verb} BEFORE {verb} ON {table}
FOR EACH ROW EXECUTE FUNCTION refuse_audit_change()
"""
_TABLE = AuditEntry._meta.db_table


def make_append_only() -> None:
    """Put the triggers in place; after each migration, because SQLite loses them in a rebuild."""
    sqlite = connection.vendor == "sqlite"
    with connection.cursor() as cursor:
        if not sqlite:
            cursor.execute(_POSTGRES_FUNCTION)
        for verb in ("UPDATE", "DELETE"):
            cursor.execute((_SQLITE if sqlite else _POSTGRES).format(table=_TABLE, verb=verb))


def allow_changes() -> None:
    """Take the triggers away: only for emptying a test or demo database."""
    on = "" if connection.vendor == "sqlite" else f" ON {_TABLE}"
    with connection.cursor() as cursor:
        for verb in ("UPDATE", "DELETE"):
            cursor.execute(f"DROP TRIGGER IF EXISTS {_TABLE}_no_{verb}{on}")
