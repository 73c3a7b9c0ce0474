"""How actions change a row: only what differs, with its stamp, and the names of what changed."""

from __future__ import annotations

from typing import Any

from coach import clock
from coach.practice.models import Stamped


def change(row: Stamped, **values: Any) -> list[str]:
    """Set what differs, stamp and save just that. Returns the names of the changed fields."""
    changed = [name for name, value in values.items() if getattr(row, name) != value]
    if changed:
        for name in changed:
            setattr(row, name, values[name])
        row.changed_at = clock.now()
        row.save(update_fields=[*changed, "changed_at"])
    return changed
