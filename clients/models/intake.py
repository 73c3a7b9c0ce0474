"""Enquiries, the form that a client fills in from a link, and what she consented to."""

from __future__ import annotations

import uuid

from django.conf import settings
from django.db import models

from clients.models.roster import Client
from coach.practice.encryption import EncryptedDateField, EncryptedJSONField, EncryptedTextField
from coach.practice.models import Stamped, StoredFile


class EnquiryState(models.TextChoices):
    """How far an enquiry has come."""

    OPEN = "open", "open"
    INVITED = "invited", "form sent"
    CLIENT = "client", "client"
    CLOSED = "closed", "closed"


class Enquiry(Stamped):
    """Somebody who may become a client. No health is asked of her; `told` is what she said.

    `class_uid` and `class_title` name the class that brought her, if one did.
    """

    name = models.CharField(max_length=120)
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    handle = models.CharField("other way to reach her", max_length=120, blank=True)
    where_from = models.CharField("where from", max_length=80, blank=True)
    class_uid = models.UUIDField(null=True, blank=True)
    class_title = models.CharField(max_length=200, blank=True)
    told = EncryptedTextField("stage or date as told", default="", blank=True)
    told_due = EncryptedDateField("due date as told", null=True, blank=True)
    note = EncryptedTextField(default="", blank=True)
    next_step = models.CharField(max_length=120, blank=True)
    next_on = models.DateField(null=True, blank=True, db_index=True)
    state = models.CharField(
        max_length=10, choices=EnquiryState.choices, default=EnquiryState.OPEN, db_index=True
    )
    came_on = models.DateField()
    closed_why = models.CharField(max_length=120, blank=True)
    client = models.ForeignKey(
        Client, null=True, blank=True, on_delete=models.SET_NULL, related_name="enquiries"
    )

    class Meta:
        ordering = ["-came_on", "-pk"]
        verbose_name_plural = "enquiries"
        constraints = [
            models.CheckConstraint(
                name="enquiry_state_known", condition=models.Q(state__in=EnquiryState.values)
            )
        ]

    def __str__(self) -> str:
        return self.name


class Intake(Stamped):
    """A form for one person, opened by its link until `expires_at`, withdrawn or sent.

    `answers` is her draft, what she sent, and empty once reviewed. `alarm`: "stop", "hold",
    "minor" or "", the gravest of what she has answered so far.
    """

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    client = models.ForeignKey(
        Client, null=True, blank=True, on_delete=models.CASCADE, related_name="intakes"
    )
    enquiry = models.ForeignKey(
        Enquiry, null=True, blank=True, on_delete=models.SET_NULL, related_name="intakes"
    )
    name = models.CharField(max_length=120, blank=True)
    email = models.EmailField("e-mail", blank=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    expires_at = models.DateTimeField()
    mailed_at = models.DateTimeField(null=True, blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    opened_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    reviewed_at = models.DateTimeField(null=True, blank=True)
    reviewed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    answers = EncryptedJSONField(default=dict)
    alarm = EncryptedTextField(default="", blank=True)
    guardian = EncryptedJSONField("the coach's decision on a minor", default=dict, blank=True)
    document = models.ForeignKey(
        StoredFile, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"intake {self.pk}"


class Consent(Stamped):
    """A consent to one purpose of clients/data/consents.toml, with the version of its text."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="consents")
    purpose = models.CharField(max_length=40)
    version = models.CharField(max_length=20)
    given_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    how = models.CharField(max_length=20)
    intake = models.ForeignKey(
        Intake, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"consent {self.pk}"
