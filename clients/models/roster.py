"""Clients and their pregnancies. What tells of health is encrypted whole, codes too."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from clients.rules.contact import dialled
from coach import clock
from coach.practice.encryption import (
    EncryptedDateField,
    EncryptedJSONField,
    EncryptedTextField,
)
from coach.practice.models import Stamped


class Standing(models.TextChoices):
    """Whether she is being coached now."""

    ACTIVE = "active", "active"
    PAUSED = "paused", "paused"
    FORMER = "former", "former"


class Client(Stamped):
    """A person being coached.

    `quiet` is kept sealed like a health fact, because a loss sets it. `trains_at` is where she is
    while she trains, `emergency_number` the number to ring there; the `away_` ones hold until
    `away_until`, inclusive.
    """

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=120)
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    time_zone = models.CharField(max_length=64)
    standing = models.CharField(
        max_length=10, choices=Standing.choices, default=Standing.ACTIVE, db_index=True
    )
    quiet = EncryptedJSONField(default=False)
    note = EncryptedTextField(default="", blank=True)
    birth_date = EncryptedDateField("date of birth", null=True, blank=True)
    trains_at = EncryptedTextField("where she trains", default="", blank=True)
    emergency_number = EncryptedTextField("emergency number there", default="", blank=True)
    emergency_contact = EncryptedTextField("emergency contact", default="", blank=True)
    emergency_phone = EncryptedTextField("their telephone", default="", blank=True)
    away_at = EncryptedTextField("where she is while away", default="", blank=True)
    away_emergency_number = EncryptedTextField("emergency number away", default="", blank=True)
    away_until = EncryptedDateField("away until", null=True, blank=True)

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(
                name="client_standing_known",
                condition=models.Q(standing__in=Standing.values),
            )
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def call(self) -> str:
        """The phone number as a telephone takes it: digits, and a plus in front (RFC 3966)."""
        return dialled(self.phone)


class Pregnancy(Stamped):
    """One pregnancy of a client: its due date and how it was dated, and how and when it ended.

    `dated_by`: one of rules.dating.METHODS. `ending`: "" (not recorded), "birth" or "loss".
    `birth_mode`: "", "vaginal", "assisted" or "caesarean". `expected`: babies expected, 1 or more;
    `born`: how many were, None is not known. `tear`: one of rules.pregnancies.TEARS or "";
    `wound`: how it heals, as told. Of a loss: `gestation` as told ("9w0d") and `surgical`, "yes",
    "no" or "". `known_on`: the day its dates became known as they
    stand, None is "all along"; `earlier`: how they stood before that, oldest first, see
    rules.facts.Dated.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="pregnancies")
    due = EncryptedDateField("due date", null=True, blank=True)
    dated_by = EncryptedTextField("dated by", default="", blank=True)
    expected = EncryptedJSONField("babies expected", default=1)
    ended = EncryptedDateField("ended on", null=True, blank=True)
    ending = EncryptedTextField("how it ended", default="", blank=True)
    birth_mode = EncryptedTextField("kind of birth", default="", blank=True)
    born = EncryptedJSONField("babies born", null=True, blank=True)
    tear = EncryptedTextField(default="", blank=True)
    wound = EncryptedTextField(default="", blank=True)
    gestation = EncryptedTextField("weeks at the end, as told", default="", blank=True)
    surgical = EncryptedTextField(default="", blank=True)
    known_on = EncryptedDateField("known on", null=True, blank=True)
    earlier = EncryptedJSONField("as known before", default=list, blank=True)

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "pregnancies"

    def __str__(self) -> str:
        return f"pregnancy {self.pk}"


class DueDateChange(models.Model):
    """A due date as it was before somebody changed it, and why. Never changed.

    ACOG Committee Opinion 700 (2017): a change is rare, and is recorded.
    """

    pregnancy = models.ForeignKey(Pregnancy, on_delete=models.CASCADE, related_name="due_changes")
    old = EncryptedDateField("before")
    old_dated_by = EncryptedTextField("dated by before", default="", blank=True)
    new = EncryptedDateField("after", null=True, blank=True)
    reason = EncryptedTextField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"due date change {self.pk}"
