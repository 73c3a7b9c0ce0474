"""What the practice decided about the go-ahead before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clients.models import GoAheadPolicy
from clients.rules.policy_words import changes_words


@dataclass(frozen=True, slots=True)
class Decided:
    """One policy: from which day, why, by whom, and what of it differs from the data."""

    begins: date
    reason: str
    by: str
    words: tuple[str, ...]


def policy_history() -> list[Decided]:
    """Every policy that was ever put in force, the latest first, in one query."""
    rows = GoAheadPolicy.objects.select_related("by").order_by("-begins")
    return [
        Decided(
            row.begins, row.reason, row.by.name if row.by else "", tuple(changes_words(row.values))
        )
        for row in rows
    ]
