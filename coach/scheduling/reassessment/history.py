"""What the rules of reassessment know of one client. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from coach.scheduling.dates import PregnancyDates


class Found(NamedTuple):
    """Something found and not answered otherwise since; `symptom`: she feels it.

    `since`: the first day of it, `day`: the last on which it was found.
    """

    code: str
    words: str
    symptom: bool
    since: date
    day: date


@dataclass(frozen=True, slots=True)
class History:
    """What is known of one client. None, or nothing, is "not known" or "never".

    `last`: the day of her last finished assessment. `go_ahead_on`: the first day of the present
    run of weeks on which her go-ahead let her train, read only while `last` is None; `since`: the
    day she came. `signs_answered`: the days on which a clinician's answer to a warning sign was
    known. `back_on`: her latest return from a pause that began `away_from`. `every_weeks`: decided
    for her. `findings`: what is open, of unfinished assessments too.
    """

    pregnancies: tuple[PregnancyDates, ...] = ()
    last: date | None = None
    go_ahead_on: date | None = None
    signs_answered: tuple[date, ...] = ()
    away_from: date | None = None
    back_on: date | None = None
    findings: tuple[Found, ...] = ()
    every_weeks: int | None = None
    since: date | None = None

    def unmet(self, day: date) -> bool:
        """Whether no finished assessment was on that day or later."""
        return self.last is None or self.last < day
