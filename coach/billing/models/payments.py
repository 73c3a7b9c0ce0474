"""Payments and refunds: append-only, a mistake is a row that reverses it."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from coach import clock
from coach.billing.models.invoices import Invoice
from coach.practice.encryption import EncryptedTextField


class Method(models.TextChoices):
    """How money came or went."""

    TRANSFER = "transfer", "bank transfer"
    CARD = "card", "card"
    CASH = "cash", "cash"
    DIRECT_DEBIT = "direct debit", "direct debit"
    OTHER = "other", "other"


class Payment(models.Model):
    """Money received for an invoice, in its currency; below nothing when money was paid back.

    `reverses` names the row that was a mistake: same method, the amount turned round.
    """

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="payments")
    amount_minor = models.BigIntegerField("amount")
    method = models.CharField(max_length=12, choices=Method.choices)
    received_on = models.DateField("day")
    reverses = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="reversed_by"
    )
    reason = EncryptedTextField(default="", blank=True)
    recorded_at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        ordering = ["received_on", "pk"]
        constraints = [
            models.CheckConstraint(name="payment_of_something", condition=~Q(amount_minor=0)),
            models.CheckConstraint(
                name="payment_method_known", condition=Q(method__in=Method.values)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.amount_minor:+} for invoice {self.invoice_id} on {self.received_on}"
