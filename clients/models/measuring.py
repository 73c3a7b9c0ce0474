"""Assessments, what of them lists read, and what the practice has chosen about measuring."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from clients.models.policy import DatedChoice
from clients.models.roster import Client
from coach.practice.encryption import (
    EncryptedDateField,
    EncryptedJSONField,
    EncryptedTextField,
)
from coach.practice.models import Stamped


class Assessment(Stamped):
    """Measurements on a day, kept from the first value on; `finished_at` None: still being taken.

    `key` is made by the page before anything is kept, so that what is sent twice is kept once.
    `measures` holds values by their codes (rules.assessment). `who` measured: "coach", "client" or
    "clinician", `by` names the person; `method` and `position` of the widths (rules.measuring),
    "" not known; `finger_mm`: that person's finger then. `sure`: unlikely values looked at again.
    `origin`: whose record it was before, where another coach handed it over.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="assessments")
    key = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    day = EncryptedDateField()
    measures = EncryptedJSONField(default=dict)
    who = EncryptedTextField(default="", blank=True)
    by = EncryptedTextField("measured by", default="", blank=True)
    method = EncryptedTextField(default="", blank=True)
    position = EncryptedTextField(default="", blank=True)
    finger_mm = EncryptedJSONField("width of a finger, mm", null=True, blank=True)
    sure = EncryptedJSONField("values looked at again", default=list, blank=True)
    finished_at = models.DateTimeField("finished", null=True, blank=True)
    origin = EncryptedTextField("handed over by", default="", blank=True)
    withdrawn_on = EncryptedDateField("withdrawn on", null=True, blank=True)
    withdrawn_reason = EncryptedTextField("why withdrawn", default="", blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"assessment {self.pk}"


class Measurements(models.Model):
    """What lists read of all her assessments (rules.findings.Summary); written with every one."""

    client = models.OneToOneField(
        Client, on_delete=models.CASCADE, primary_key=True, related_name="measurements"
    )
    summary = EncryptedJSONField(default=dict)

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "measurements"

    def __str__(self) -> str:
        return f"measurements of {self.pk}"


class Rhythm(Stamped):
    """When she is seen again, as far as the coach has decided it for her.

    `every_weeks`: instead of what her stage asks, None: as the practice. `snoozed_until`: nothing
    is asked before that day, `snooze_reason` why. `resumed_on`: after a loss the coach began to
    ask again. `away_from`, `back_on`: her latest pause; `back_on` None: it goes on.
    """

    client = models.OneToOneField(Client, on_delete=models.CASCADE, related_name="rhythm")
    every_weeks = EncryptedJSONField(null=True, blank=True)
    snoozed_until = EncryptedDateField(null=True, blank=True)
    snooze_reason = EncryptedTextField(default="", blank=True)
    resumed_on = EncryptedDateField(null=True, blank=True)
    away_from = EncryptedDateField(null=True, blank=True)
    back_on = EncryptedDateField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"rhythm {self.pk}"


class FingerWidth(Stamped):
    """How wide one finger of a person is, in mm: of somebody of the practice, or of a client."""

    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.CASCADE, related_name="finger"
    )
    client = models.OneToOneField(
        Client, null=True, on_delete=models.CASCADE, related_name="finger"
    )
    mm = EncryptedJSONField()
    measured_on = EncryptedDateField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                name="finger_of_one_person",
                condition=models.Q(user=None, client__isnull=False)
                | models.Q(user__isnull=False, client=None),
            )
        ]

    def __str__(self) -> str:
        return f"finger width {self.pk}"


class OwnMeasure(Stamped):
    """A measure of the practice's own. `better`: "more", "less" or "" (neither).

    `least` and `most`: what a value cannot be below or above, as text, "" for none. `retired`: no
    longer asked; what was measured stays.
    """

    name = models.CharField(max_length=60)
    unit = models.CharField(max_length=20, blank=True)
    better = models.CharField(max_length=4, blank=True)
    least = models.CharField(max_length=12, blank=True)
    most = models.CharField(max_length=12, blank=True)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                name="own_measure_better_known",
                condition=models.Q(better__in=("", "more", "less")),
            )
        ]

    def __str__(self) -> str:
        return self.name


class MeasuringPolicy(DatedChoice):
    """The practice's choices about measuring, readiness and reassessment; `values`: see
    rules.measuring_policy.
    """

    class Meta(DatedChoice.Meta):
        verbose_name_plural = "measuring policies"

    def __str__(self) -> str:
        return f"measuring from {self.begins}"
