"""What `check_data` asks of this room's rows."""

from __future__ import annotations

from collections.abc import Iterator

from coach.practice import files
from coach.practice.models import StoredFile, User
from coach.practice.permissions import Role
from coach.scheduling.values import Finding, Severity

_SOURCE = "policy of the practice"


def an_owner() -> Iterator[Finding]:
    """Somebody must be in charge."""
    if not User.objects.filter(role=Role.OWNER, is_active=True).exists():
        yield Finding("people", Severity.STOP, "Nobody who may sign in is an owner.", _SOURCE)


def readable_files() -> Iterator[Finding]:
    """Every stored file opens and is what was stored."""
    for stored in StoredFile.objects.order_by("pk").iterator():
        try:
            files.read(stored)
        except files.FileDamaged as damaged:
            yield Finding("file", Severity.STOP, str(damaged), _SOURCE)
