"""What `check_data` asks of this room's rows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

from django.conf import settings

from coach import clock
from coach.practice import files
from coach.practice.models import StoredFile, User
from coach.practice.permissions import Role
from coach.scheduling.values import Finding, Severity

_SOURCE = "policy of the practice"
_BEING_STORED = timedelta(hours=1)  # a younger file may have a row that is not to be seen yet


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


def files_have_rows() -> Iterator[Finding]:
    """Nothing lies among the stored files that no row knows of: nobody could ever erase it."""
    known = {f"{uid}.age" for uid in StoredFile.objects.values_list("uid", flat=True)}
    before = (clock.now() - _BEING_STORED).timestamp()
    for path in sorted(Path(settings.FILES).glob("*")):
        if path.name not in known and path.stat().st_mtime < before:
            yield Finding("file", Severity.WAIT, f"{path.name} belongs to nothing.", _SOURCE)
