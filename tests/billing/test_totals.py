"""Sums of invoices: what holds for every invoice, checked with made-up ones."""

from __future__ import annotations

from collections import defaultdict
from decimal import ROUND_HALF_UP, Decimal

from hypothesis import given
from hypothesis import strategies as st

from coach.billing.rules.totals import Totals, totals
from coach.billing.rules.values import Line
from coach.money import part

RATES = (0, 550, 700, 1350, 1900, 2300, 2500, 10_000)
LINES = st.lists(
    st.builds(
        Line,
        text=st.just("Session"),
        quantity=st.integers(1, 10_000),
        unit_minor=st.integers(0, 10**11),
        tax_bp=st.sampled_from(RATES),
    ),
    max_size=12,
)


def typed_by_rate(lines: list[Line]) -> dict[int, int]:
    """Quantity × price as typed, added up by rate."""
    sums: defaultdict[int, int] = defaultdict(int)
    for line in lines:
        sums[line.tax_bp] += line.quantity * line.unit_minor
    return dict(sums)


def halved_up(exact: Decimal) -> int:
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def whole(sums: Totals) -> bool:
    """No float among the sums."""
    values = [sums.net_minor, sums.tax_minor, sums.gross_minor]
    values += [value for line in sums.lines for value in (line.net_minor, line.unit_net_minor)]
    values += [value for tax in sums.taxes for value in (tax.net_minor, tax.tax_minor)]
    return {type(value) for value in values} == {int}


@given(LINES, st.booleans())
def test_net_and_tax_make_gross_and_every_rate_has_its_lines(
    lines: list[Line], with_tax: bool
) -> None:
    sums = totals(lines, prices_include_tax=with_tax)
    assert sums.net_minor + sums.tax_minor == sums.gross_minor
    assert sum(tax.gross_minor for tax in sums.taxes) == sums.gross_minor
    assert sum(line.net_minor for line in sums.lines) == sums.net_minor
    nets: defaultdict[int, int] = defaultdict(int)
    for line in sums.lines:
        nets[line.line.tax_bp] += line.net_minor
    assert {tax.tax_bp: tax.net_minor for tax in sums.taxes} == dict(nets)
    assert [one.line for one in sums.lines] == lines
    assert whole(sums)


@given(LINES)
def test_prices_without_tax_are_taxed_once_a_rate(lines: list[Line]) -> None:
    sums = totals(lines, prices_include_tax=False)
    assert {tax.tax_bp: (tax.net_minor, tax.tax_minor) for tax in sums.taxes} == {
        rate: (base, halved_up(Decimal(base) * rate / 10_000))
        for rate, base in typed_by_rate(lines).items()
    }


@given(LINES)
def test_prices_with_tax_are_kept_and_the_base_rounded_once_a_rate(lines: list[Line]) -> None:
    sums = totals(lines, prices_include_tax=True)
    assert {tax.tax_bp: tax.gross_minor for tax in sums.taxes} == typed_by_rate(lines)
    for tax in sums.taxes:
        # Nearest: the exact base lies within half a minor unit, compared in whole numbers.
        exact = tax.gross_minor * 10_000
        assert abs(tax.net_minor * (10_000 + tax.tax_bp) - exact) * 2 <= 10_000 + tax.tax_bp
        assert abs(tax.tax_minor - part(tax.net_minor, tax.tax_bp, 10_000)) <= 1


@given(LINES)
def test_no_line_is_off_by_more_than_one_from_its_own_net(lines: list[Line]) -> None:
    for one in totals(lines, prices_include_tax=True).lines:
        own = part(one.line.quantity * one.line.unit_minor, 10_000, 10_000 + one.line.tax_bp)
        assert abs(one.net_minor - own) <= 1


@given(st.integers(-(10**15), 10**15), st.integers(0, 20_000), st.integers(1, 20_000))
def test_a_part_is_rounded_half_up(minor: int, numerator: int, denominator: int) -> None:
    found = part(minor, numerator, denominator)
    error = abs(found * denominator - minor * numerator) * 2
    assert error <= denominator
    if error == denominator:  # a tie: away from zero
        assert abs(found) * denominator > abs(minor) * numerator
    assert part(-minor, numerator, denominator) == -found


def test_nothing_comes_to_nothing() -> None:
    sums = totals([], prices_include_tax=True)
    assert (sums.lines, sums.taxes, sums.gross_minor) == ((), (), 0)


def test_rates_are_listed_from_the_highest_down() -> None:
    lines = [Line("x", 1, 100, rate) for rate in (700, 0, 1900, 700)]
    assert [t.tax_bp for t in totals(lines, prices_include_tax=True).taxes] == [1900, 700, 0]


def test_the_net_price_of_one_is_rounded_for_print() -> None:
    (line,) = totals([Line("x", 3, 1000, 2300)], prices_include_tax=True).lines
    assert (line.net_minor, line.unit_net_minor) == (2439, 813)
