"""The business, its people, the audit trail and stored files."""

from coach.practice.models.audit import AuditEntry
from coach.practice.models.base import Stamped
from coach.practice.models.files import StoredFile
from coach.practice.models.people import User
from coach.practice.models.practice import Practice

__all__ = ["AuditEntry", "Practice", "Stamped", "StoredFile", "User"]
