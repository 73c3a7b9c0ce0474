"""Money received and paid back, and mistakes taken back."""

from __future__ import annotations

from datetime import date

import pytest

from coach.billing.actions import payments
from coach.billing.actions.shared import Refused
from coach.billing.models import Invoice, Payment
from coach.billing.queries.invoices import bill_of
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry, Practice
from tests import factories_billing as made

TODAY = date(2026, 12, 3)


@pytest.fixture
def invoice(practice: Practice) -> Invoice:
    """One of €180."""
    return made.issued()


def still(invoice: Invoice) -> int:
    return bill_of(invoice).open_minor


def refused_for(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [problem.field for problem in refused.value.problems]


def pay_back(invoice: Invoice, minor: int, on: date = TODAY) -> Payment:
    return payments.record_refund(
        by=SYSTEM, invoice=invoice, amount_minor=minor, method="transfer", paid_on=on
    )


def test_payments_lower_what_is_open(invoice: Invoice) -> None:
    made.paid(invoice, 8_000, on=date(2026, 11, 30))
    assert still(invoice) == 10_000
    made.paid(invoice, 10_000)
    assert still(invoice) == 0
    assert AuditEntry.objects.latest("pk").verb == "received money for"


@pytest.mark.parametrize("minor", [0, -1, 10**11 + 1])
def test_an_amount_that_cannot_be_is_refused(invoice: Invoice, minor: int) -> None:
    with pytest.raises(Refused) as refused:
        made.paid(invoice, minor)
    assert (refused_for(refused), Payment.objects.count()) == (["amount_minor"], 0)


def test_more_than_is_open_is_taken_only_when_it_is_said_to_be_so(invoice: Invoice) -> None:
    with pytest.raises(Refused, match=r"more than what is open, €180\.00") as refused:
        made.paid(invoice, 18_001)
    assert (refused_for(refused), Payment.objects.count()) == (["amount_minor"], 0)
    payments.record_payment(
        by=SYSTEM,
        invoice=invoice,
        amount_minor=18_001,
        method="card",
        received_on=TODAY,
        more_than_open=True,
    )
    assert still(invoice) == -1


def test_a_day_to_come_is_refused_beside_its_field(invoice: Invoice) -> None:
    with pytest.raises(Refused) as refused:
        made.paid(invoice, on=date(2026, 12, 4))
    assert refused_for(refused) == ["received_on"]
    with pytest.raises(Refused) as refused:
        pay_back(invoice, 1, on=date(2026, 12, 4))
    assert refused_for(refused) == ["paid_on"]


def test_neither_a_draft_nor_a_credit_note_is_paid(practice: Practice) -> None:
    with pytest.raises(Refused, match="Issue it first"):
        made.paid(made.draft())
    with pytest.raises(Refused, match="on the invoice that this credit note corrects"):
        made.paid(made.credited(made.issued()))


def test_what_was_paid_of_a_credited_invoice_is_to_be_paid_back(invoice: Invoice) -> None:
    made.paid(invoice)
    made.credited(invoice)
    assert still(invoice) == -18_000
    with pytest.raises(Refused, match=r"more than was paid, €180\.00"):
        pay_back(invoice, 18_001)
    assert pay_back(invoice, 18_000).amount_minor == -18_000
    assert still(invoice) == 0


def test_a_payment_by_mistake_is_reversed_once(invoice: Invoice) -> None:
    payment = made.paid(invoice)
    with pytest.raises(Refused, match="Say what was wrong"):
        payments.reverse_payment(by=SYSTEM, payment=payment, reason=" ")
    row = payments.reverse_payment(by=SYSTEM, payment=payment, reason="another client’s")
    assert (row.amount_minor, row.reverses, row.received_on) == (-18_000, payment, TODAY)
    assert still(invoice) == 18_000
    for again in (payment, row):
        with pytest.raises(Refused, match="back already"):
            payments.reverse_payment(by=SYSTEM, payment=again, reason="x")
    assert Payment.objects.count() == 2
    assert AuditEntry.objects.latest("pk").reason == "another client’s"


def test_a_refund_by_mistake_is_reversed_too(invoice: Invoice) -> None:
    made.paid(invoice)
    payments.reverse_payment(by=SYSTEM, payment=pay_back(invoice, 5_000), reason="typed twice")
    assert still(invoice) == 0
