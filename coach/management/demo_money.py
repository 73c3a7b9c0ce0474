"""Eighteen months of money of the demo practice: a sale a week, in every state an invoice has.

What is sold to whom, and who pays late, follows from counting alone, so that it is the same each
time it is built.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from clients.models import Client
from coach import money
from coach.billing.actions.invoices import credit, draft_from_sale, draft_invoice, issue
from coach.billing.actions.packages import add_package, retire_package
from coach.billing.actions.payments import record_payment
from coach.billing.actions.sales import sell
from coach.billing.models import Invoice, Package, Sale, SessionUse
from coach.billing.rules.values import Line, Party
from coach.management.demo_rows import rows
from coach.practice import audit

CURRENCY, TAX_BP = "EUR", 1350
WEEKS = 78
PAYERS = {
    4: Party("Conall Ashgrove", "12 Quay Lane\nGalway", "conall@demo.example"),
    9: Party("Brightwater Works Ltd", "Unit 3, Harbour Park\nGalway", "people@demo.example"),
}


def fill(today: date) -> None:
    """Packages, sales, sessions used, invoices and payments; the clients are there already."""
    packages = [_package(row) for row in rows("packages.csv")]
    clients = list(Client.objects.order_by("pk"))
    sold = [_sale(week, packages, clients, today) for week in range(WEEKS, 0, -1)]
    for week, sale in zip(range(WEEKS, 0, -1), sold, strict=True):
        _bill(week, sale, today)
        _use(week, sale, today)
    # Last, because a number is never given to a day before another's.
    moved_away = Invoice.objects.get(sale=sold[WEEKS - 6])
    credit(by=audit.SYSTEM, invoice=moved_away, reason="She moved away.", today=today)
    retire_package(by=audit.SYSTEM, package=next(one for one in packages if "Ten" in one.title))
    draft_invoice(
        by=audit.SYSTEM,
        client=clients[5],
        lines=[Line("A class filmed for her group", 1, 12000, TAX_BP)],
    )


def _package(row: dict[str, str]) -> Package:
    is_weeks = row["kind"] == "weeks"
    return add_package(
        by=audit.SYSTEM,
        title=row["title"],
        kind=row["kind"],
        count=int(row["count"]),
        price_minor=money.parse(row["price"], CURRENCY).minor,
        tax_bp=TAX_BP,
        validity_days=None if is_weeks else int(row["validity"]),
    )


def _sale(week: int, packages: Sequence[Package], clients: Sequence[Client], today: date) -> Sale:
    return sell(
        by=audit.SYSTEM,
        package=packages[(week * 5 + week // 7) % len(packages)],
        client=clients[(week * 7) % len(clients)],
        sold_on=today - timedelta(days=week * 7 - week % 3),
        payer=PAYERS.get(week % 13),
    )


def _bill(week: int, sale: Sale, today: date) -> None:
    """All are invoiced but the newest; most are paid within two weeks, a few late or in part."""
    if week == 1:
        return
    invoice = draft_from_sale(by=audit.SYSTEM, sale=sale)
    if week == 2:
        return
    issue(by=audit.SYSTEM, invoice=invoice, today=sale.sold_on)
    paid_on = sale.sold_on + timedelta(days=3 + week % 11)
    if week in {3, 6, 8, 15} or paid_on > today:
        return
    half = week in {4, 11}
    _pay(invoice, invoice.gross_minor // (2 if half else 1), paid_on, week)


def _pay(invoice: Invoice, amount: int, day: date, week: int) -> None:
    record_payment(
        by=audit.SYSTEM,
        invoice=invoice,
        amount_minor=amount,
        method="card" if week % 3 else "transfer",
        received_on=day,
    )


def _use(week: int, sale: Sale, today: date) -> None:
    """A session a week since it was sold, a missed one now and then."""
    days = (sale.starts_on + timedelta(days=4 + 7 * n) for n in range(week) if n % 5 != 3)
    used = [day for day in days if day <= min(today, sale.last_day or today)][: sale.count]
    if sale.kind == "sessions":
        SessionUse.objects.bulk_create(SessionUse(sale=sale, on=day) for day in used)
