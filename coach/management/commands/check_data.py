"""`check_data`: run every room's checks over the stored rows."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coach.management.practice_database import require_practice
from coach.practice.queries import problems


class Command(BaseCommand):
    help = "Check the stored rows. Exits with an error if anything is wrong with them."

    def handle(self, *_: Any, **__: Any) -> None:
        require_practice()
        found = problems()
        for finding in found:
            self.stdout.write(f"{finding.kind}: {finding.reason}")
        if found:
            raise CommandError(f"{len(found)} to look at.")
        self.stdout.write("Nothing wrong found in what is stored.")
