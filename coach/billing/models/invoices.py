"""Invoices and credit notes. Issued ones never change: triggers refuse it (see frozen.py)."""

from __future__ import annotations

import uuid

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q

from clients.models import Client
from coach.billing.models.packages import WHOLE, Sale
from coach.practice.encryption import EncryptedTextField
from coach.practice.models import Stamped


class Counter(models.Model):
    """The last number given in a year. Invoices and credit notes count in one series."""

    year = models.PositiveSmallIntegerField(unique=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.year}: {self.last}"


class Kind(models.TextChoices):
    """A credit note is an invoice that corrects another (Directive 2006/112/EC, Art. 219)."""

    INVOICE = "invoice", "invoice"
    CREDIT_NOTE = "credit note", "credit note"


class Invoice(Stamped):
    """An invoice or a credit note: a draft until it is issued, frozen from then on.

    A draft has no number, no dates and no seller; buyer and lines may change. Issued, it holds the
    words and sums that were printed. `place` is its number within `year`, `number` both as printed.
    A credit note has positive amounts and `corrects` the one invoice that it takes back.
    """

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    kind = models.CharField(max_length=12, choices=Kind.choices, default=Kind.INVOICE)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="invoices")
    sale = models.ForeignKey(
        Sale, null=True, blank=True, on_delete=models.PROTECT, related_name="invoices"
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="credit_note"
    )
    year = models.PositiveSmallIntegerField(null=True, editable=False)
    place = models.PositiveIntegerField(null=True, editable=False)
    number = models.CharField(max_length=20, unique=True, null=True, editable=False)
    issued_on = models.DateField(null=True, editable=False, db_index=True)
    pay_days = models.PositiveSmallIntegerField(
        "days to pay", default=14, validators=[MaxValueValidator(365)]
    )
    pay_by = models.DateField(null=True, editable=False)
    currency = models.CharField(max_length=3)
    prices_include_tax = models.BooleanField("prices include the tax", default=True)
    buyer_name = models.CharField(max_length=120)
    buyer_email = models.EmailField(blank=True)
    buyer_address = models.TextField(blank=True)
    seller_name = models.CharField(max_length=120, blank=True, editable=False)
    seller_address = models.TextField(blank=True, editable=False)
    how_to_pay = models.TextField(blank=True, editable=False)
    tax_name = models.CharField(max_length=20, blank=True, editable=False)
    tax_number = models.CharField(max_length=40, blank=True, editable=False)
    supplied = models.CharField("day or period of the supply", max_length=80, blank=True)
    no_tax_reason = models.CharField("why no tax is charged", max_length=200, blank=True)
    note = models.TextField("note printed below the lines", blank=True)
    # Why it was credited: never printed, and sealed because it may name a symptom or a loss.
    reason = EncryptedTextField(default="", blank=True)
    net_minor = models.BigIntegerField(default=0, editable=False)
    tax_minor = models.BigIntegerField(default=0, editable=False)
    gross_minor = models.BigIntegerField(default=0, editable=False)

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(name="invoice_kind_known", condition=Q(kind__in=Kind.values)),
            models.CheckConstraint(
                name="invoice_number_comes_with_the_dates",
                condition=Q(
                    year__isnull=True,
                    place__isnull=True,
                    number__isnull=True,
                    issued_on__isnull=True,
                    pay_by__isnull=True,
                )
                | Q(
                    year__isnull=False,
                    place__gte=1,
                    number__isnull=False,
                    issued_on__isnull=False,
                    pay_by__isnull=False,
                ),
            ),
            models.UniqueConstraint(name="invoice_number_once_a_year", fields=["year", "place"]),
            models.CheckConstraint(
                name="invoice_credit_note_corrects_one",
                condition=Q(kind="credit note", corrects__isnull=False)
                | Q(kind="invoice", corrects__isnull=True),
            ),
            models.CheckConstraint(
                name="invoice_sums_add_up",
                condition=Q(gross_minor=F("net_minor") + F("tax_minor")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.number or 'in draft'}"

    @property
    def is_draft(self) -> bool:
        """Not issued yet."""
        return self.issued_on is None


class InvoiceLine(models.Model):
    """One line: so many of something at a unit price, with or without tax as its invoice says."""

    invoice = models.ForeignKey(Invoice, on_delete=models.CASCADE, related_name="lines")
    place = models.PositiveSmallIntegerField()
    text = models.CharField(max_length=200)
    quantity = models.PositiveIntegerField(default=1, validators=[MinValueValidator(1)])
    unit_minor = models.PositiveBigIntegerField("price of one")
    tax_bp = models.PositiveIntegerField("tax rate", validators=[MaxValueValidator(WHOLE)])

    class Meta:
        ordering = ["place"]
        constraints = [
            models.UniqueConstraint(name="line_place_once", fields=["invoice", "place"]),
            models.CheckConstraint(name="line_of_something", condition=Q(quantity__gte=1)),
            models.CheckConstraint(name="line_tax_at_most_whole", condition=Q(tax_bp__lte=WHOLE)),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} × {self.text}"
