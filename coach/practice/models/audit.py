"""Entries of the audit trail; coach/practice/audit.py writes them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from coach.practice.encryption import EncryptedTextField


class AuditEntry(models.Model):
    """One thing that somebody did. Never changed, never deleted (triggers refuse it)."""

    actor = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField(db_index=True)
    verb = models.CharField(max_length=40)
    subject_kind = models.CharField(max_length=60, blank=True)
    subject_id = models.CharField(max_length=40, blank=True)
    fields = models.JSONField(default=list)
    # A reason is free text and may name a symptom.
    reason = EncryptedTextField(default="")
    address = models.GenericIPAddressField(null=True)

    class Meta:
        ordering = ["-pk"]
        indexes = [models.Index(fields=["subject_kind", "subject_id"], name="audit_subject")]

    def __str__(self) -> str:
        return f"{self.verb} {self.subject_kind} {self.subject_id}".strip()
