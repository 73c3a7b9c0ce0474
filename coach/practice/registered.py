"""What this room registers."""

from __future__ import annotations

from coach.practice import checks
from coach.practice.models import Practice, StoredFile, User
from coach.practice.permissions import Fact
from coach.practice.registry import Room, Section
from coach.practice.registry import register as _register

_PRACTICE = dict.fromkeys(
    (
        "name",
        "country",
        "time_zone",
        "currency",
        "address",
        "how_to_pay",
        "tax_name",
        "tax_number",
        "tax_basis_points",
        "trimester_scheme",
        "offers",
        "is_demo",
    ),
    Fact.PRACTICE,
)
_USER = dict.fromkeys(("email", "name", "role", "is_active", "date_joined"), Fact.PRACTICE)
_FILE = dict.fromkeys(("name", "content_type", "size", "sha256"), Fact.HEALTH)


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="practice",
            facts={Practice: _PRACTICE, User: _USER, StoredFile: _FILE},
            sections=(Section("Practice", "practice:index", 70, None, ("practice", "feeds")),),
            checks=(checks.an_owner, checks.readable_files, checks.files_have_rows),
            own_fields=frozenset(
                {"id", "uid", "created_at", "changed_at", "password", "last_login"}
            ),
        )
    )
