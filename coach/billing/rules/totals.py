"""The sums of an invoice, in whole minor units. Pure.

Arithmetic of EN 16931-1:2017 as its published business rules state it: BR-CO-10, BR-CO-13,
BR-CO-14, BR-CO-15, BR-CO-17 and BR-S-08; no allowances and no charges. Tax is rounded once a
rate, half up (the standard says "rounded to two decimals" and leaves the tie open; half up is
common practice). Where a currency has other digits than two, its own minor unit is the step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from coach.billing.rules.values import WHOLE_BP, Line
from coach.money import part


@dataclass(frozen=True, slots=True)
class LineSum:
    """A line with its net amount (BT-131) and the net price of one, rounded for print."""

    line: Line
    net_minor: int
    unit_net_minor: int


@dataclass(frozen=True, slots=True)
class TaxSum:
    """What one rate comes to: the base (BT-116), the tax (BT-117) and both together."""

    tax_bp: int
    net_minor: int
    tax_minor: int

    @property
    def gross_minor(self) -> int:
        """Base and tax."""
        return self.net_minor + self.tax_minor


@dataclass(frozen=True, slots=True)
class Totals:
    """All sums of an invoice: lines in their order, rates from the highest down."""

    lines: tuple[LineSum, ...]
    taxes: tuple[TaxSum, ...]

    @property
    def net_minor(self) -> int:
        """BT-109, the sum of the bases."""
        return sum(tax.net_minor for tax in self.taxes)

    @property
    def tax_minor(self) -> int:
        """BT-110, the sum of the taxes."""
        return sum(tax.tax_minor for tax in self.taxes)

    @property
    def gross_minor(self) -> int:
        """BT-112, what is to be paid."""
        return self.net_minor + self.tax_minor


def totals(lines: Sequence[Line], *, prices_include_tax: bool) -> Totals:
    """The sums of some lines, whose prices hold the tax or not.

    Without tax in them: the tax of a rate is its base × rate, rounded once. With tax in them the
    agreed price is kept to the cent: the base of a rate is its gross ÷ (1 + rate), rounded once,
    and the tax is the rest. That rest may differ from base × rate by one minor unit, which the
    rules of EN 16931 tolerate; not every gross price can be reached from a whole net one.
    """
    nets = _nets_from_gross(lines) if prices_include_tax else [_typed(line) for line in lines]
    summed = tuple(
        LineSum(line, net, part(net, 1, line.quantity))
        for line, net in zip(lines, nets, strict=True)
    )
    rates = sorted({line.tax_bp for line in lines}, reverse=True)
    return Totals(summed, tuple(_tax_sum(rate, summed, prices_include_tax) for rate in rates))


def _typed(line: Line) -> int:
    """Quantity × price as typed."""
    return line.quantity * line.unit_minor


def _tax_sum(rate: int, lines: Sequence[LineSum], prices_include_tax: bool) -> TaxSum:
    mine = [one for one in lines if one.line.tax_bp == rate]
    net = sum(one.net_minor for one in mine)
    if prices_include_tax:
        return TaxSum(rate, net, sum(_typed(one.line) for one in mine) - net)
    return TaxSum(rate, net, part(net, rate, WHOLE_BP))


def _nets_from_gross(lines: Sequence[Line]) -> list[int]:
    """The net of each line, so that those of a rate add up to the rate's rounded base.

    Each is the difference of two rounded running sums, so that none is off by more than one.
    """
    nets = [0] * len(lines)
    for rate in {line.tax_bp for line in lines}:
        places = [n for n, line in enumerate(lines) if line.tax_bp == rate]
        running = accumulate((_typed(lines[n]) for n in places), initial=0)
        rounded = [part(gross, WHOLE_BP, WHOLE_BP + rate) for gross in running]
        for n, (before, after) in zip(places, pairwise(rounded), strict=True):
            nets[n] = after - before
    return nets
