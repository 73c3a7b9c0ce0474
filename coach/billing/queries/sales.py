"""Reads of sales: what is left of each, and on which bill it is."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import IntegerField, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from coach.billing.models import Invoice, Kind, Sale, SessionUse
from coach.billing.rules import packages as rules
from coach.money import Money


@dataclass(frozen=True, slots=True)
class SaleRow:
    """A sale as lists show it. `left`: sessions, None for weeks; `days_left`: None without an end.

    `billed`: "invoice 2026-00042", "a draft", or nothing; `bill`: that paper's uid.
    """

    pk: int
    uid: uuid.UUID
    client_id: int
    client: str
    payer: str
    title: str
    kind: str
    count: int
    price: Money
    used: int
    left: int | None
    sold_on: date
    starts_on: date
    last_day: date | None
    days_left: int | None
    state: rules.SaleState
    billed: str
    bill: uuid.UUID | None


@dataclass(frozen=True, slots=True)
class UseRow:
    """A session counted, still standing or taken back; `late`: after the last day."""

    pk: int
    on: date
    late: bool
    taken_back: bool


@dataclass(frozen=True, slots=True)
class SalePage:
    """A sale with its sessions, newest first; the rows that take one back are folded in."""

    sale: Sale
    row: SaleRow
    uses: list[UseRow]


def sales(
    today: date,
    *,
    client_id: int | None = None,
    states: Sequence[rules.SaleState] = tuple(rules.SaleState),
) -> list[SaleRow]:
    """Sales, newest first, in one query whatever their number."""
    found = _with_sums(Sale.objects.all())
    if client_id is not None:
        found = found.filter(client_id=client_id)
    rows = [_row(sale, today) for sale in found]
    return [row for row in rows if row.state in states]


def sale_page(uid: uuid.UUID, today: date) -> SalePage:
    """One sale with its sessions, in two queries; Sale.DoesNotExist for an unknown one."""
    sale = _with_sums(Sale.objects.select_related("package")).get(uid=uid)
    uses = sale.uses.filter(reverses=None).select_related("reversed_by").order_by("-on", "-pk")
    return SalePage(
        sale,
        _row(sale, today),
        [
            UseRow(
                use.pk,
                use.on,
                late=bool(sale.last_day and use.on > sale.last_day),
                taken_back=hasattr(use, "reversed_by"),
            )
            for use in uses
        ],
    )


def standing_of(sale: Sale) -> rules.Standing:
    """A sale as the rules see it, in one query."""
    used = sale.uses.aggregate(used=Sum("count"))["used"] or 0
    return _standing(sale, used)


def billed_as(sale: Sale) -> str:
    """What the paper is called that a sale is on: a draft, or an invoice not credited; or ""."""
    found = _bills().filter(sale=sale).first()
    return _called(found.number) if found else ""


def _bills() -> QuerySet[Invoice]:
    return Invoice.objects.filter(kind=Kind.INVOICE, credit_note=None)


def _called(number: str | None) -> str:
    return f"invoice {number}" if number else "a draft"


def _with_sums(found: QuerySet[Sale]) -> QuerySet[Sale]:
    uses = SessionUse.objects.filter(sale=OuterRef("pk")).order_by().values("sale")
    bill = _bills().filter(sale=OuterRef("pk")).order_by("pk")
    return found.select_related("client").annotate(
        used=Coalesce(Subquery(uses.values(sum=Sum("count")), output_field=IntegerField()), 0),
        bill_uid=Subquery(bill.values("uid")[:1]),
        bill_number=Subquery(bill.values("number")[:1]),
    )


def _standing(sale: Sale, used: int) -> rules.Standing:
    return rules.Standing(
        sale.kind,
        sale.count,
        used,
        sale.starts_on,
        sale.last_day,
        cancelled=sale.cancelled_on is not None,
    )


def _row(sale: Sale, today: date) -> SaleRow:
    annotated: dict[str, Any] = vars(sale)
    standing = _standing(sale, annotated["used"])
    bill = annotated["bill_uid"]
    return SaleRow(
        pk=sale.pk,
        uid=sale.uid,
        client_id=sale.client_id,
        client=sale.client.name,
        payer=sale.payer_name,
        title=sale.title,
        kind=sale.kind,
        count=sale.count,
        price=Money(sale.price_minor, sale.currency),
        used=standing.used,
        left=standing.left,
        sold_on=sale.sold_on,
        starts_on=sale.starts_on,
        last_day=sale.last_day,
        days_left=rules.days_left(standing, today),
        state=rules.state(standing, today),
        billed=_called(annotated["bill_number"]) if bill else "",
        bill=bill,
    )
