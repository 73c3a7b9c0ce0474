"""What is measured at an assessment, and what cannot be right about it. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from clients.rules.pregnancies import LONGEST_AGO_DAYS, Problem

# In the order of the body. Boissonnault & Blaschak 1988: 4.5 cm above, at, and below the navel.
SITES: dict[str, str] = {
    "above_mm": "4.5 cm above the navel",
    "at_mm": "at the navel",
    "below_mm": "4.5 cm below the navel",
}
WAYS: dict[str, str] = {
    "video": "on video",
    "in-person": "in person",
    "herself": "by herself",
}
YES, NO, NOT_KNOWN = "yes", "no", ""
ANSWERS: dict[str, str] = {YES: "yes", NO: "no", NOT_KNOWN: "not known"}
# Ultrasound gives values below zero (to −5 mm in never-pregnant women: Woxnerud 2023); the other
# end is common practice, no source: it catches centimetres typed as something else.
LEAST_MM, MOST_MM = -10, 150
LEAST_EFFORT, MOST_EFFORT = 0, 10
LONGEST_NOTE = 2000


@dataclass(frozen=True, slots=True)
class Measures:
    """One assessment's measurements; None and "" are "not known".

    `*_mm`: inter-recti distance at rest in millimetres at SITES. `doming`, `leaking`,
    `heaviness`: "yes", "no" or "". `effort`: how hard training feels, 0 (none) to 10 (all she
    has), on a plain scale of our own. No diagnosis follows from a width alone (Bø 2017).
    """

    above_mm: int | None = None
    at_mm: int | None = None
    below_mm: int | None = None
    doming: str = ""
    leaking: str = ""
    heaviness: str = ""
    effort: int | None = None
    note: str = ""

    @property
    def known(self) -> dict[str, Any]:
        """Only what is known, as it is kept."""
        return {name: value for name, value in asdict(self).items() if value not in (None, "")}

    @classmethod
    def of(cls, known: Mapping[str, Any]) -> Measures:
        """What `known` gave; TypeError for a measure that there is not."""
        return cls(**known)


def problems(
    measures: Measures, *, day: date, measured_by: str, how: str, today: date
) -> list[Problem]:
    """Everything that speaks against keeping an assessment, each beside its field.

    `today` is the latest date it is where she or the coach is.
    """
    return [
        *_against_values(measures),
        *_against_day(day, today),
        *([] if how in WAYS else [Problem("how", "Say how it was measured.")]),
        *([] if measured_by.strip() else [Problem("measured_by", "Say who measured.")]),
    ]


def _against_values(measures: Measures) -> Iterator[Problem]:
    if not set(measures.known) - {"note"}:
        yield Problem("", "Nothing is measured: fill in at least one value or answer.")
    for name in SITES:
        if not _within(getattr(measures, name), LEAST_MM, MOST_MM):
            yield Problem(name, f"Write millimetres, {LEAST_MM} to {MOST_MM}.".replace("-", "−"))
    if not _within(measures.effort, LEAST_EFFORT, MOST_EFFORT):
        yield Problem("effort", f"Write a number from {LEAST_EFFORT} to {MOST_EFFORT}.")
    for name in ("doming", "leaking", "heaviness"):
        if getattr(measures, name) not in ANSWERS:
            yield Problem(name, "Choose yes, no or not known.")
    if len(measures.note) > LONGEST_NOTE:
        yield Problem("note", f"Write at most {LONGEST_NOTE} letters.")


def _within(value: int | None, least: int, most: int) -> bool:
    return value is None or least <= value <= most


def _against_day(day: date, today: date) -> Iterator[Problem]:
    if day > today:
        yield Problem("day", "That day has not come yet.")
    elif (today - day).days > LONGEST_AGO_DAYS:
        yield Problem("day", "That is over 40 years ago: check the year.")
