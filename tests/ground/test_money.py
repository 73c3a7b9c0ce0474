"""Money in whole minor units."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.money import BadAmount, Money, minor_digits, parse, part


@pytest.mark.parametrize(("currency", "digits"), [("EUR", 2), ("JPY", 0), ("KWD", 3), ("GBP", 2)])
def test_minor_digits_are_those_of_iso_4217(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits


@pytest.mark.parametrize(
    ("typed", "currency", "minor"),
    [
        ("180", "EUR", 18000),
        ("1234.5", "EUR", 123450),
        ("1,234.50", "EUR", 123450),
        (" 0.07 ", "EUR", 7),
        ("-5", "EUR", -500),
        ("1,234", "JPY", 1234),
        ("1.005", "KWD", 1005),
        ("12,345,678.90", "EUR", 1234567890),
    ],
)
def test_amounts_are_read_as_typed(typed: str, currency: str, minor: int) -> None:
    assert parse(typed, currency) == Money(minor, currency)


@pytest.mark.parametrize(
    "typed", ["", "x", "12,50", "1.005", "1,23", "NaN", "Infinity", "1e400000", "1.2.3", "1234,567"]
)
def test_what_may_mean_two_things_is_refused(typed: str) -> None:
    with pytest.raises(BadAmount):
        parse(typed, "EUR")


@pytest.mark.parametrize(
    ("minor", "factor", "expected"),
    [(105, "0.5", 53), (-105, "0.5", -53), (100, "0.135", 14), (1, "0.5", 1), (333, "3", 999)],
)
def test_halves_are_rounded_away_from_zero(minor: int, factor: str, expected: int) -> None:
    assert Money(minor, "EUR").times(Decimal(factor)).minor == expected


def test_a_part_of_an_amount_is_rounded_half_up_and_never_of_nothing() -> None:
    assert (part(105, 1, 2), part(-105, 1, 2), part(1200, 100, 107)) == (53, -53, 1121)
    with pytest.raises(ValueError, match="part of nothing"):
        part(1, 1, 0)


def test_two_currencies_do_not_add_up() -> None:
    with pytest.raises(ValueError, match="do not add up"):
        Money(1, "EUR") + Money(1, "GBP")


def test_a_fraction_of_a_cent_is_no_money() -> None:
    with pytest.raises(TypeError):
        Money(1.5, "EUR")  # type: ignore[arg-type]


def test_shown_with_its_sign_and_digits() -> None:
    assert Money(123450, "EUR").shown() == "€1,234.50"
    assert Money(-5, "EUR").shown() == "-€0.05"


@given(st.integers(min_value=-(10**12), max_value=10**12))
def test_what_is_written_plainly_is_read_back(minor: int) -> None:
    assert parse(str(Decimal(minor).scaleb(-2)), "EUR") == Money(minor, "EUR")
