"""Words of this section in its templates: `{% load bills %}`."""

from __future__ import annotations

from django import template

from coach.billing.queries.packages import PackageRow
from coach.billing.queries.sales import SaleRow
from coach.billing.rules import words
from coach.money import Money

register = template.Library()


@register.filter
def holds(row: PackageRow) -> str:
    """What a package holds: "8 sessions, valid for 90 days, 23 % tax in the price"."""
    return words.offer_words(
        kind=row.kind,
        count=row.count,
        tax_bp=row.tax_bp,
        prices_include_tax=row.prices_include_tax,
        validity_days=row.validity_days,
    )


@register.filter
def left(row: SaleRow) -> str:
    """What is left of a sale: "3 of 8 sessions left, until 31 January 2027"."""
    return words.left_words(
        kind=row.kind, count=row.count, used=row.used, left=row.left, last_day=row.last_day
    )


@register.filter
def amount(money: Money) -> str:
    """An amount without its sign, where the word beside it says which way it goes."""
    return Money(abs(money.minor), money.currency).shown()


@register.filter
def open_words(money: Money) -> str:
    """What is open: "€90.00 open", "€10.00 to be paid back", "nothing open"."""
    if money.minor < 0:
        return f"{(-money).shown()} to be paid back"
    return f"{money.shown()} open" if money.minor else "nothing open"


@register.filter
def shape(status: str) -> str:
    """The status whose shape stands beside a word of this section: `{% mark s|shape s %}`."""
    return words.SHAPES.get(status, status)
