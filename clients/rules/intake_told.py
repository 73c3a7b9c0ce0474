"""What a sent form tells of her pregnancies, as facts where there is a day, else in words. Pure.

`told`: by step, what its form came to (`forms.intake`), as values that can be stored.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from clients.rules.intake import TELL, Step
from clients.rules.intake_words import asked
from clients.rules.pregnancies import MODES, SURGICAL, TEARS, PregnancyFacts
from clients.rules.words import CARRYING, DELIVERED, LOST, words_for
from coach.scheduling.dates import Ending

ENDINGS = {DELIVERED: Ending.BIRTH, LOST: Ending.LOSS}
Told = Mapping[str, Mapping[str, Any]]


def told_running(told: Told) -> PregnancyFacts | None:
    """The pregnancy that she says runs, as she dates it."""
    if told.get(Step.NOW, {}).get("situation") != CARRYING:
        return None
    dates = told.get(Step.DATES, {})
    due = told_day(dates.get("day"))
    dated_by = dates.get("dated_by", "") if due else ""
    return PregnancyFacts(due=due, dated_by=dated_by, expected=dates.get("how_many") or 1)


def told_endings(told: Told) -> list[PregnancyFacts]:
    """Every ending that she gives a day for; the others are told in words (`in_words_only`)."""
    return [_ending(one) for one in _blocks(told) if one["kind"] in ENDINGS and one.get("ended")]


def _blocks(told: Told) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = told.get(Step.BEFORE, {}).get("blocks", [])
    return found


def _ending(one: Mapping[str, Any]) -> PregnancyFacts:
    known = {
        "birth_mode": (one.get("mode", ""), MODES),
        "tear": (one.get("tear", ""), TEARS),
        "surgical": (one.get("surgical", ""), SURGICAL),
    }
    return PregnancyFacts(
        ended=told_day(one.get("ended")),
        ending=str(ENDINGS[one["kind"]]),
        gestation=one.get("weeks", ""),
        **{name: value for name, (value, choices) in known.items() if value in choices},
    )


def in_words_only(told: Told, *, quiet: bool) -> list[str]:
    """What she tells that has no day to be kept under, and what she would rather say herself."""
    words, found = words_for(quiet), []
    if told.get(Step.NOW, {}).get("situation") == TELL:
        found.append("Where she is: she would rather tell you.")
    for one in _blocks(told):
        if one["kind"] == TELL:
            found.append("What was before: she would rather tell you.")
        elif not one.get("ended"):
            kind = words.birth if one["kind"] == DELIVERED else words.loss
            mode = MODES.get(one.get("mode", ""), "")
            told_so = ", ".join(part for part in (one.get("about", ""), mode) if part)
            found.append(f"{kind}: {told_so or 'no day given'}.")
        if TELL in {one.get("mode"), one.get("tear"), one.get("surgical")}:
            found.append("More about that: she would rather tell you.")
    return found


def told_situation(told: Told, *, quiet: bool) -> str:
    """Where she says she is, in her words; empty where she did not say."""
    said = told.get(Step.NOW, {}).get("situation", "")
    return "" if said == TELL else dict(asked(quiet).situations).get(said, "")


def told_day(text: Any) -> date | None:
    """A day as it is stored; None for none."""
    return date.fromisoformat(text) if text else None
