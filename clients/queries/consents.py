"""Reads of what a client agreed to."""

from __future__ import annotations

from dataclasses import dataclass

from clients.models import Client, Consent
from clients.rules.consents import Purpose, purposes


@dataclass(frozen=True, slots=True)
class Agreement:
    """One purpose: the words that she agreed to, or that she would be asked; and her consent."""

    purpose: Purpose
    words: str
    consent: Consent | None


def agreements_of(client: Client, practice: str) -> list[Agreement]:
    """Every purpose in its order with her latest consent to it that holds; one query."""
    held = {row.purpose: row for row in client.consents.filter(withdrawn_at=None).order_by("pk")}
    return [_agreement(one, held.get(one.code), practice) for one in purposes().values()]


def _agreement(one: Purpose, consent: Consent | None, practice: str) -> Agreement:
    version = consent.version if consent and consent.version in one.texts else ""
    return Agreement(one, one.words(practice, version), consent)
