"""The write of what the practice has chosen about measuring: from today on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields
from typing import Any

from django.db import transaction

from clients.actions.measuring import rewrite_all_summaries
from clients.actions.shared import Refused, refuse_if
from clients.models import MeasuringPolicy
from clients.queries.days import practice_today
from clients.queries.measuring import measuring_policies
from clients.rules.measuring_policy import Measuring, measuring_with
from clients.rules.measuring_policy_words import wrong_words
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor


@transaction.atomic
def change_measuring(*, by: Actor, values: Mapping[str, Any], reason: str) -> MeasuringPolicy:
    """Put other choices in force from today on, where the coach is; never for the past.

    `values`: what of rules.measuring_policy.Measuring differs from the data; what is not given is
    as in the data. A second change on one day takes the place of the first; the trail has both.
    What lists read of assessments is written anew, since it is judged by what is asked now.
    Refused without a reason, for a value that cannot be, and where nothing changes.
    """
    today, found = practice_today(), _wrong(values)
    if not reason.strip():
        found.append(Problem("reason", "Say why: it stays beside the choice."))
    refuse_if(found)
    new, old = measuring_with(values), measuring_policies().on(today)
    if new == old:
        raise Refused([Problem("", "Nothing of it has changed.")])
    row = MeasuringPolicy.objects.filter(begins=today).first() or MeasuringPolicy(begins=today)
    row.values, row.reason = _differing(new, Measuring()), reason.strip()
    row.by, row.at = by.user, clock.now()
    row.save()
    rewrite_all_summaries()
    audit.record(by=by, verb="changed", subject=row, fields=_differing(new, old), reason=row.reason)
    return row


def _wrong(values: Mapping[str, Any]) -> list[Problem]:
    """Each choice that cannot be, with a sentence."""
    known = {one.name for one in fields(Measuring)}
    found = [Problem("", "There is no such choice.") for name in values if name not in known]
    for name in sorted(known & set(values)):
        try:
            measuring_with({name: values[name]})
        except (TypeError, ValueError):
            found.append(Problem(name, wrong_words(name)))
    return found


def _differing(new: Measuring, old: Measuring) -> dict[str, Any]:
    """What of the choices is another than in earlier ones, as it is stored."""
    stored = {**asdict(new), "sites": list(new.sites)}
    return {name: stored[name] for name in stored if getattr(new, name) != getattr(old, name)}
