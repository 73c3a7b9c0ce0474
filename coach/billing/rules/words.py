"""What packages, sales and bills are called in lists. Pure."""

from __future__ import annotations

from datetime import date

from coach.billing.rules.packages import SaleState, in_words
from coach.billing.rules.receivables import Status
from coach.billing.rules.values import SESSIONS


def counted(count: int, kind: str) -> str:
    """ "8 sessions", "1 week"."""
    return f"{count} {kind if count != 1 else kind.removesuffix('s')}"


def rate_words(basis_points: int) -> str:
    """ "23 %", "13.5 %" of basis points."""
    whole, rest = divmod(basis_points, 100)
    return f"{whole}.{rest:02}".rstrip("0").rstrip(".") + " %"


def offer_words(
    *, kind: str, count: int, tax_bp: int, prices_include_tax: bool, validity_days: int | None
) -> str:
    """What a package holds: "8 sessions, valid for 90 days, 23 % tax in the price"."""
    parts = [counted(count, kind)]
    if kind == SESSIONS:
        parts.append(
            f"valid for {counted(validity_days, 'days')}" if validity_days else "without an end"
        )
    if tax_bp:
        where = "in the price" if prices_include_tax else "on top"
        parts.append(f"{rate_words(tax_bp)} tax {where}")
    return ", ".join(parts)


def left_words(*, kind: str, count: int, used: int, left: int | None, last_day: date | None) -> str:
    """What is left of a sale: "3 of 8 sessions left, until 31 January 2027"."""
    if left is None:
        what = f"{counted(count, kind)}, {counted(used, SESSIONS)} given"
    elif used:
        what = f"{left} of {counted(count, kind)} left"
    else:
        what = f"{'all ' if count > 1 else ''}{counted(count, kind)} left"
    return f"{what}, {f'until {in_words(last_day)}' if last_day else 'without an end'}"


# The shape that stands beside each word, named by the status that has it already.
SHAPES: dict[str, str] = {
    SaleState.TO_COME: "booked",
    SaleState.RUNNING: "active",
    SaleState.USED_UP: "done",
    Status.TO_PAY_BACK: "now",
    Status.CREDIT_NOTE: "credited",
}
