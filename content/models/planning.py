"""The wishes for a month's plan, days off and proposals."""

from __future__ import annotations

from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Q

from coach.practice.models import Stamped


class Preference(models.TextChoices):
    """What weighs more in a plan; the weights behind are in data/preferences.toml."""

    SERVE = "serve", "Serve every stage among my clients"
    BALANCED = "balanced", "A bit of both"
    MIX = "mix", "Keep the mix varied"


class Wishes(Stamped):
    """How she wants to publish: one row. Weekdays are 0 (Monday) to 6."""

    weekdays = models.JSONField(default=list)
    minutes_a_week = models.PositiveIntegerField(
        default=480, validators=[MaxValueValidator(60 * 100)]
    )
    lead_days = models.PositiveSmallIntegerField(default=2, validators=[MaxValueValidator(60)])
    preference = models.CharField(
        max_length=10, choices=Preference.choices, default=Preference.SERVE
    )

    class Meta:
        verbose_name_plural = "wishes"
        constraints = [
            models.CheckConstraint(name="wishes_only_one", condition=Q(pk=1)),
        ]

    def __str__(self) -> str:
        return "wishes"


class DayOff(Stamped):
    """A day on which nothing is published and nothing made."""

    day = models.DateField(unique=True)
    why = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["day"]
        verbose_name_plural = "days off"

    def __str__(self) -> str:
        return self.day.isoformat()


class Proposal(Stamped):
    """The latest plan made for a month, to be accepted or not; `month` is its first day.

    `slots`: [{"day", "class", "reasons"}]; `fingerprint` is of the problem it answers.
    """

    month = models.DateField(unique=True)
    status = models.CharField(max_length=12)
    value = models.BigIntegerField()
    bound = models.BigIntegerField()
    slots = models.JSONField(default=list)
    unmet = models.JSONField(default=list)
    fingerprint = models.CharField(max_length=64)

    class Meta:
        ordering = ["month"]

    def __str__(self) -> str:
        return f"proposal for {self.month:%Y-%m}"
