"""Two datings of one pregnancy side by side, and what a coach is told about them. Pure.

Source: ACOG Committee Opinion 700 (2017), table 1; that a transfer is not redated by a scan is the
same opinion, from memory. The sentences name no due date: a quiet client's page shows them too.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clients.rules.dating import LAST_PERIOD, SCAN, TRANSFER_3, TRANSFER_5
from clients.rules.pregnancies import PregnancyFacts
from coach.scheduling.dates import (
    REDATING_LIMITS,
    GestationalAge,
    compare_datings,
    gestational_age,
)

SOURCE = "ACOG Committee Opinion 700 (2017), table 1"
_COMPARED = {LAST_PERIOD, SCAN}
_TRANSFERS = {TRANSFER_5, TRANSFER_3}
_DAY_0 = GestationalAge(0)


@dataclass(frozen=True, slots=True)
class Redating:
    """What changing a date comes to: a sentence, and whether only her clinician may say so."""

    sentence: str
    clinicians: bool


def redating(
    kept: PregnancyFacts, due: date, method: str, scan_day: date | None
) -> Redating | None:
    """What to say before `kept.due` becomes `due`, known by `method`; None where nothing is.

    The last period is compared with a scan, whichever of them stands. Her age is the one by the
    last period on the day of the scan; where that day is not known, the smallest limit counts.
    """
    if kept.due is None or kept.due == due:
        return None
    if kept.dated_by in _TRANSFERS and method in _COMPARED:
        return Redating(
            "The date that stands is by transfer: neither a scan nor the last period changes it "
            "(ACOG Committee Opinion 700, 2017). Her clinician decides.",
            clinicians=True,
        )
    if {kept.dated_by, method} != _COMPARED:
        return None
    by_period, by_scan = (due, kept.due) if method == LAST_PERIOD else (kept.due, due)
    return _compared(by_period, by_scan, scan_day)


def _compared(by_period: date, by_scan: date, scan_day: date | None) -> Redating:
    age = (gestational_age(by_period, scan_day) or _DAY_0) if scan_day else None
    found = compare_datings(by_period, by_scan, age or _strictest_age())
    apart = days_words(abs(found.difference_days))
    by = f"at {age} by the last period" if age else "the strictest: the scan’s day is not known"
    allowed = f"{days_words(found.limit.days)} ({by}; {SOURCE})"
    if found.beyond_limit:
        return Redating(
            f"The two datings are {apart} apart, more than the allowed {allowed}. Her clinician "
            "decides which of them holds: send her there.",
            clinicians=True,
        )
    return Redating(
        f"The two datings are {apart} apart, within the allowed {allowed}: the date by the last "
        "period stands. The choice is yours.",
        clinicians=False,
    )


def _strictest_age() -> GestationalAge:
    return min(REDATING_LIMITS, key=lambda row: row.days).from_age


def days_words(n: int) -> str:
    """ "1 day", "9 days"."""
    return f"{n} day" if n == 1 else f"{n} days"
