"""Reads of the practice room."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db import models

from coach.practice import registry
from coach.practice.models import AuditEntry, Practice, User
from coach.practice.permissions import Role
from coach.scheduling.values import Finding


def practice_or_none() -> Practice | None:
    """The one practice of this database, if it has been begun."""
    return Practice.objects.first()


def the_practice() -> Practice:
    """The practice; Practice.DoesNotExist before the first run is over."""
    return Practice.objects.get()


def people() -> models.QuerySet[User]:
    """Everybody who signs in or once did, those still active first."""
    return User.objects.order_by("-is_active", "name", "pk")


def is_last_owner(person: User) -> bool:
    """Whether taking her role or access away would leave the practice without an owner."""
    others = User.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=person.pk)
    return person.role == Role.OWNER and not others.exists()


def trail() -> models.QuerySet[AuditEntry]:
    """The audit trail, newest first."""
    return AuditEntry.objects.select_related("actor").order_by("-pk")


def everything() -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Every row of every room, decrypted, for the owner to take away: (table, rows)."""
    for room in registry.rooms():
        for model, facts in room.facts.items():
            columns = model._meta.concrete_fields
            told = (column.attname for column in columns if column.name in facts)
            names = dict.fromkeys((model._meta.pk.attname, *told))
            rows = model._default_manager.order_by("pk").values(*names)
            yield model._meta.label, list(rows.iterator())


def problems() -> list[Finding]:
    """What the checks of all rooms find wrong in the stored rows."""
    return [finding for room in registry.rooms() for check in room.checks for finding in check()]
