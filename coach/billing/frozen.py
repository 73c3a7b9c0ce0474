"""What may not change, kept by the database itself: triggers, as for the audit trail.

An issued invoice and its lines are frozen, payments and sessions used are append-only. Whatever
writes past the actions is refused as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.db import connection, models

from coach.billing.models import Invoice, InvoiceLine, Payment, SessionUse

_INVOICES = Invoice._meta.db_table


def _of_issued(*rows: str) -> str:
    """True in SQL for a line whose invoice is issued, as it was or as it would be."""
    ids = ", ".join(f"{row}.invoice_id" for row in rows)
    some = f"SELECT 1 FROM {_INVOICES} WHERE id IN ({ids})"  # noqa: S608  # names of ours
    return f"EXISTS ({some} AND issued_on IS NOT NULL)"


_ALWAYS = "1 = 1"
_ISSUED = "OLD.issued_on IS NOT NULL"


@dataclass(frozen=True, slots=True)
class _Refusal:
    """One trigger: refuse a verb on a model's table when the condition holds."""

    model: type[models.Model]
    verb: str
    condition: str
    sentence: str

    @property
    def table(self) -> str:
        return self.model._meta.db_table

    @property
    def name(self) -> str:
        return f"{self.table}_no_{self.verb.lower()}"


def _append_only(model: type[models.Model]) -> Iterator[_Refusal]:
    for verb in ("UPDATE", "DELETE"):
        yield _Refusal(model, verb, _ALWAYS, f"{model._meta.verbose_name_plural} are append-only")


_FROZEN = "an issued invoice never changes"
_REFUSALS = (
    _Refusal(Invoice, "UPDATE", _ISSUED, _FROZEN),
    _Refusal(Invoice, "DELETE", _ISSUED, _FROZEN),
    _Refusal(InvoiceLine, "INSERT", _of_issued("NEW"), _FROZEN),
    _Refusal(InvoiceLine, "UPDATE", _of_issued("OLD", "NEW"), _FROZEN),
    _Refusal(InvoiceLine, "DELETE", _of_issued("OLD"), _FROZEN),
    *_append_only(Payment),
    *_append_only(SessionUse),
)

_SQLITE = """
CREATE TRIGGER IF NOT EXISTS {one.name} BEFORE {one.verb} ON {one.table} WHEN {one.condition}
BEGIN SELECT RAISE(ABORT, '{one.sentence}'); END
"""
_POSTGRES_FUNCTION = """
CREATE OR REPLACE FUNCTION {one.name}() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF {one.condition} THEN RAISE EXCEPTION '{one.sentence}'; END IF;
  IF TG_OP = 'DELETE' THEN RETURN OLD; END IF;
  RETURN NEW;
END $$
"""
_POSTGRES = """
CREATE OR REPLACE TRIGGER {one.name} BEFORE {one.verb} ON {one.table}
FOR EACH ROW EXECUTE FUNCTION {one.name}()
"""


def make_append_only() -> None:
    """Put the triggers in place; after each migration, because SQLite loses them in a rebuild."""
    if _INVOICES not in connection.introspection.table_names():
        return  # another room was migrated alone, before this one
    sqlite = connection.vendor == "sqlite"
    statements = (_SQLITE,) if sqlite else (_POSTGRES_FUNCTION, _POSTGRES)
    with connection.cursor() as cursor:
        for one in _REFUSALS:
            for statement in statements:
                cursor.execute(statement.format(one=one))


def allow_changes() -> None:
    """Take the triggers away: only for emptying a test or demo database."""
    sqlite = connection.vendor == "sqlite"
    with connection.cursor() as cursor:
        for one in _REFUSALS:
            on = "" if sqlite else f" ON {one.table}"
            cursor.execute(f"DROP TRIGGER IF EXISTS {one.name}{on}")
