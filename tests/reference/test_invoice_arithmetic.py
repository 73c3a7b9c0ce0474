"""The sums of invoices against published rules and worked rows.

Sources:
- EN 16931-1:2017, business rules BR-CO-10, BR-CO-13 to BR-CO-15, BR-CO-17 and BR-S-08, as its
  published Schematron states them. The worked example passes that Schematron without an assert.
- Directive 2006/112/EC, Art. 219 and 226.
- Rounding half up, away from zero: common practice, no source; its table is plain arithmetic.
- ISO 4217: minor units.
- Rhode Island General Laws 44-18.1-25: tax carried to the third decimal, up when that is over four.
- Ageing of receivables by 30 days: common practice, no source; the days are plain counting.
"""

from __future__ import annotations

from datetime import date

import pytest

from coach.billing.rules.receivables import Age, age, days_late
from coach.billing.rules.totals import Totals, totals
from coach.billing.rules.values import Line
from coach.money import minor_digits, part


def net(*lines: tuple[int, int, int]) -> Totals:
    """Sums of (quantity, price without tax, rate) lines."""
    return totals([Line("x", *line) for line in lines], prices_include_tax=False)


def gross(*lines: tuple[int, int, int]) -> Totals:
    """Sums of (quantity, price with tax, rate) lines."""
    return totals([Line("x", *line) for line in lines], prices_include_tax=True)


# EN 16931: the worked example. Its document allowance of 10.00 and charge of 4.90 are lines here,
# as BR-S-08 adds them to the base of their rate.
EXAMPLE = (
    (1, 14900, 1900),
    (3, 1795, 1900),
    (2, 1245, 700),
    (1, -1000, 1900),
    (1, 490, 1900),
)


def test_line_net_amounts_of_the_worked_example() -> None:  # BT-131
    assert [line.net_minor for line in net(*EXAMPLE).lines] == [14900, 5385, 2490, -1000, 490]


def test_bases_and_taxes_of_the_worked_example() -> None:  # BR-S-08, BR-CO-17
    found = [(tax.tax_bp, tax.net_minor, tax.tax_minor) for tax in net(*EXAMPLE).taxes]
    assert found == [(1900, 19775, 3757), (700, 2490, 174)]


def test_sums_of_the_worked_example() -> None:  # BR-CO-13, BR-CO-14, BR-CO-15
    sums = net(*EXAMPLE)
    assert (sums.net_minor, sums.tax_minor, sums.gross_minor) == (22265, 3931, 26196)


@pytest.mark.parametrize(
    ("lines", "tax"),
    [([(1, 33, 1900)] * 10, 63), ([(1, 1745, 1900)] * 2, 663)],
)
def test_tax_is_rounded_once_a_rate_and_not_a_line(
    lines: list[tuple[int, int, int]], tax: int
) -> None:  # BR-CO-17; a line at a time the sums would be 60 and 664
    assert net(*lines).tax_minor == tax


@pytest.mark.parametrize(
    ("price", "rate", "base", "tax"),
    [
        (14900, 1900, 12521, 2379),
        (1795, 1900, 1508, 287),
        (1000, 1900, 840, 160),
        (11900, 1900, 10000, 1900),
        # These two cannot be reached from a whole net price: base and tax still make the price.
        (999, 1900, 839, 160),
        (1200, 700, 1121, 79),
    ],
)
def test_a_price_with_tax_is_kept_to_the_cent(price: int, rate: int, base: int, tax: int) -> None:
    sums = gross((1, price, rate))
    assert (sums.net_minor, sums.tax_minor, sums.gross_minor) == (base, tax, price)


@pytest.mark.parametrize(
    ("rate", "unreachable"), [(1900, 1597), (700, 654), (2000, 1667), (2100, 1736), (2500, 2000)]
)
def test_only_prices_without_a_whole_net_deviate_from_base_times_rate_and_by_one(
    rate: int, unreachable: int
) -> None:  # BR-CO-17 within the tolerance of its Schematron; the counts are plain arithmetic
    deviations = [
        sums.tax_minor - part(sums.net_minor, rate, 10_000)
        for sums in (gross((1, price, rate)) for price in range(1, 10_001))
    ]
    assert {abs(one) for one in deviations} == {0, 1}
    assert sum(one != 0 for one in deviations) == unreachable


@pytest.mark.parametrize(
    ("thousandths", "cents"), [(5, 1), (25, 3), (1005, 101), (2675, 268), (-5, -1)]
)
def test_halves_go_away_from_zero(thousandths: int, cents: int) -> None:
    assert part(thousandths, 1, 10) == cents


@pytest.mark.parametrize(
    ("currency", "digits", "one_digit_more", "minor"),
    [
        ("JPY", 0, 14995, 1500),
        ("KWD", 3, 49995, 5000),
        ("ISK", 0, 19905, 1991),
        ("EUR", 2, 14995, 1500),
    ],
)
def test_other_currencies_round_at_their_own_minor_unit(
    currency: str, digits: int, one_digit_more: int, minor: int
) -> None:  # ISO 4217
    assert minor_digits(currency) == digits
    assert part(one_digit_more, 1, 10) == minor


@pytest.mark.parametrize(("price", "tax"), [(1000, 83), (6, 0), (14900, 1229)])
def test_sales_tax_at_eight_and_a_quarter_percent(price: int, tax: int) -> None:
    # Rhode Island 44-18.1-25: 0.825, 0.00495 and 12.2925
    assert net((1, price, 825)).tax_minor == tax


AS_OF = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("pay_by", "late", "step"),
    [
        (date(2026, 12, 9), -14, Age.CURRENT),
        (date(2026, 11, 25), 0, Age.CURRENT),
        (date(2026, 11, 24), 1, Age.TO_30),
        (date(2026, 10, 26), 30, Age.TO_30),
        (date(2026, 10, 25), 31, Age.TO_60),
        (date(2026, 9, 26), 60, Age.TO_60),
        (date(2026, 9, 25), 61, Age.TO_90),
        (date(2026, 8, 27), 90, Age.TO_90),
        (date(2026, 8, 26), 91, Age.OVER_90),
    ],
)
def test_days_late_and_their_step(pay_by: date, late: int, step: Age) -> None:
    assert (days_late(pay_by, AS_OF), age(pay_by, AS_OF)) == (late, step)
