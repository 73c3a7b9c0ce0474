"""Files kept encrypted outside any served folder; coach/practice/files.py reads and writes."""

from __future__ import annotations

import uuid

from django.db import models

from coach.practice.encryption import EncryptedTextField
from coach.practice.models.base import Stamped


class StoredFile(Stamped):
    """One file: stored under a random name, its own name sealed, its content encrypted."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = EncryptedTextField()
    content_type = models.CharField(max_length=100)
    size = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)

    def __str__(self) -> str:
        return f"file {self.uid}"
