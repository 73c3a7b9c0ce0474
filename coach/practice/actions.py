"""Writes of the practice room; each is one transaction with one audit entry."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.models import Practice, User
from coach.practice.permissions import Role
from coach.practice.queries import is_last_owner, practice_or_none
from coach.practice.writing import change


class AlreadyBegun(RuntimeError):
    """The practice exists: nobody becomes its owner by the first page any more."""


class LastOwner(ValueError):
    """The practice would be left without an owner."""


@transaction.atomic
def begin(
    *, practice: dict[str, Any], name: str, email: str, password: str, address: str | None = None
) -> User:
    """Make the practice and its owner; AlreadyBegun if there is one."""
    if practice_or_none() or User.objects.exists():
        raise AlreadyBegun
    made = Practice.objects.create(pk=1, **practice)
    owner = User.objects.create_user(email, password, name=name, role=Role.OWNER)
    audit.record(by=Actor(owner, address), verb="began", subject=made, fields=practice)
    return owner


@transaction.atomic
def change_practice(*, by: Actor, practice: Practice, **values: Any) -> Practice:
    """Change the details of the business."""
    changed = change(practice, **values)
    audit.record(by=by, verb="changed", subject=practice, fields=changed)
    return practice


@transaction.atomic
def add_person(*, by: Actor, name: str, email: str, role: str) -> User:
    """Add somebody without a password: she chooses it by the link that the owner gives her."""
    person = User.objects.create_user(email, name=name, role=role)
    audit.record(by=by, verb="added", subject=person, fields=("name", "email", "role"))
    return person


@transaction.atomic
def change_person(*, by: Actor, person: User, **values: Any) -> User:
    """Change name, role or access; LastOwner if that would leave nobody in charge."""
    gives_up = values.get("role", Role.OWNER) != Role.OWNER or not values.get("is_active", True)
    if gives_up and is_last_owner(person):
        raise LastOwner
    changed = change(person, **values)
    audit.record(by=by, verb="changed", subject=person, fields=changed)
    return person


@transaction.atomic
def record_export(*, by: Actor, practice: Practice) -> None:
    """Note that somebody took everything away."""
    audit.record(by=by, verb="took everything away", subject=practice)


@transaction.atomic
def record_link(*, by: Actor, person: User) -> None:
    """Note that somebody was given a link to choose a password."""
    audit.record(by=by, verb="gave a password link", subject=person)
