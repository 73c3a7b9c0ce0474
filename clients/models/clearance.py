"""What clinicians said, warning signs, and the word that all of it comes to, day by day."""

from __future__ import annotations

from django.db import models

from clients.models.roster import Client
from coach.practice.encryption import (
    EncryptedDateField,
    EncryptedJSONField,
    EncryptedTextField,
)
from coach.practice.models import Stamped, StoredFile
from coach.scheduling.values import GoAheadWord


class Clearance(Stamped):
    """What a clinician said; its values are those of rules.facts.ClearanceFact.

    `limits` holds what differs from no limit, by the names of scheduling.values.Limits. `answers`
    lists ids of warning signs, `answers_conditions` keys of rules.facts.ConditionFact, `replaces`
    ids of earlier clearances whose limits it takes the place of. `names_more`: it allows more than
    gentle recovery in the first weeks after the end. `origin`: whose record it was before, where
    another coach handed it over. A withdrawn one (recorded by mistake) stays, with day and reason.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="clearances")
    said_on = EncryptedDateField("said on")
    word = EncryptedTextField("what was said")
    clinician = EncryptedTextField(default="", blank=True)
    clinician_kind = EncryptedTextField("kind of clinician", default="", blank=True)
    examined = EncryptedTextField("examined for it", default="", blank=True)
    known_by = EncryptedTextField("known by")
    known_on = EncryptedDateField("known on")
    limits = EncryptedJSONField(default=dict, blank=True)
    until = EncryptedDateField("its last day", null=True, blank=True)
    until_birth = EncryptedJSONField("until the birth", default=False)
    answers = EncryptedJSONField("warning signs it answers", default=list, blank=True)
    answers_conditions = EncryptedJSONField("conditions it answers", default=list, blank=True)
    replaces = EncryptedJSONField("clearances it replaces", default=list, blank=True)
    names_more = EncryptedJSONField("more than gentle recovery", default=False)
    origin = EncryptedTextField("handed over by", default="", blank=True)
    document = models.ForeignKey(
        StoredFile, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    note = EncryptedTextField(default="", blank=True)
    withdrawn_on = EncryptedDateField("withdrawn on", null=True, blank=True)
    withdrawn_reason = EncryptedTextField("why withdrawn", default="", blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"clearance {self.pk}"


class WarningSign(Stamped):
    """A symptom that means stop and refer. `code` is one of clients/data/warning_signs.toml.

    `text` is what was added in words of the one who wrote it. `intake`: the form in which she
    said it herself. A withdrawn one (tapped by mistake) stays. The follow-up of the next day is
    closed by `followed_up_on`, with who advised what and how she goes back.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="signs")
    code = EncryptedTextField()
    text = EncryptedTextField(default="", blank=True)
    happened_on = EncryptedDateField("happened on")
    known_on = EncryptedDateField("known on")
    intake = models.ForeignKey(
        "clients.Intake", null=True, blank=True, on_delete=models.SET_NULL, related_name="signs"
    )
    withdrawn_on = EncryptedDateField("withdrawn on", null=True, blank=True)
    withdrawn_reason = EncryptedTextField("why withdrawn", default="", blank=True)
    followed_up_on = EncryptedDateField("followed up on", null=True, blank=True)
    advised_by = EncryptedTextField("who advised", default="", blank=True)
    advice = EncryptedTextField(default="", blank=True)
    graded_return = EncryptedTextField("how she goes back", default="", blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"warning sign {self.pk}"


class GoAheadSpan(models.Model):
    """The go-ahead word from a first day to a last, None for open; written by actions alone.

    A client's spans follow each other without a gap. The word is in clear, so that lists can
    filter by it. A last day may be a due date: it is not for printing.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="spans")
    first = models.DateField()
    last = models.DateField(null=True)
    word = models.CharField(max_length=20)

    class Meta:
        ordering = ["client", "first"]
        indexes = [models.Index(fields=["first", "last"], name="span_days")]
        constraints = [
            models.UniqueConstraint(fields=["client", "first"], name="span_begins_once"),
            models.UniqueConstraint(
                fields=["client"], condition=models.Q(last=None), name="span_open_once"
            ),
            models.CheckConstraint(
                name="span_in_order",
                condition=models.Q(last=None) | models.Q(last__gte=models.F("first")),
            ),
            models.CheckConstraint(
                name="span_word_known",
                condition=models.Q(word__in=[str(word) for word in GoAheadWord]),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.word} from {self.first}"
