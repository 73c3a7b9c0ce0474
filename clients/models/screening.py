"""Answers to the coach's health questions, and what a clinician or an answer named."""

from __future__ import annotations

from django.db import models

from clients.models.roster import Client, Pregnancy
from coach.practice.encryption import (
    EncryptedDateField,
    EncryptedJSONField,
    EncryptedTextField,
)
from coach.practice.models import Stamped


class Screening(Stamped):
    """A set of questions, answered. `phase`: "pregnant" or "after".

    `version` names the set, `answers` holds for each question {"answer": "yes", "no" or "unsure",
    "lists": the published lists that ask it}. `complete`: every question of the set has its
    answer; one that has not counts for its yeses alone. `how`: "form" or "call".
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="screenings")
    phase = EncryptedTextField()
    version = EncryptedTextField()
    answers = EncryptedJSONField(default=dict)
    answered_on = EncryptedDateField("answered on")
    known_on = EncryptedDateField("known on")
    complete = EncryptedJSONField(default=False)
    how = EncryptedTextField(default="", blank=True)
    intake = models.ForeignKey(
        "clients.Intake", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"screening {self.pk}"


class Condition(Stamped):
    """A condition that a clinician named, or that an answer to a question said yes to.

    `code` is a question of clients/data/screening.toml, `origin` "clinician" or "screening",
    `answer` "yes" or "unsure". `over_on`: from when it is no more, as a clinician said.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="conditions")
    pregnancy = models.ForeignKey(
        Pregnancy, null=True, blank=True, on_delete=models.CASCADE, related_name="conditions"
    )
    code = EncryptedTextField()
    text = EncryptedTextField(default="", blank=True)
    answer = EncryptedTextField(default="yes")
    origin = EncryptedTextField()
    clinician = EncryptedTextField(default="", blank=True)
    named_on = EncryptedDateField("named on")
    known_on = EncryptedDateField("known on")
    over_on = EncryptedDateField("over on", null=True, blank=True)
    over_known_on = EncryptedDateField("known to be over on", null=True, blank=True)
    over_said_by = EncryptedTextField("who said that it is over", default="", blank=True)
    screening = models.ForeignKey(
        Screening, null=True, blank=True, on_delete=models.SET_NULL, related_name="conditions"
    )
    intake = models.ForeignKey(
        "clients.Intake", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"condition {self.pk}"
