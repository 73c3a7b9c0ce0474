"""What `check_data` finds in the rows of billing once the triggers are taken away."""

from __future__ import annotations

import pytest

from coach.billing import checks, frozen
from coach.billing.actions.sales import use_session
from coach.billing.models import Counter, Invoice, Sale
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from coach.practice.queries import problems
from tests import factories_billing as made

pytestmark = pytest.mark.usefixtures("practice")


def billing_problems() -> list[str]:
    found = (
        *checks.numbers_without_gaps(),
        *checks.sums_add_up(),
        *checks.sessions_within_the_sale(),
    )
    return [finding.reason for finding in found]


@pytest.fixture
def three(practice: Practice) -> list[Invoice]:
    """Three issued invoices, their triggers taken away."""
    found = [made.issued() for _ in range(3)]
    frozen.allow_changes()
    return found


def test_nothing_is_found_where_all_is_well(three: list[Invoice]) -> None:
    use_session(by=SYSTEM, sale=made.sale(), on=made.TODAY)
    made.draft()
    made.credited(three[0])
    assert billing_problems() == []


def test_a_gap_is_found(three: list[Invoice]) -> None:
    three[1].delete()
    assert billing_problems() == ["The invoice numbers of 2026 have a gap or a double."]
    assert "invoice" in [finding.kind for finding in problems()]


def test_a_number_never_printed_is_found(three: list[Invoice]) -> None:
    Counter.objects.update(last=4)
    assert billing_problems() == ["The invoice numbers of 2026 have a gap or a double."]


def test_a_number_that_is_not_its_place_is_found(three: list[Invoice]) -> None:
    Invoice.objects.filter(pk=three[2].pk).update(number="2026-00009")
    assert billing_problems() == ["2026-00009 is kept as number 3 of 2026."]


def test_sums_that_are_not_those_of_the_lines_are_found(three: list[Invoice]) -> None:
    three[0].lines.update(unit_minor=17_999)
    assert billing_problems() == ["The sums of invoice 2026-00001 are not those of its lines."]


def test_more_sessions_used_than_sold_are_found() -> None:
    sale = made.sale()
    use_session(by=SYSTEM, sale=sale, on=made.TODAY)
    use_session(by=SYSTEM, sale=sale, on=made.TODAY)
    Sale.objects.update(count=1)
    assert billing_problems() == [f"Sale {sale.pk} has 2 sessions used."]
