"""Packages and their sales: how long one counts, what is left of it, and the word for it. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from coach.billing.rules.values import MOST_MINOR, SESSIONS, WEEKS, WHOLE_BP, Problem

MOST_COUNT = 500


def last_day(kind: str, count: int, validity_days: int | None, starts_on: date) -> date | None:
    """The last day on which a sale counts, its first day being the first; None: without an end.

    Weeks are seven days each; sessions last for the validity, if there is one.
    """
    days = 7 * count if kind == WEEKS else validity_days
    return starts_on + timedelta(days=days - 1) if days else None


class SaleState(StrEnum):
    """The one word for a sale on a day."""

    TO_COME = "to come"
    RUNNING = "running"
    USED_UP = "used up"
    RUN_OUT = "run out"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True)
class Standing:
    """A sale as it stands. `count` is in sessions or weeks; `used` is sessions, of either kind."""

    kind: str
    count: int
    used: int
    starts_on: date
    last_day: date | None
    cancelled: bool = False

    @property
    def left(self) -> int | None:
        """Sessions still to be given; None for weeks, which have no number of sessions."""
        return self.count - self.used if self.kind == SESSIONS else None


def state(sale: Standing, today: date) -> SaleState:
    """The word for a sale; sessions not used by the last day are run out."""
    if sale.cancelled:
        return SaleState.CANCELLED
    if sale.left == 0:
        return SaleState.USED_UP
    if sale.last_day and today > sale.last_day:
        return SaleState.RUN_OUT
    return SaleState.TO_COME if today < sale.starts_on else SaleState.RUNNING


def days_left(sale: Standing, today: date) -> int | None:
    """Days on which it still counts, today included; None: without an end; never below nought."""
    return max(0, (sale.last_day - today).days + 1) if sale.last_day else None


def against_using(sale: Standing, *, on: date, today: date) -> str:
    """Why a session cannot be counted on a sale that day; empty when it can.

    A session after the last day is counted: it was given, and her page shows that it was late.
    """
    if sale.cancelled:
        return "This sale was cancelled."
    if on > today:
        return "That day is still to come: count a session once it was given."
    if on < sale.starts_on:
        return f"This sale starts on {in_words(sale.starts_on)}."
    if sale.left is not None and sale.left < 1:
        return f"All {sale.count} sessions of this sale are used."
    return ""


def against_cancelling(sale: Standing, *, billed: str) -> str:
    """Why a sale cannot be cancelled; empty when it can. `billed`: what its bill is called."""
    if sale.cancelled:
        return "This sale is cancelled already."
    if sale.used:
        return "Sessions of it are used: undo those first."
    return f"It is on {billed}: discard or credit that first." if billed else ""


def offer_problems(
    *, title: str, kind: str, count: int, price_minor: int, tax_bp: int, validity_days: int | None
) -> list[Problem]:
    """What is wrong with a package."""
    wrong = (
        ("title", "Give it a name.", not title.strip()),
        ("kind", "Sessions or weeks.", kind not in (SESSIONS, WEEKS)),
        ("count", f"A whole number from 1 to {MOST_COUNT}.", not 1 <= count <= MOST_COUNT),
        ("price_minor", "A price is nothing or more.", price_minor < 0),
        ("price_minor", "That is too much for a package.", price_minor > MOST_MINOR),
        ("tax_bp", "A tax rate from 0 to 100 %.", not 0 <= tax_bp <= WHOLE_BP),
        (
            "validity_days",
            "Weeks end by themselves: leave this empty.",
            kind == WEEKS and validity_days is not None,
        ),
        (
            "validity_days",
            "A number of days from 1 to 3,660, or nothing.",
            validity_days is not None and not 1 <= validity_days <= 3660,
        ),
    )
    return [Problem(field, sentence) for field, sentence, is_so in wrong if is_so]


def supplied_words(starts_on: date, last: date | None) -> str:
    """The period of a sale as an invoice prints it."""
    if last is None:
        return f"from {in_words(starts_on)}"
    return f"{in_words(starts_on)} to {in_words(last)}"


def in_words(day: date) -> str:
    """ "3 December 2026"."""
    return f"{day.day} {day:%B} {day.year}"
