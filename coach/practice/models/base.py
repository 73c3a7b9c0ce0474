"""What most rows share."""

from __future__ import annotations

from django.db import models

from coach import clock


class Stamped(models.Model):
    """A row that knows when it was made and last changed; `writing.change` keeps the second."""

    created_at = models.DateTimeField(default=clock.now, editable=False)
    changed_at = models.DateTimeField(default=clock.now, editable=False)

    class Meta:
        abstract = True
