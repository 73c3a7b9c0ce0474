"""When a class may get a publish day, change it, lose it or count as published.

Each rule answers with a sentence fit for the page when it may not, and with nothing when it may.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from content.rules.classes import PUBLISHED, WITHDRAWN


@dataclass(frozen=True, slots=True)
class Standing:
    """What the rules need to know of a class: its state, and its day if it has one."""

    title: str
    state: str
    day: date | None = None


def day_in_words(day: date) -> str:
    """ "Tuesday 5 January 2027"."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def against_placing(of: Standing, *, day: date, today: date, off: bool) -> str:
    """Why a class cannot be uploaded on `day`; `off`: it is a day off."""
    if of.state == WITHDRAWN:
        return f"“{of.title}” is withdrawn: bring it back before giving it a day."
    if of.state == PUBLISHED:
        return f"“{of.title}” is already published."
    if of.day:
        return f"“{of.title}” already has a day, {day_in_words(of.day)}: move it instead."
    return _against_day(day, today=today, off=off)


def against_moving(of: Standing, *, day: date, today: date, off: bool) -> str:
    """Why an upload cannot go to `day`. What is published may be corrected, never into the future;
    then a day off is no reason against it."""
    if not of.day:
        return f"“{of.title}” was taken off: give it a new day."
    if of.state == PUBLISHED:
        return _against_publishing_on(day, today=today)
    if of.state == WITHDRAWN:
        return f"“{of.title}” is withdrawn."
    return _against_day(day, today=today, off=off)


def against_taking_off(of: Standing) -> str:
    """Why an upload cannot be taken off the calendar."""
    if not of.day:
        return f"“{of.title}” is already taken off."
    if of.state in {PUBLISHED, WITHDRAWN}:
        return f"“{of.title}” was published on {day_in_words(of.day)}: that stays in the history."
    return ""


def against_publishing(of: Standing, *, day: date, today: date) -> str:
    """Why an upload cannot be marked as published on `day`."""
    if of.state == PUBLISHED:
        return f"“{of.title}” is already published."
    if of.state == WITHDRAWN:
        return f"“{of.title}” is withdrawn: bring it back before publishing it."
    if not of.day:
        return f"“{of.title}” was taken off: give it a new day."
    return _against_publishing_on(day, today=today)


def against_publishing_unplanned(of: Standing, *, day: date, today: date) -> str:
    """Why a class without a day cannot be put among the published ones."""
    if of.day and of.state != PUBLISHED:
        return f"“{of.title}” already has a day, {day_in_words(of.day)}: publish that one."
    return against_publishing(Standing(of.title, of.state, day), day=day, today=today)


def _against_day(day: date, *, today: date, off: bool) -> str:
    if day < today:
        return f"{day_in_words(day)} is past: choose today or a later day."
    if off:
        return f"{day_in_words(day)} is a day off."
    return ""


def _against_publishing_on(day: date, *, today: date) -> str:
    if day > today:
        return f"{day_in_words(day)} has not come yet: a class is published today or earlier."
    return ""
