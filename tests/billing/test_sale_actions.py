"""Writes of packages and sales: what is kept, what is refused, and the one entry of the trail."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from clients.models import Client
from coach.billing.actions import packages, sales
from coach.billing.actions.shared import Refused
from coach.billing.models import Package, Sale, SessionUse
from coach.billing.queries.sales import standing_of
from coach.billing.rules.values import Party
from coach.practice.audit import SYSTEM
from coach.practice.models import AuditEntry
from tests import factories
from tests import factories_billing as made

TODAY = date(2026, 12, 3)
pytestmark = pytest.mark.usefixtures("practice")


@pytest.fixture
def meret(practice: Any) -> Client:
    return factories.client("Meret A.", email="meret@example.org")


@pytest.fixture
def sale(meret: Client) -> Sale:
    return made.sale(meret)


def verbs() -> list[str]:
    return [entry.verb for entry in AuditEntry.objects.order_by("pk")]


def sentences(refused: pytest.ExceptionInfo[Refused]) -> list[tuple[str, str]]:
    return [(problem.field, problem.sentence) for problem in refused.value.problems]


def add(**values: Any) -> Package:
    right = {"title": "Ten", "kind": "sessions", "count": 10, "price_minor": 1, "tax_bp": 0}
    return packages.add_package(by=SYSTEM, **{**right, **values})


def test_a_package_is_added_in_the_practices_currency() -> None:
    kept = Package.objects.get(pk=add(title=" Ten sessions ", price_minor=40_000).pk)
    assert (kept.title, kept.price_minor, kept.currency) == ("Ten sessions", 40_000, "EUR")
    assert (kept.prices_include_tax, kept.validity_days, kept.retired) == (True, None, False)
    assert verbs() == ["added"]


def test_a_package_that_cannot_be_is_not_kept() -> None:
    with pytest.raises(Refused) as refused:
        add(count=0, kind="weeks", validity_days=3)
    assert [field for field, _ in sentences(refused)] == ["count", "validity_days"]
    assert (Package.objects.count(), verbs()) == (0, [])


def test_a_changed_package_changes_no_sale(sale: Sale) -> None:
    packages.change_package(by=SYSTEM, package=sale.package, price_minor=1, count=2)
    sale.refresh_from_db()
    assert (sale.package.price_minor, sale.price_minor, sale.count) == (1, 40_000, 10)
    assert AuditEntry.objects.latest("pk").fields == ["count", "price_minor"]


def test_a_package_cannot_be_changed_to_what_cannot_be(sale: Sale) -> None:
    with pytest.raises(Refused, match="nothing or more"):
        packages.change_package(by=SYSTEM, package=sale.package, price_minor=-1)
    assert Package.objects.get().price_minor == 40_000


def test_a_retired_package_is_not_sold_until_it_is_offered_again(meret: Client) -> None:
    package = packages.retire_package(by=SYSTEM, package=made.package())
    with pytest.raises(Refused) as refused:
        sales.sell(by=SYSTEM, package=package, client=meret, sold_on=TODAY)
    assert sentences(refused) == [("package", "This package is retired: it is sold no more.")]
    packages.offer_again(by=SYSTEM, package=package)
    sales.sell(by=SYSTEM, package=package, client=meret, sold_on=TODAY)
    assert verbs() == ["retired", "offered again", "sold"]


def test_a_sale_keeps_the_package_as_it_was_and_the_client_pays(sale: Sale) -> None:
    kept = Sale.objects.get()
    assert (kept.title, kept.kind, kept.count, kept.price_minor, kept.tax_bp) == (
        "Ten sessions",
        "sessions",
        10,
        40_000,
        2300,
    )
    assert (kept.payer_name, kept.payer_email) == ("Meret A.", "meret@example.org")
    assert (kept.starts_on, kept.last_day) == (TODAY, date(2027, 5, 31))


def test_somebody_else_may_pay_and_it_may_start_later(meret: Client) -> None:
    kept = sales.sell(
        by=SYSTEM,
        package=made.package(kind="weeks", count=2, validity_days=None),
        client=meret,
        sold_on=TODAY,
        starts_on=date(2026, 12, 7),
        payer=Party("Oran B.", "2 Quay\nGalway", "oran@example.org"),
    )
    assert (kept.payer_name, kept.payer_address) == ("Oran B.", "2 Quay\nGalway")
    assert (kept.starts_on, kept.last_day) == (date(2026, 12, 7), date(2026, 12, 20))


def test_nothing_is_sold_tomorrow_or_to_nobody(meret: Client) -> None:
    with pytest.raises(Refused) as refused:
        sales.sell(
            by=SYSTEM,
            package=made.package(),
            client=meret,
            sold_on=TODAY + timedelta(days=1),
            payer=Party(" "),
        )
    assert sentences(refused) == [
        ("payer_name", "Say who pays."),
        ("sold_on", "That day is still to come."),
    ]
    assert Sale.objects.count() == 0


def test_sessions_are_counted_and_taken_back_by_a_row_that_reverses(sale: Sale) -> None:
    first = sales.use_session(by=SYSTEM, sale=sale, on=TODAY)
    sales.use_session(by=SYSTEM, sale=sale, on=TODAY)
    sales.undo_use(by=SYSTEM, use=first, reason="she was not there")
    assert [use.count for use in SessionUse.objects.order_by("pk")] == [1, 1, -1]
    assert standing_of(sale).left == 9
    assert verbs() == ["sold", "used a session of", "used a session of", "took back a session of"]


def test_a_session_is_taken_back_once(sale: Sale) -> None:
    use = sales.use_session(by=SYSTEM, sale=sale, on=TODAY)
    back = sales.undo_use(by=SYSTEM, use=use)
    for again in (use, back):
        with pytest.raises(Refused, match="back already"):
            sales.undo_use(by=SYSTEM, use=again)
    assert standing_of(sale).used == 0


def test_no_more_sessions_are_counted_than_were_sold(meret: Client) -> None:
    sale = made.sale(meret, count=1)
    sales.use_session(by=SYSTEM, sale=sale, on=TODAY)
    with pytest.raises(Refused) as refused:
        sales.use_session(by=SYSTEM, sale=sale, on=TODAY)
    assert sentences(refused) == [("on", "All 1 sessions of this sale are used.")]
    assert SessionUse.objects.count() == 1


def test_a_sale_is_cancelled_with_its_reason(sale: Sale) -> None:
    with pytest.raises(Refused, match="Say why"):
        sales.cancel_sale(by=SYSTEM, sale=sale, reason=" ")
    sales.cancel_sale(by=SYSTEM, sale=sale, reason="sold twice")
    kept = Sale.objects.get()
    assert (kept.cancelled_on, kept.cancel_reason) == (TODAY, "sold twice")
    assert AuditEntry.objects.latest("pk").reason == "sold twice"
    with pytest.raises(Refused, match="cancelled"):
        sales.use_session(by=SYSTEM, sale=sale, on=TODAY)


def test_a_sale_that_is_used_or_billed_is_not_cancelled(sale: Sale) -> None:
    from coach.billing.actions.invoices import discard_draft, draft_from_sale

    use = sales.use_session(by=SYSTEM, sale=sale, on=TODAY)
    draft = draft_from_sale(by=SYSTEM, sale=sale)
    with pytest.raises(Refused, match="are used"):
        sales.cancel_sale(by=SYSTEM, sale=sale, reason="sold twice")
    sales.undo_use(by=SYSTEM, use=use)
    with pytest.raises(Refused, match="on a draft"):
        sales.cancel_sale(by=SYSTEM, sale=sale, reason="sold twice")
    discard_draft(by=SYSTEM, invoice=draft)
    sales.cancel_sale(by=SYSTEM, sale=sale, reason="sold twice")
    assert Sale.objects.get().cancelled_on == TODAY
