"""What each client was sold, billed and paid in a month, and how her account stands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from django.db.models import BigIntegerField, Case, F, Q, Sum, When

from coach.billing.models import Invoice, Kind, PackageKind, Payment, Sale, SessionUse
from coach.billing.queries.invoices import InvoiceRow, invoices
from coach.billing.queries.sales import SaleRow, sales
from coach.billing.rules.months import last_of, month_of
from coach.billing.rules.totals import totals
from coach.billing.rules.values import Line
from coach.money import Money


@dataclass(frozen=True, slots=True)
class ClientMonth:
    """One client's month in one currency; amounts with tax, credit notes and refunds taken off.

    `packages`: what was sold in the month, a title for each sale. `used`: sessions counted in the
    month. `left`: sessions still owed when it ended, of sales that had not run out or been
    cancelled; whatever was sold in an earlier month counts too.
    """

    client_id: int
    client: str
    packages: tuple[str, ...]
    sold: Money
    invoiced: Money
    paid: Money
    used: int
    left: int


@dataclass(frozen=True, slots=True)
class MonthSum:
    """All clients' month in one currency."""

    sold: Money
    invoiced: Money
    paid: Money
    used: int
    left: int


@dataclass(frozen=True, slots=True)
class Account:
    """One client's sales and papers, newest first, and what is open for each currency."""

    sales: list[SaleRow]
    invoices: list[InvoiceRow]
    open: list[Money]


class _Key(NamedTuple):
    name: str
    client_id: int
    currency: str


def summary(month: date) -> list[ClientMonth]:
    """The month that a day lies in, by client's name, in five queries whatever their number."""
    first, last = month_of(month), last_of(month)
    sold = _sold(first, last)
    invoiced, paid = _invoiced(first, last), _paid(first, last)
    used, left = _used(first, last), _left(last)
    return [
        ClientMonth(
            client_id=key.client_id,
            client=key.name,
            packages=tuple(title for title, _ in sold.get(key, ())),
            sold=Money(sum(gross for _, gross in sold.get(key, ())), key.currency),
            invoiced=Money(invoiced.get(key, 0), key.currency),
            paid=Money(paid.get(key, 0), key.currency),
            used=used.get(key, 0),
            left=left.get(key, 0),
        )
        for key in sorted({*sold, *invoiced, *paid, *used, *left})
    ]


def month_sums(rows: Iterable[ClientMonth]) -> list[MonthSum]:
    """The rows of a month added up, one sum for each currency."""
    by_currency: defaultdict[str, list[ClientMonth]] = defaultdict(list)
    for row in rows:
        by_currency[row.sold.currency].append(row)
    return [
        MonthSum(
            sold=_added([row.sold for row in some], currency),
            invoiced=_added([row.invoiced for row in some], currency),
            paid=_added([row.paid for row in some], currency),
            used=sum(row.used for row in some),
            left=sum(row.left for row in some),
        )
        for currency, some in sorted(by_currency.items())
    ]


def account_of(client_id: int, today: date) -> Account:
    """What a client's page shows of money, in two queries."""
    papers = invoices(today, client_id=client_id)
    by_currency: defaultdict[str, list[Money]] = defaultdict(list)
    for paper in papers:
        by_currency[paper.open.currency].append(paper.open)
    return Account(
        sales=sales(today, client_id=client_id),
        invoices=papers,
        open=[_added(some, currency) for currency, some in sorted(by_currency.items())],
    )


def _added(some: Sequence[Money], currency: str) -> Money:
    return sum(some, Money(0, currency))


def _sold(first: date, last: date) -> dict[_Key, list[tuple[str, int]]]:
    """Each sale's title and price with tax."""
    found: defaultdict[_Key, list[tuple[str, int]]] = defaultdict(list)
    rows = Sale.objects.filter(sold_on__range=(first, last), cancelled_on=None)
    for sale in rows.select_related("client").order_by("sold_on", "pk"):
        line = Line(sale.title, 1, sale.price_minor, sale.tax_bp)
        gross = totals([line], prices_include_tax=sale.prices_include_tax).gross_minor
        found[_Key(sale.client.name, sale.client_id, sale.currency)].append((sale.title, gross))
    return found


def _invoiced(first: date, last: date) -> dict[_Key, int]:
    """What was issued, less what was credited."""
    taken_off = When(kind=Kind.CREDIT_NOTE, then=-F("gross_minor"))
    signed = Case(taken_off, default=F("gross_minor"), output_field=BigIntegerField())
    rows = Invoice.objects.filter(issued_on__range=(first, last))
    return _summed(rows, "", signed)


def _paid(first: date, last: date) -> dict[_Key, int]:
    rows = Payment.objects.filter(received_on__range=(first, last))
    return _summed(rows, "invoice__", F("amount_minor"))


def _used(first: date, last: date) -> dict[_Key, int]:
    return _summed(SessionUse.objects.filter(on__range=(first, last)), "sale__", F("count"))


def _left(last: date) -> dict[_Key, int]:
    """Sessions owed at the end of a day: sold by then, neither used by then nor run out."""
    used = Sum("uses__count", filter=Q(uses__on__lte=last), default=0)
    rows = Sale.objects.filter(
        Q(last_day=None) | Q(last_day__gte=last),
        Q(cancelled_on=None) | Q(cancelled_on__gt=last),
        kind=PackageKind.SESSIONS,
        sold_on__lte=last,
    )
    found: defaultdict[_Key, int] = defaultdict(int)
    for sale in rows.select_related("client").annotate(used=used):
        key = _Key(sale.client.name, sale.client_id, sale.currency)
        found[key] += sale.count - sale.used
    return {key: left for key, left in found.items() if left}


def _summed(rows: Any, way: str, amount: Any) -> dict[_Key, int]:
    """The sum of some rows for each client and currency, found by the `way` to their invoice or
    sale; int(), because PostgreSQL answers the sum of large whole numbers as a decimal."""
    names = (f"{way}client__name", f"{way}client_id", f"{way}currency")
    grouped = rows.order_by().values_list(*names).annotate(sum=Sum(amount))
    return {_Key(name, pk, currency): int(sum_) for name, pk, currency, sum_ in grouped}
