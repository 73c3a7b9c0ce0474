"""The database itself refuses to change what is issued, paid or used."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import DatabaseError, IntegrityError, transaction
from django.db.models import ProtectedError

from coach.billing import frozen
from coach.billing.actions.sales import use_session
from coach.billing.models import Invoice, InvoiceLine, Payment, SessionUse
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories_billing as made

pytestmark = pytest.mark.usefixtures("practice")
REFUSED = "never changes|append-only"


def fails(write: Callable[[], Any], match: str = REFUSED) -> None:
    with pytest.raises(DatabaseError, match=match), transaction.atomic():
        write()


@pytest.fixture
def invoice(practice: Practice) -> Invoice:
    return made.issued()


@pytest.mark.parametrize(
    "values", [{"buyer_name": "Another"}, {"gross_minor": 1, "net_minor": 1}, {"number": None}]
)
def test_an_issued_invoice_cannot_be_changed(invoice: Invoice, values: dict[str, Any]) -> None:
    before = Invoice.objects.values().get()
    fails(lambda: Invoice.objects.update(**values))
    assert Invoice.objects.values().get() == before


def test_an_issued_invoice_cannot_be_deleted(invoice: Invoice) -> None:
    fails(invoice.delete)
    assert Invoice.objects.count() == 1


def test_lines_of_an_issued_invoice_can_be_neither_changed_nor_deleted_nor_added(
    invoice: Invoice,
) -> None:
    line = InvoiceLine.objects.get()
    other = made.draft().lines.get()
    fails(lambda: InvoiceLine.objects.filter(pk=line.pk).update(unit_minor=1))
    fails(lambda: InvoiceLine.objects.filter(pk=line.pk).update(invoice=other.invoice, place=9))
    fails(lambda: InvoiceLine.objects.filter(pk=other.pk).update(invoice=invoice, place=9))
    fails(line.delete)
    fails(
        lambda: InvoiceLine.objects.create(
            invoice=invoice, place=2, text="x", unit_minor=1, tax_bp=0
        )
    )
    assert list(invoice.lines.values_list("pk", "unit_minor")) == [(line.pk, 18_000)]


def test_a_draft_and_its_lines_can_be_changed_and_deleted() -> None:
    draft = made.draft()
    assert Invoice.objects.update(buyer_name="Another") == 1
    assert InvoiceLine.objects.update(unit_minor=1) == 1
    draft.delete()
    assert (Invoice.objects.count(), InvoiceLine.objects.count()) == (0, 0)


def test_a_payment_can_be_neither_changed_nor_deleted(invoice: Invoice) -> None:
    payment = made.paid(invoice)
    fails(lambda: Payment.objects.update(amount_minor=1))
    fails(payment.delete)
    assert Payment.objects.get().amount_minor == 18_000


def test_a_session_used_can_be_neither_changed_nor_deleted() -> None:
    use = use_session(by=SYSTEM, sale=made.sale(), on=made.TODAY)
    fails(lambda: SessionUse.objects.update(on=None))
    fails(use.delete)
    assert SessionUse.objects.get().on == made.TODAY


def test_a_client_with_an_invoice_is_kept(invoice: Invoice) -> None:
    with pytest.raises(ProtectedError):
        invoice.client.delete()


def test_the_same_number_cannot_be_given_twice(invoice: Invoice) -> None:
    draft = made.draft()
    same = ("year", "place", "issued_on", "pay_by")
    values = {name: getattr(invoice, name) for name in same}
    with pytest.raises(IntegrityError), transaction.atomic():
        Invoice.objects.filter(pk=draft.pk).update(**values, number="2026-00099")
    with pytest.raises(IntegrityError), transaction.atomic():
        Invoice.objects.filter(pk=draft.pk).update(**{**values, "place": 99}, number=invoice.number)


@pytest.mark.parametrize(
    "values",
    [
        {"number": "2026-00099"},
        {"gross_minor": 1},
        {"kind": "credit note"},
        {"kind": "quote"},
    ],
)
def test_a_row_that_cannot_be_is_refused(values: dict[str, Any]) -> None:
    made.draft()
    with pytest.raises(IntegrityError), transaction.atomic():
        Invoice.objects.update(**values)


def test_the_triggers_can_be_taken_away_and_put_back(invoice: Invoice) -> None:
    frozen.allow_changes()
    assert Invoice.objects.update(buyer_name="Another") == 1
    frozen.make_append_only()
    frozen.make_append_only()
    fails(lambda: Invoice.objects.update(buyer_name="Once more"))
