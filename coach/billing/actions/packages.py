"""Writes of packages: what is sold, and what no longer is."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from coach.billing.actions.shared import lock, refuse_any
from coach.billing.models import Package
from coach.billing.rules.packages import offer_problems
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.queries import the_practice
from coach.practice.writing import change

_FIELDS = ("title", "kind", "count", "price_minor", "tax_bp", "validity_days")


@transaction.atomic
def add_package(
    *,
    by: Actor,
    title: str,
    kind: str,
    count: int,
    price_minor: int,
    tax_bp: int,
    prices_include_tax: bool = True,
    validity_days: int | None = None,
    currency: str = "",
) -> Package:
    """Add a package, in the practice's currency unless another is named. Refused when a value
    cannot be; the problems name the field."""
    package = Package(
        title=title.strip(),
        kind=kind,
        count=count,
        price_minor=price_minor,
        currency=currency or the_practice().currency,
        tax_bp=tax_bp,
        prices_include_tax=prices_include_tax,
        validity_days=validity_days,
    )
    _refuse(package)
    package.save()
    fields = (*_FIELDS, "currency", "prices_include_tax")
    audit.record(by=by, verb="added", subject=package, fields=fields)
    return package


@transaction.atomic
def change_package(*, by: Actor, package: Package, **values: Any) -> Package:
    """Change any of the fields of `add_package`; what was sold already stays as it was sold."""
    lock(package)
    _refuse(package, **values)
    changed = change(package, **values)
    audit.record(by=by, verb="changed", subject=package, fields=changed)
    return package


@transaction.atomic
def retire_package(*, by: Actor, package: Package) -> Package:
    """Sell it no more; its sales go on."""
    audit.record(by=by, verb="retired", subject=package, fields=change(package, retired=True))
    return package


@transaction.atomic
def offer_again(*, by: Actor, package: Package) -> Package:
    """Sell a retired package again."""
    changed = change(package, retired=False)
    audit.record(by=by, verb="offered again", subject=package, fields=changed)
    return package


def _refuse(package: Package, **values: Any) -> None:
    refuse_any(
        offer_problems(**{name: values.get(name, getattr(package, name)) for name in _FIELDS})
    )
