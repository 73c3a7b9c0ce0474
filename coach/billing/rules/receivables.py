"""What is open, since when, and the word for it. Pure; days are calendar dates of the practice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from coach.billing.rules.values import CREDIT_NOTE


class Status(StrEnum):
    """The one word for a paper on a day."""

    DRAFT = "draft"
    OPEN = "open"
    OVERDUE = "overdue"
    PAID = "paid"
    CREDITED = "credited"
    TO_PAY_BACK = "to be paid back"
    CREDIT_NOTE = "credit note"


@dataclass(frozen=True, slots=True)
class Bill:
    """What the word depends on; amounts in minor units. `credited_minor`: its credit note's sum."""

    kind: str
    gross_minor: int
    credited_minor: int
    paid_minor: int
    pay_by: date | None  # None: a draft
    is_credited: bool = False

    @property
    def open_minor(self) -> int:
        """Still to be paid; below nothing when more came in than is owed. Drafts owe nothing."""
        if self.pay_by is None or self.kind == CREDIT_NOTE:
            return 0
        return self.gross_minor - self.credited_minor - self.paid_minor


# What a list of papers may be narrowed to; "" is all of them.
FILTERS: dict[str, frozenset[Status]] = {
    "": frozenset(Status),
    "draft": frozenset({Status.DRAFT}),
    "open": frozenset({Status.OPEN, Status.OVERDUE, Status.TO_PAY_BACK}),
    "overdue": frozenset({Status.OVERDUE}),
    "paid": frozenset({Status.PAID}),
    "credited": frozenset({Status.CREDITED, Status.CREDIT_NOTE}),
}


def status(bill: Bill, today: date) -> Status:
    """The word for a paper: what is open comes before what is over."""
    if bill.pay_by is None:
        return Status.DRAFT
    if bill.kind == CREDIT_NOTE:
        return Status.CREDIT_NOTE
    if bill.open_minor < 0:
        return Status.TO_PAY_BACK
    if bill.open_minor > 0:
        return Status.OVERDUE if days_late(bill.pay_by, today) > 0 else Status.OPEN
    return Status.CREDITED if bill.is_credited else Status.PAID


def days_late(pay_by: date, today: date) -> int:
    """Days past the day to pay by; nought on that day, below nought before it."""
    return (today - pay_by).days


class Age(StrEnum):
    """The usual steps of aged receivables: common practice, no source."""

    CURRENT = "not yet due"
    TO_30 = "1–30 days late"
    TO_60 = "31–60 days late"
    TO_90 = "61–90 days late"
    OVER_90 = "over 90 days late"


_LAST_DAY = {Age.CURRENT: 0, Age.TO_30: 30, Age.TO_60: 60, Age.TO_90: 90}


def age(pay_by: date, today: date) -> Age:
    """The step that a bill is in."""
    late = days_late(pay_by, today)
    return next((step for step, last in _LAST_DAY.items() if late <= last), Age.OVER_90)


def aged(bills: Iterable[Bill], today: date) -> dict[Age, int]:
    """What is open by age in minor units, every step named; together the balance.

    Money to be paid back counts below nothing in its step.
    """
    sums = dict.fromkeys(Age, 0)
    for bill in bills:
        if bill.pay_by is not None:
            sums[age(bill.pay_by, today)] += bill.open_minor
    return sums
