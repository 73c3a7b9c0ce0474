"""What the pages of this section show beside one list: the first page, what a form starts from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Max

from coach.billing.models import Invoice, Kind, Sale
from coach.billing.queries.invoices import InvoiceRow, invoices, open_bills
from coach.billing.queries.sales import SaleRow, sales
from coach.billing.queries.summary import MonthSum, month_sums, summary
from coach.billing.rules.packages import SaleState
from coach.billing.rules.receivables import Age, age
from coach.billing.rules.values import Party
from coach.money import Money

SHOWN = 30  # lines of one list on the first page
BILLABLE = (SaleState.TO_COME, SaleState.RUNNING, SaleState.USED_UP, SaleState.RUN_OUT)


@dataclass(frozen=True, slots=True)
class Shown:
    """The first lines of a list, and how many more there are."""

    rows: Sequence[InvoiceRow | SaleRow]
    more: int


@dataclass(frozen=True, slots=True)
class Overview:
    """The first page: what is open, what is not billed or issued yet, and this month.

    `sums`: what is open, and what is to be paid back (below nothing); `ages`: the former by age.
    """

    open: Shown
    drafts: Shown
    unbilled: Shown
    ages: list[tuple[Age, Money]]
    sums: list[Money]
    month: list[MonthSum]


def overview(today: date) -> Overview:
    """In eight queries, whatever there is."""
    bills = open_bills(today)
    return Overview(
        open=_first(bills),
        drafts=_first(invoices(today, show="draft")),
        unbilled=_first(unbilled(today)),
        ages=_by_age(bills, today),
        sums=_both_ways(bills),
        month=month_sums(summary(today)),
    )


def _by_age(bills: Iterable[InvoiceRow], today: date) -> list[tuple[Age, Money]]:
    """What is owed to the practice by age, step by step, each currency by itself."""
    sums: defaultdict[tuple[str, Age], int] = defaultdict(int)
    for row in bills:
        if row.open.minor > 0 and row.pay_by:
            sums[row.open.currency, age(row.pay_by, today)] += row.open.minor
    steps = list(Age)
    found = sorted(sums.items(), key=lambda pair: (pair[0][0], steps.index(pair[0][1])))
    return [(step, Money(minor, currency)) for (currency, step), minor in found]


def _both_ways(bills: Iterable[InvoiceRow]) -> list[Money]:
    """What is open and what is to be paid back, never set against each other."""
    sums: defaultdict[tuple[str, bool], int] = defaultdict(int)
    for row in bills:
        sums[row.open.currency, row.open.minor < 0] += row.open.minor
    return [Money(minor, currency) for (currency, _), minor in sorted(sums.items())]


def unbilled(today: date) -> list[SaleRow]:
    """Sales with a price that are on no bill yet, newest first, in one query."""
    found = sales(today, states=BILLABLE)
    return [row for row in found if not row.billed and row.price.minor]


def last_payer(client_id: int) -> Party | None:
    """Who paid for her the last time, in at most two queries; None before the first."""
    bill = Invoice.objects.filter(client_id=client_id, kind=Kind.INVOICE).order_by("-pk").first()
    if bill:
        return Party(bill.buyer_name, bill.buyer_address, bill.buyer_email)
    sale = Sale.objects.filter(client_id=client_id).order_by("-pk").first()
    return Party(sale.payer_name, sale.payer_address, sale.payer_email) if sale else None


def last_sale() -> int:
    """The number of the newest sale; nought before the first."""
    return Sale.objects.aggregate(last=Max("pk"))["last"] or 0


def last_paper() -> int:
    """The number of the newest paper, draft or not; nought before the first."""
    return Invoice.objects.aggregate(last=Max("pk"))["last"] or 0


def _first(rows: Sequence[InvoiceRow | SaleRow]) -> Shown:
    return Shown(rows[:SHOWN], max(0, len(rows) - SHOWN))
