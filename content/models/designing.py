"""Exercises of the coach's own, how a class is designed, filmed, described and handed out."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from clients.models import Client
from coach import clock
from coach.practice.models import Stamped
from content.models.classes import FitnessClass


class OwnExercise(Stamped):
    """An exercise of the coach's own, or her version of one of the table (the same code).

    `values`: the fields of rules.exercises.Exercise. `retired`: no longer offered; classes keep it.
    """

    code = models.SlugField(max_length=60, unique=True)
    values = models.JSONField(default=dict)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return self.code


class ClassDesign(Stamped):
    """How a class is designed (rules.design.Design): as planned, and as filmed once it is.

    `revision` rises with every change of the plan: a page that knows an older one is told so.
    """

    item = models.OneToOneField(FitnessClass, on_delete=models.CASCADE, related_name="design")
    planned = models.JSONField(default=dict)
    filmed = models.JSONField(null=True, blank=True)
    revision = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"design of {self.item_id}"


class DesignStep(models.Model):
    """The plan as it was before a change, so that the change can be undone; `what` it was."""

    design = models.ForeignKey(ClassDesign, on_delete=models.CASCADE, related_name="steps")
    number = models.PositiveIntegerField()
    planned = models.JSONField(default=dict)
    what = models.CharField(max_length=80, blank=True)
    at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        ordering = ["design", "number"]
        constraints = [
            models.UniqueConstraint(name="design_step_once", fields=["design", "number"])
        ]

    def __str__(self) -> str:
        return f"step {self.number} of {self.design_id}"


class FilmedTimes(Stamped):
    """When each interval really began, from the captions of the filmed class.

    `cues`: [[start ms, end ms, text]]; `found`: what rules.alignment made of them; `fixed`: what
    the coach put right, milliseconds by the key of an interval, which stays.
    """

    item = models.OneToOneField(FitnessClass, on_delete=models.CASCADE, related_name="filmed_times")
    file_name = models.CharField(max_length=200, blank=True)
    cues = models.JSONField(default=list)
    found = models.JSONField(default=list)
    fixed = models.JSONField(default=dict)
    length_ms = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "filmed times"

    def __str__(self) -> str:
        return f"times of {self.item_id}"


class ClassText(Stamped):
    """The description of a class as it is published, and claims that she keeps knowingly."""

    item = models.OneToOneField(FitnessClass, on_delete=models.CASCADE, related_name="text")
    description = models.TextField(blank=True)
    kept_claims = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"text of {self.item_id}"


class DescriptionTemplate(Stamped):
    """The coach's own template of a description, with fields in braces: one row."""

    text = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(name="description_template_only_one", condition=Q(pk=1)),
        ]

    def __str__(self) -> str:
        return "description template"


class SentClass(models.Model):
    """A class that a client was told to take: so that a warning sign or a correction finds it.

    `how`: "mail" or "copied".
    """

    item = models.ForeignKey(FitnessClass, on_delete=models.PROTECT, related_name="sent")
    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="classes_sent")
    at = models.DateTimeField(default=clock.now, editable=False)
    how = models.CharField(max_length=6)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-at", "-pk"]
        verbose_name_plural = "sent classes"

    def __str__(self) -> str:
        return f"{self.item_id} sent to {self.client_id}"


class ClassCorrection(models.Model):
    """What was put right about a published class, or why it was withdrawn; never changed."""

    item = models.ForeignKey(FitnessClass, on_delete=models.CASCADE, related_name="corrections")
    kind = models.CharField(max_length=10)
    reason = models.TextField()
    note = models.TextField(blank=True)
    at = models.DateTimeField(default=clock.now, editable=False)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="correction_kind_known", condition=Q(kind__in=("corrected", "withdrawn"))
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.item_id}"
