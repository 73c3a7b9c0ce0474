"""The practice's policy in words: what each number is, and since when it stands. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any

from clients.rules.policy import SWITCHES, Policies, Policy, policy, switches
from clients.rules.words import short_day_words
from coach.scheduling.dates import GestationalAge

LABELS = {
    "letter_counts_weeks": "Weeks that a letter counts",
    "screening_counts_weeks": "Weeks that answers count",
    "letter_wanted_weeks": "Weeks after an end in which a letter is wanted",
    "gentle_weeks": "Weeks of gentle recovery",
    "caesarean_impact_weeks": "Weeks without impact",
    "caesarean_trunk_weeks": "Weeks without loaded curling of the trunk",
    "caesarean_lifting_weeks": "Weeks without lifting anything heavy",
    "past_due_days": "Day of the pregnancy from which she waits, 280 being the due date",
}
SUFFICES = "screening_suffices"
_SUFFICES_WORDS = "Current answers, every one no, are taken where no letter is in force"


def since_words(policies: Policies, day: date, of: Callable[[Policy], Any]) -> str:
    """Since when what `of` reads of a policy has stood as it does on a day."""
    changed = (
        begins
        for begins, before, after in zip(
            policies.begins, policies.versions, policies.versions[1:], strict=False
        )
        if begins <= day and of(before) != of(after)
    )
    since = max(changed, default=None)
    return f"since {short_day_words(since)}" if since else "from the start"


def number_words(name: str, value: int) -> str:
    """A number as the page tells it: "12", "294 (42w0d)"."""
    return f"{value} ({GestationalAge(value)})" if name == "past_due_days" else str(value)


def changes_words(values: Mapping[str, Any]) -> list[str]:
    """What of a stored policy is other than to begin with, one sentence each."""
    return [*_changes(values)] or ["Everything as to begin with"]


def _changes(values: Mapping[str, Any]) -> Iterator[str]:
    for name, label in LABELS.items():
        if name in values:
            usual = number_words(name, getattr(policy(), name))
            yield f"{label}: {number_words(name, values[name])}, to begin with {usual}"
    if values.get(SUFFICES):
        yield _SUFFICES_WORDS
    off = set(values.get("off", ()))
    yield from (f"Not checked: {switches()[one]}" for one in SWITCHES if one in off)
