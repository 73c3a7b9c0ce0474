"""The addresses that calendar programs subscribe to."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from coach import clock


class Kind(models.TextChoices):
    """What a feed holds."""

    UPLOADS = "uploads", "uploads"
    TODO = "todo", "to do"


class FeedAddress(models.Model):
    """One secret address of one person. Only the hash of its secret part is kept.

    A new address replaces the live one, which stays as withdrawn.
    """

    kind = models.CharField(max_length=20, choices=Kind.choices)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="feed_addresses"
    )
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    created_at = models.DateTimeField(default=clock.now, editable=False)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    last_read_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "feed addresses"
        constraints = [
            models.CheckConstraint(
                name="feed_address_kind_known", condition=Q(kind__in=Kind.values)
            ),
            models.UniqueConstraint(
                name="feed_address_one_live",
                fields=["person", "kind"],
                condition=Q(withdrawn_at__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return f"feed of {self.kind} for person {self.person_id}"
