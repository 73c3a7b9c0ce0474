"""How a due date was worked out: the methods, and the date each of them gives. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coach.scheduling.dates import (
    GestationalAge,
    due_from_conception,
    due_from_last_period,
    due_from_scan,
    due_from_transfer,
)

CLINICIAN, LAST_PERIOD, SCAN = "clinician", "last-period", "scan"
TRANSFER_5, TRANSFER_3, CONCEPTION = "transfer-5", "transfer-3", "conception"


@dataclass(frozen=True, slots=True)
class Method:
    """One way of dating: its name in a list, after a date, and the day it asks for.

    An empty `day` is the due date itself.
    """

    label: str
    short: str
    day: str


METHODS: dict[str, Method] = {
    CLINICIAN: Method("what her clinician told her", "as told by a clinician", ""),
    SCAN: Method("a scan", "by scan", "Day of the scan"),
    LAST_PERIOD: Method(
        "the first day of her last period", "by last period", "First day of the last period"
    ),
    TRANSFER_5: Method("transfer of a day-5 embryo", "by day-5 transfer", "Day of the transfer"),
    TRANSFER_3: Method("transfer of a day-3 embryo", "by day-3 transfer", "Day of the transfer"),
    CONCEPTION: Method("conception or egg retrieval", "by conception", "That day"),
}


def work_out_due(method: str, day: date, age: GestationalAge | None = None) -> date:
    """The due date by one of METHODS; ValueError for another, and for a scan without an age.

    Sources stand beside each sum in `coach.scheduling.dating`. A date beyond the calendar's
    end is a ValueError too.
    """
    try:
        return _due(method, day, age)
    except OverflowError:
        raise ValueError("That day is beyond the calendar: check the year.") from None


def _due(method: str, day: date, age: GestationalAge | None) -> date:
    match method:
        case "clinician":
            return day
        case "last-period":
            return due_from_last_period(day)
        case "transfer-5":
            return due_from_transfer(day, 5)
        case "transfer-3":
            return due_from_transfer(day, 3)
        case "conception":
            return due_from_conception(day)
        case "scan" if age is not None:
            return due_from_scan(day, age)
    raise ValueError("a due date needs one of the methods, and a scan the age that it gave")
