"""The write of the practice's policy of the go-ahead: from a day on, never for the past."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields
from datetime import date
from typing import Any

from django.db import transaction

from clients.actions.shared import Refused, refuse_if
from clients.actions.spans import rewrite_all_spans
from clients.models import GoAheadPolicy
from clients.queries import policies
from clients.queries.days import practice_today
from clients.rules.policy import (
    LEAST_WEEKS,
    MOST_WEEKS,
    SWITCHES,
    WEEKS,
    Policy,
    policy,
    policy_with,
)
from clients.rules.pregnancies import Problem
from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor

_WORDS = {
    **{name: f"Whole weeks, from {LEAST_WEEKS.get(name, 1)} to {MOST_WEEKS}." for name in WEEKS},
    "past_due_days": "A day after 40 weeks, 42w0d at the latest.",
    "screening_suffices": "Yes or no.",
    "off": "That cannot be switched off.",
}


@transaction.atomic
def change_policy(
    *, by: Actor, values: Mapping[str, Any], reason: str, begins: date | None = None
) -> GoAheadPolicy:
    """Put another policy in force from a day on (None: today where the coach is).

    `values`: what of rules.policy.Policy differs from the data, `off` a list; what is not given is
    as in the data. A second change for one day takes the place of the first; the trail has both.
    What was judged before that day stays as it was. Refused for a day gone by, without a reason,
    for a value that cannot be, and where nothing changes.
    """
    today = practice_today()
    begins = begins or today
    found = [Problem(name, words) for name, words in _wrong(values)]
    if begins < today:
        found.append(Problem("begins", "Today at the earliest: what is past stays as it was."))
    if not reason.strip():
        found.append(Problem("reason", "Say why: it stays beside the policy."))
    refuse_if(found)
    new, old = policy_with(values), policies().on(begins)
    if new == old:
        raise Refused([Problem("", "Nothing of it has changed.")])
    row = GoAheadPolicy.objects.filter(begins=begins).first() or GoAheadPolicy(begins=begins)
    row.values, row.reason = _differing(new, policy()), reason.strip()
    row.by, row.at = by.user, clock.now()
    row.save()
    rewrite_all_spans()
    audit.record(by=by, verb="changed", subject=row, fields=_differing(new, old), reason=row.reason)
    return row


def _wrong(values: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Each value that no policy can hold, with a sentence."""
    known = {field.name for field in fields(Policy)}
    found = [("", "There is no such rule.") for name in values if name not in known]
    for name in known & set(values):
        try:
            policy_with({name: values[name]})
        except (TypeError, ValueError):
            found.append((name, _WORDS[name]))
    return sorted(found)


def _differing(new: Policy, old: Policy) -> dict[str, Any]:
    """What of a policy is another than in an earlier one, as it is stored."""
    stored = {**asdict(new), "off": [one for one in SWITCHES if one in new.off]}
    return {name: stored[name] for name in stored if getattr(new, name) != getattr(old, name)}
