"""Classes, series, uploads, the wishes for a month's plan, days off and proposals."""

from __future__ import annotations

import uuid

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from coach.practice.models import Stamped


class State(models.TextChoices):
    """How far a class has come."""

    IDEA = "idea", "idea"
    OUTLINED = "outlined", "outlined"
    FILMED = "filmed", "filmed"
    EDITED = "edited", "edited"
    SCHEDULED = "scheduled", "scheduled"
    PUBLISHED = "published", "published"
    WITHDRAWN = "withdrawn", "withdrawn"


class Focus(models.TextChoices):
    """What a class mainly works on."""

    CORE = "core", "core"
    PELVIC_FLOOR = "pelvic floor", "pelvic floor"
    UPPER_BODY = "upper body", "upper body"
    LEGS = "legs", "legs"
    FULL_BODY = "full body", "full body"
    MOBILITY = "mobility", "mobility"
    RECOVERY = "recovery", "recovery"
    BREATH = "breath", "breath"


class Series(Stamped):
    """Classes meant to be taken in order."""

    title = models.CharField(max_length=120, unique=True)

    class Meta:
        ordering = ["title"]
        verbose_name_plural = "series"

    def __str__(self) -> str:
        return self.title


class FitnessClass(Stamped):
    """A recorded class, from idea to published. `stages` holds codes of Stage; none = not known.

    `effort` is perceived effort on the 0–10 scale; `minutes_of_work` is what is still needed.
    """

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    title = models.CharField(max_length=160)
    state = models.CharField(
        max_length=10, choices=State.choices, default=State.IDEA, db_index=True
    )
    focus = models.CharField(max_length=20, choices=Focus.choices)
    series = models.ForeignKey(
        Series, null=True, blank=True, on_delete=models.PROTECT, related_name="classes"
    )
    part = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1)]
    )
    minutes = models.PositiveSmallIntegerField(
        "length in minutes", validators=[MinValueValidator(1), MaxValueValidator(240)]
    )
    effort = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MaxValueValidator(10)]
    )
    stages = models.JSONField(default=list, blank=True)
    minutes_of_work = models.PositiveIntegerField(
        default=0, validators=[MaxValueValidator(60 * 200)]
    )
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["title", "pk"]
        verbose_name = "class"
        verbose_name_plural = "classes"
        constraints = [
            models.CheckConstraint(name="class_state_known", condition=Q(state__in=State.values)),
            models.CheckConstraint(
                name="class_part_goes_with_series",
                condition=Q(series__isnull=True, part__isnull=True)
                | Q(series__isnull=False, part__isnull=False),
            ),
            models.UniqueConstraint(name="class_part_once", fields=["series", "part"]),
        ]

    def __str__(self) -> str:
        return self.title


class Upload(Stamped):
    """A class with a publish date. Taken off it stays as cancelled, so that calendars learn it.

    `sequence` rises whenever the day or the cancellation changes (RFC 5546, 2.1.4).
    """

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    item = models.ForeignKey(FitnessClass, on_delete=models.CASCADE, related_name="uploads")
    day = models.DateField(db_index=True)
    sequence = models.PositiveIntegerField(default=0)
    cancelled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["day", "pk"]
        constraints = [
            models.UniqueConstraint(
                name="upload_one_a_class", fields=["item"], condition=Q(cancelled_at__isnull=True)
            )
        ]

    def __str__(self) -> str:
        return f"{self.item_id} on {self.day}"


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
