"""The practice's policy of the go-ahead by its first day, and sessions trained by exception."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from clients.models.roster import Client
from coach import clock
from coach.practice.encryption import EncryptedDateField, EncryptedJSONField, EncryptedTextField
from coach.practice.models import Stamped


class DatedChoice(models.Model):
    """What the practice has chosen, from a day on: one row a day.

    A later row takes the place of an earlier one whole.
    """

    begins = models.DateField(unique=True)
    values = models.JSONField(default=dict)
    reason = models.TextField(blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        abstract = True
        ordering = ["begins"]


class GoAheadPolicy(DatedChoice):
    """What differs from clients/data/go_ahead.toml; `values`: see rules.policy.

    A row changes only on the day it was made or before it begins.
    """

    class Meta(DatedChoice.Meta):
        verbose_name_plural = "go-ahead policies"

    def __str__(self) -> str:
        return f"policy from {self.begins}"


class SessionException(Stamped):
    """One day on which the coach trained her although paperwork was stale; `over`: which."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="exceptions")
    day = EncryptedDateField()
    reason = EncryptedTextField()
    over = EncryptedJSONField("over which reasons", default=list)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"exception {self.pk}"
