"""What is written about a client and to her clinicians: notes, messages, letters."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from clients.models.clearance import Clearance
from clients.models.roster import Client
from coach import clock
from coach.practice.encryption import EncryptedDateField, EncryptedJSONField, EncryptedTextField
from coach.practice.models import Stamped, StoredFile


class Entry(Stamped):
    """A note, or a message pasted in. It locks a day after it was written; then it takes addenda.

    `kind`: "note" or "message"; `channel` says where a message came from or went to. `adds_to`:
    the entry that this one is an addendum of.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="entries")
    kind = EncryptedTextField()
    day = EncryptedDateField()
    text = EncryptedTextField()
    channel = EncryptedTextField(default="", blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    written_at = models.DateTimeField(default=clock.now, editable=False)
    adds_to = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.CASCADE, related_name="addenda"
    )

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "entries"

    def __str__(self) -> str:
        return f"entry {self.pk}"


class LetterOut(Stamped):
    """A letter to a clinician, as the PDF it was made: `kind` "clearance" or "referral".

    `chased` lists the days on which an answer was asked for again; the answer is a clearance, or
    only its day.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="letters_out")
    kind = EncryptedTextField()
    to_name = EncryptedTextField("to whom", default="", blank=True)
    to_kind = EncryptedTextField("kind of clinician", default="", blank=True)
    made_on = EncryptedDateField("made on")
    document = models.ForeignKey(StoredFile, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    sent_on = EncryptedDateField("sent on", null=True, blank=True)
    sent_how = EncryptedTextField("sent how", default="", blank=True)
    chased = EncryptedJSONField(default=list, blank=True)
    answered_on = EncryptedDateField("answered on", null=True, blank=True)
    clearance = models.ForeignKey(
        Clearance, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = "letters out"

    def __str__(self) -> str:
        return f"letter out {self.pk}"
