"""Classes, series, uploads."""

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
    `for_quiet`: whether nothing in it mentions or shows a baby, a bump or a birth: "yes", "no" or
    "", not known, which is never taken for a yes. `not_before` and `not_after`: the first and the
    last day on which it may come out.
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
    not_before = models.DateField("not before", null=True, blank=True)
    not_after = models.DateField("not after", null=True, blank=True)
    wanted_soon = models.BooleanField("wanted soon", default=False)
    note = models.TextField(blank=True)
    for_quiet = models.CharField(
        "nothing about a baby, a bump or a birth",
        max_length=3,
        blank=True,
        choices=[("yes", "yes"), ("no", "no")],
    )

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
            models.CheckConstraint(
                name="class_days_in_order",
                condition=Q(not_before__isnull=True)
                | Q(not_after__isnull=True)
                | Q(not_before__lte=models.F("not_after")),
            ),
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
