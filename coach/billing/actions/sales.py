"""Writes of sales: sell, cancel, count a session, take one back."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from clients.models import Client
from coach.billing.actions.shared import lock, refuse_any, refuse_if, today_here
from coach.billing.models import Package, Sale, SessionUse
from coach.billing.queries.sales import billed_as, standing_of
from coach.billing.rules import packages as rules
from coach.billing.rules.values import Party, Problem
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change

_SNAPSHOT = (
    "title",
    "kind",
    "count",
    "price_minor",
    "currency",
    "tax_bp",
    "prices_include_tax",
    "validity_days",
)


@transaction.atomic
def sell(
    *,
    by: Actor,
    package: Package,
    client: Client,
    sold_on: date,
    starts_on: date | None = None,
    payer: Party | None = None,
) -> Sale:
    """Sell a package as it is now; it starts on the day it is sold unless said otherwise.

    Without `payer` the client pays, by her name and e-mail. Refused for a retired package and for
    a day to come.
    """
    lock(package)
    payer, starts_on = payer or Party(client.name, email=client.email), starts_on or sold_on
    refuse_any(_selling_problems(package, payer, sold_on))
    sale = Sale.objects.create(
        package=package,
        client=client,
        payer_name=payer.name.strip(),
        payer_email=payer.email,
        payer_address=payer.address,
        sold_on=sold_on,
        starts_on=starts_on,
        last_day=rules.last_day(package.kind, package.count, package.validity_days, starts_on),
        **{name: getattr(package, name) for name in _SNAPSHOT},
    )
    fields = ("package", "client", "payer_name", "sold_on", "starts_on", *_SNAPSHOT)
    audit.record(by=by, verb="sold", subject=sale, fields=fields)
    return sale


def _selling_problems(package: Package, payer: Party, sold_on: date) -> list[Problem]:
    wrong = (
        ("package", "This package is retired: it is sold no more.", package.retired),
        ("payer_name", "Say who pays.", not payer.name.strip()),
        ("sold_on", "That day is still to come.", sold_on > today_here()),
    )
    return [Problem(field, sentence) for field, sentence, is_so in wrong if is_so]


@transaction.atomic
def cancel_sale(*, by: Actor, sale: Sale, reason: str) -> Sale:
    """Take a sale back that should not have been; Refused while sessions of it are used or it
    stands on a draft or on an invoice that is not credited."""
    lock(sale)
    refuse_if("" if reason.strip() else "Say why it is cancelled.", "reason")
    refuse_if(rules.against_cancelling(standing_of(sale), billed=billed_as(sale)))
    changed = change(sale, cancelled_on=today_here(), cancel_reason=reason.strip())
    audit.record(by=by, verb="cancelled", subject=sale, fields=changed, reason=reason)
    return sale


@transaction.atomic
def use_session(*, by: Actor, sale: Sale, on: date) -> SessionUse:
    """Count one session on a day. Refused when none is left, for a day to come or before the
    first day, and for a cancelled sale."""
    lock(sale)
    refuse_if(rules.against_using(standing_of(sale), on=on, today=today_here()), "on")
    use = SessionUse.objects.create(sale=sale, on=on)
    audit.record(by=by, verb="used a session of", subject=sale, fields=("uses",))
    return use


@transaction.atomic
def undo_use(*, by: Actor, use: SessionUse, reason: str = "") -> SessionUse:
    """Take back a session counted by mistake, with a row that reverses it; once only."""
    lock(use.sale)
    refuse_if("That row takes one back already." if use.reverses_id else "")
    again = SessionUse.objects.filter(reverses=use).exists()
    refuse_if("That session is taken back already." if again else "")
    row = SessionUse.objects.create(
        sale=use.sale, on=use.on, count=-use.count, reverses=use, reason=reason.strip()
    )
    audit.record(
        by=by, verb="took back a session of", subject=use.sale, fields=("uses",), reason=reason
    )
    return row
