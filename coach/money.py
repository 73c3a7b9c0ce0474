"""Money in minor units (cents), as whole numbers; the only module that knows Decimal."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from babel.numbers import format_currency, get_currency_precision


class BadAmount(ValueError):
    """An amount that cannot be read; the message is fit for the field it was typed in."""


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in minor units of an ISO 4217 currency; adding two currencies is an error."""

    minor: int
    currency: str

    def __post_init__(self) -> None:
        if type(self.minor) is not int:
            raise TypeError("money is a whole number of minor units")

    def __add__(self, other: Money) -> Money:
        return Money(self.minor + self._same(other), self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.minor - self._same(other), self.currency)

    def __neg__(self) -> Money:
        return Money(-self.minor, self.currency)

    def times(self, factor: int | Decimal) -> Money:
        """Multiplied and rounded half up, away from zero at the half (common practice in trade)."""
        exact = Decimal(self.minor) * Decimal(factor)
        return Money(int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP)), self.currency)

    def _same(self, other: Money) -> int:
        if other.currency != self.currency:
            raise ValueError(f"{self.currency} and {other.currency} do not add up")
        return other.minor

    def shown(self, locale: str = "en_IE") -> str:
        """As text with its currency, by Babel: "€1,234.50"."""
        exact = Decimal(self.minor).scaleb(-minor_digits(self.currency))
        return str(format_currency(exact, self.currency, locale=locale))


def part(minor: int, numerator: int, denominator: int) -> int:
    """minor × numerator ÷ denominator in whole minor units, exact until it is rounded half up,
    away from zero at the half (common practice in trade). ValueError for a denominator below 1."""
    if denominator < 1:
        raise ValueError("a part of nothing")
    exact = minor * numerator
    rounded = (2 * abs(exact) + denominator) // (2 * denominator)
    return rounded if exact >= 0 else -rounded


def minor_digits(currency: str) -> int:
    """How many digits its minor unit has by ISO 4217: EUR 2, JPY 0, KWD 3."""
    return int(get_currency_precision(currency))


# A comma is a thousands separator only where three digits follow it: "12,50" may mean either.
_TYPED = re.compile(r"-?(\d{1,15}|\d{1,3}(,\d{3}){1,4})(\.\d{1,6})?")


def parse(text: str, currency: str) -> Money:
    """Read "1,234.50", "1234.5" or "180" as typed; BadAmount for anything else."""
    cleaned = text.strip().replace(" ", "")
    if not _TYPED.fullmatch(cleaned):
        raise BadAmount("Write the amount like 1234.50.")
    scaled = Decimal(cleaned.replace(",", "")).scaleb(minor_digits(currency))
    if scaled != scaled.to_integral_value():
        raise BadAmount(f"{currency} has {minor_digits(currency)} digits after the point.")
    return Money(int(scaled), currency)
