"""Packages, their sales, and the sessions used of them."""

from __future__ import annotations

import uuid

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from clients.models import Client
from coach import clock
from coach.practice.encryption import EncryptedTextField
from coach.practice.models import Stamped

WHOLE = 10_000  # basis points


class PackageKind(models.TextChoices):
    """What a package is counted in."""

    SESSIONS = "sessions", "sessions"
    WEEKS = "weeks", "weeks"


class Offer(Stamped):
    """What a package and its sale have in common. `price_minor` is of the whole package.

    `prices_include_tax`: the price is what the payer pays, the tax in it. `tax_bp`: basis points.
    `validity_days`: how long sessions may be used, the first day counted; None: without an end.
    """

    title = models.CharField(max_length=120)
    kind = models.CharField(max_length=10, choices=PackageKind.choices)
    count = models.PositiveSmallIntegerField(
        "how many", validators=[MinValueValidator(1), MaxValueValidator(500)]
    )
    price_minor = models.PositiveBigIntegerField("price")
    currency = models.CharField(max_length=3)
    tax_bp = models.PositiveIntegerField(
        "tax rate", default=0, validators=[MaxValueValidator(WHOLE)]
    )
    prices_include_tax = models.BooleanField("the price includes the tax", default=True)
    validity_days = models.PositiveSmallIntegerField(
        "valid for days", null=True, blank=True, validators=[MinValueValidator(1)]
    )

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                name="%(class)s_kind_known", condition=Q(kind__in=PackageKind.values)
            ),
            models.CheckConstraint(name="%(class)s_counts_something", condition=Q(count__gte=1)),
            models.CheckConstraint(
                name="%(class)s_tax_at_most_whole", condition=Q(tax_bp__lte=WHOLE)
            ),
            models.CheckConstraint(
                name="%(class)s_weeks_end_by_themselves",
                condition=Q(kind="sessions") | Q(validity_days__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return self.title


class Package(Offer):
    """What is sold; a retired one is sold no more. Changing it changes no sale."""

    retired = models.BooleanField(default=False)

    class Meta(Offer.Meta):
        ordering = ["retired", "title", "pk"]


class Sale(Offer):
    """One purchase of a package, as it was that day. Who pays may differ from who is coached.

    `last_day`: the last one on which it counts; None: without an end. A cancelled sale stays.
    """

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    package = models.ForeignKey(Package, on_delete=models.PROTECT, related_name="sales")
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="sales")
    payer_name = models.CharField("who pays", max_length=120)
    payer_email = models.EmailField("payer’s e-mail", blank=True)
    payer_address = models.TextField("payer’s address", blank=True)
    sold_on = models.DateField(db_index=True)
    starts_on = models.DateField("first day")
    last_day = models.DateField("last day", null=True, blank=True)
    cancelled_on = models.DateField(null=True, blank=True)
    # Free text about a client may name a symptom or a loss.
    cancel_reason = EncryptedTextField(default="", blank=True)

    class Meta(Offer.Meta):
        ordering = ["-sold_on", "-pk"]


class SessionUse(models.Model):
    """One session used of a sale. Append-only: a mistake is undone by a row that reverses it."""

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="uses")
    on = models.DateField("day")
    count = models.SmallIntegerField(default=1)
    reverses = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="reversed_by"
    )
    reason = EncryptedTextField(default="", blank=True)
    recorded_at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="use_is_one_up_or_its_reversal_down",
                condition=Q(count=1, reverses__isnull=True) | Q(count=-1, reverses__isnull=False),
            )
        ]

    def __str__(self) -> str:
        return f"{self.count:+} of sale {self.sale_id} on {self.on}"
