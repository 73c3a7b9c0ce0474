"""Reads of packages."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count, Q

from coach.billing.models import Package
from coach.money import Money


@dataclass(frozen=True, slots=True)
class PackageRow:
    """A package as lists show it. `sold`: how often, cancelled not."""

    pk: int
    title: str
    kind: str
    count: int
    price: Money
    tax_bp: int
    prices_include_tax: bool
    validity_days: int | None
    retired: bool
    sold: int


def packages(*, retired: bool | None = False) -> list[PackageRow]:
    """Packages by title in one query: those sold, the retired ones, or with None both."""
    counted = Package.objects.annotate(sold=Count("sales", filter=Q(sales__cancelled_on=None)))
    # Named, because a query that groups loses the order of its model.
    found = counted.order_by("retired", "title", "pk")
    if retired is not None:
        found = found.filter(retired=retired)
    return [
        PackageRow(
            pk=row.pk,
            title=row.title,
            kind=row.kind,
            count=row.count,
            price=Money(row.price_minor, row.currency),
            tax_bp=row.tax_bp,
            prices_include_tax=row.prices_include_tax,
            validity_days=row.validity_days,
            retired=row.retired,
            sold=row.sold,
        )
        for row in found
    ]
