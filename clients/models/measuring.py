"""Assessments."""

from __future__ import annotations

from django.db import models

from clients.models.roster import Client
from coach.practice.encryption import (
    EncryptedDateField,
    EncryptedJSONField,
    EncryptedTextField,
)
from coach.practice.models import Stamped


class Assessment(Stamped):
    """Measurements on a day. `measures` holds rules.assessment.Measures without its unknowns;

    `by` names who measured, `how` is one of rules.assessment.WAYS; `origin`:
    whose record it was before, where another coach handed it over.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="assessments")
    day = EncryptedDateField()
    measures = EncryptedJSONField(default=dict)
    by = EncryptedTextField("measured by", default="", blank=True)
    how = EncryptedTextField("how measured", default="", blank=True)
    origin = EncryptedTextField("handed over by", default="", blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"assessment {self.pk}"
