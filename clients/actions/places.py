"""Writes of where a client trains, and whom to ring there."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

from django.db import transaction

from clients.actions.shared import days_of, lock, refuse_if
from clients.models import Client
from clients.queries import place_of
from clients.rules.place import place_problems
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change


@transaction.atomic
def set_place(*, by: Actor, client: Client, **values: Any) -> Client:
    """Keep where she trains and whom to ring there; Refused when it cannot be.

    `values`: any of the fields of rules.place.Place; what is not given stays. TypeError for others.
    """
    lock(client)
    kept = place_of(client)
    values = {name: _plain(value) for name, value in values.items()}
    place = replace(kept, **values)
    if place != kept:
        refuse_if(place_problems(place, today=days_of(client).earlier))
    audit.record(by=by, verb="changed", subject=client, fields=change(client, **asdict(place)))
    return client


def _plain(value: Any) -> Any:
    return value.strip() if isinstance(value, str) else value
