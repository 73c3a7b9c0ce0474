"""Money as stories: what was written, paid, credited and used, and what is open and left then.

Totals: EN 16931, rules BR-CO-10 to BR-CO-17 (a line is rounded, a rate is taxed once). Ties are
rounded away from zero and prices with tax keep their total: common practice, no source. The
figures were worked out by hand or with Python's decimal module, not with this project's code.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

import pytest

from clients.models import Client
from coach.billing.actions import payments, sales
from coach.billing.actions.shared import Refused
from coach.billing.models import Invoice, Payment
from coach.billing.queries.invoices import InvoiceRow, aged, invoices
from coach.billing.queries.sales import SaleRow
from coach.billing.queries.sales import sales as sale_rows
from coach.billing.queries.summary import ClientMonth, summary
from coach.billing.rules.receivables import Age, Status, age, days_late
from coach.billing.rules.totals import Totals, totals
from coach.billing.rules.values import Line
from coach.practice.audit import SYSTEM
from coach.practice.models import Practice
from tests import factories
from tests import factories_billing as made

TODAY = date(2026, 12, 3)
WITHOUT, WITH = False, True


def sold(*lines: tuple[int, int, int]) -> list[Line]:
    """Lines of (how many, price of one in minor units, rate in basis points)."""
    return [Line(f"Line {n}", *line) for n, line in enumerate(lines, start=1)]


# what | lines | prices hold the tax | tax of each rate (rate, base, tax) | net, tax, gross
TOTALS = [
    ("nothing to tax", sold((1, 14900, 0)), WITH, [(0, 14900, 0)], (14900, 0, 14900)),
    # EN 16931 lines: 149.00 + 3 × 17.95 at 19 %, 2 × 12.45 at 7 %, without allowance and charge
    (
        "two rates, three lines",
        sold((1, 14900, 1900), (3, 1795, 1900), (2, 1245, 700)),
        WITHOUT,
        [(1900, 20285, 3854), (700, 2490, 174)],
        (22775, 4028, 26803),
    ),
    (
        "ten of 0.33: not ten times 0.06",
        sold(*[(1, 33, 1900)] * 10),
        WITHOUT,
        [(1900, 330, 63)],
        (330, 63, 393),
    ),
    (
        "two of 17.45: not twice 3.32",
        sold(*[(1, 1745, 1900)] * 2),
        WITHOUT,
        [(1900, 3490, 663)],
        (3490, 663, 4153),
    ),
    (
        "three of 33.33: not 18.99",
        sold(*[(1, 3333, 1900)] * 3),
        WITHOUT,
        [(1900, 9999, 1900)],
        (9999, 1900, 11899),
    ),
    (
        "three of 12.37: not 7.80",
        sold(*[(1, 1237, 2100)] * 3),
        WITHOUT,
        [(2100, 3711, 779)],
        (3711, 779, 4490),
    ),
    # half a cent: 0.005, 0.025 and 2.675 go up; half to even gives 0.00 and 0.02, floats 2.67
    ("a tax of half a cent", sold((1, 10, 500)), WITHOUT, [(500, 10, 1)], (10, 1, 11)),
    ("a tax of two and a half cents", sold((1, 50, 500)), WITHOUT, [(500, 50, 3)], (50, 3, 53)),
    ("a tax of 2.675", sold((1, 5350, 500)), WITHOUT, [(500, 5350, 268)], (5350, 268, 5618)),
    ("10.00 at 8.25 %", sold((1, 1000, 825)), WITHOUT, [(825, 1000, 83)], (1000, 83, 1083)),
    ("0.06 at 8.25 %: nothing", sold((1, 6, 825)), WITHOUT, [(825, 6, 0)], (6, 0, 6)),
    (
        "149.00 at 8.25 %",
        sold((1, 14900, 825)),
        WITHOUT,
        [(825, 14900, 1229)],
        (14900, 1229, 16129),
    ),
    ("119.00 with tax", sold((1, 11900, 1900)), WITH, [(1900, 10000, 1900)], (10000, 1900, 11900)),
    ("149.00 with tax", sold((1, 14900, 1900)), WITH, [(1900, 12521, 2379)], (12521, 2379, 14900)),
    ("17.95 with tax", sold((1, 1795, 1900)), WITH, [(1900, 1508, 287)], (1508, 287, 1795)),
    ("50.00 with tax at 21 %", sold((1, 5000, 2100)), WITH, [(2100, 4132, 868)], (4132, 868, 5000)),
    # no whole net reaches these: 8.39 × 1.19 is 9.98, 11.21 × 1.07 is 11.99
    ("9.99 stays 9.99", sold((1, 999, 1900)), WITH, [(1900, 839, 160)], (839, 160, 999)),
    ("12.00 stays 12.00", sold((1, 1200, 700)), WITH, [(700, 1121, 79)], (1121, 79, 1200)),
    (
        "two with tax: 23.49, not 15.08 + 8.40",
        sold((1, 1795, 1900), (1, 1000, 1900)),
        WITH,
        [(1900, 2349, 446)],
        (2349, 446, 2795),
    ),
    (
        "two rates with tax",
        sold((1, 14900, 1900), (1, 1200, 700), (1, 2500, 0)),
        WITH,
        [(1900, 12521, 2379), (700, 1121, 79), (0, 2500, 0)],
        (16142, 2458, 18600),
    ),
    (
        "yen have no cents",
        sold((1, 14900, 1000)),
        WITH,
        [(1000, 13545, 1355)],
        (13545, 1355, 14900),
    ),
]


def shown(found: Totals) -> tuple[list[tuple[int, int, int]], tuple[int, int, int]]:
    rates = [(one.tax_bp, one.net_minor, one.tax_minor) for one in found.taxes]
    return rates, (found.net_minor, found.tax_minor, found.gross_minor)


@pytest.mark.parametrize(
    ("what", "lines", "with_tax", "rates", "sums"), TOTALS, ids=[line[0] for line in TOTALS]
)
def test_what_an_invoice_comes_to(
    what: str,
    lines: list[Line],
    with_tax: bool,
    rates: list[tuple[int, int, int]],
    sums: tuple[int, int, int],
) -> None:
    found = totals(lines, prices_include_tax=with_tax)
    assert shown(found) == (rates, sums)
    assert sum(line.net_minor for line in found.lines) == found.net_minor  # BR-CO-10
    assert totals(lines[::-1], prices_include_tax=with_tax).gross_minor == found.gross_minor


@dataclass
class Bill:
    """An invoice of €180 issued on 3 December, payable in 14 days, and what happens to it."""

    invoice: Invoice
    last: Payment | None = None

    def pay(self, minor: int) -> None:
        self.last = payments.record_payment(
            by=SYSTEM, invoice=self.invoice, amount_minor=minor, method="transfer",
            received_on=TODAY, more_than_open=True,
        )  # fmt: skip

    def pay_back(self, minor: int) -> None:
        self.last = payments.record_refund(
            by=SYSTEM, invoice=self.invoice, amount_minor=minor, method="transfer", paid_on=TODAY
        )

    def reverse(self) -> None:
        assert self.last
        payments.reverse_payment(by=SYSTEM, payment=self.last, reason="of somebody else")

    def credit(self) -> None:
        made.credited(self.invoice)

    def on(self, day: date) -> InvoiceRow:
        rows = {row.pk: row for row in invoices(day)}
        return rows[self.invoice.pk]


Steps = list[Callable[[Bill], None]]


def pay(minor: int) -> Callable[[Bill], None]:
    return lambda bill: bill.pay(minor)


def pay_back(minor: int) -> Callable[[Bill], None]:
    return lambda bill: bill.pay_back(minor)


REVERSE, CREDIT = Bill.reverse, Bill.credit
# what | steps | what is open then | the word
OPEN: list[tuple[str, Steps, int, Status]] = [
    ("nothing paid", [], 18_000, Status.OPEN),
    ("part of it paid", [pay(5_000)], 13_000, Status.OPEN),
    ("paid in two parts", [pay(5_000), pay(13_000)], 0, Status.PAID),
    ("paid but for a cent", [pay(17_999)], 1, Status.OPEN),
    ("paid too much", [pay(20_000)], -2_000, Status.TO_PAY_BACK),
    ("paid too much, paid back", [pay(20_000), pay_back(2_000)], 0, Status.PAID),
    ("a payment that was a mistake", [pay(18_000), REVERSE], 18_000, Status.OPEN),
    ("reversed, then paid", [pay(18_000), REVERSE, pay(18_000)], 0, Status.PAID),
    ("credited before it was paid", [CREDIT], 0, Status.CREDITED),
    ("credited after a part was paid", [pay(5_000), CREDIT], -5_000, Status.TO_PAY_BACK),
    ("credited and paid back", [pay(5_000), CREDIT, pay_back(5_000)], 0, Status.CREDITED),
    ("paid back by mistake", [pay(18_000), pay_back(18_000), REVERSE], 0, Status.PAID),
    ("credited, its only payment reversed", [pay(5_000), CREDIT, REVERSE], 0, Status.CREDITED),
]


@pytest.fixture
def bill(practice: Practice) -> Bill:
    return Bill(made.issued(on=TODAY))


@pytest.mark.parametrize(("what", "steps", "still", "word"), OPEN, ids=[line[0] for line in OPEN])
def test_what_is_open(bill: Bill, what: str, steps: Steps, still: int, word: Status) -> None:
    for step in steps:
        step(bill)
    row = bill.on(TODAY)
    assert (row.open.minor, row.status) == (still, word)
    assert sum(money.minor for money in aged(TODAY).get("EUR", {}).values()) == still


# pay by 17 December: late from the 18th
LATE: list[tuple[str, Steps, date, int, Status]] = [
    ("the day before", [], date(2026, 12, 16), 0, Status.OPEN),
    ("the day to pay by", [], date(2026, 12, 17), 0, Status.OPEN),
    ("the day after", [], date(2026, 12, 18), 1, Status.OVERDUE),
    ("over the year", [], date(2027, 1, 16), 30, Status.OVERDUE),
    ("a cent is missing", [pay(17_999)], date(2026, 12, 18), 1, Status.OVERDUE),
    ("paid", [pay(18_000)], date(2026, 12, 18), 0, Status.PAID),
    ("paid too much", [pay(18_001)], date(2026, 12, 18), 0, Status.TO_PAY_BACK),
    ("credited", [CREDIT], date(2026, 12, 18), 0, Status.CREDITED),
]


@pytest.mark.parametrize(
    ("what", "steps", "day", "late", "word"), LATE, ids=[line[0] for line in LATE]
)
def test_how_late_it_is(
    bill: Bill, what: str, steps: Steps, day: date, late: int, word: Status
) -> None:
    for step in steps:
        step(bill)
    row = bill.on(day)
    assert (row.days_late, row.status) == (late, word)


# Calendar days to 25 November 2026; the steps of 30 days are common practice, no source.
AGES = [
    ("2026-12-09", -14, Age.CURRENT),
    ("2026-11-25", 0, Age.CURRENT),
    ("2026-11-24", 1, Age.TO_30),
    ("2026-10-26", 30, Age.TO_30),
    ("2026-10-25", 31, Age.TO_60),
    ("2026-09-26", 60, Age.TO_60),
    ("2026-09-25", 61, Age.TO_90),
    ("2026-08-27", 90, Age.TO_90),
    ("2026-08-26", 91, Age.OVER_90),
]


@pytest.mark.parametrize(("pay_by", "late", "step"), AGES)
def test_the_age_of_a_bill(pay_by: str, late: int, step: Age) -> None:
    day, today = date.fromisoformat(pay_by), date(2026, 11, 25)
    assert (days_late(day, today), age(day, today)) == (late, step)


# A sale that starts on Saturday 31 January 2026; its first day counts, so 90 days end on 30 April
# and it is over on 1 May; four weeks end on the Friday.
PACKAGES = [
    ("90 days", {"validity_days": 90}, "2026-04-30", "2026-04-30", 10, "running"),
    ("90 days are over", {"validity_days": 90}, "2026-05-01", "2026-04-30", 10, "run out"),
    ("a day only", {"validity_days": 1}, "2026-01-31", "2026-01-31", 10, "running"),
    ("without an end", {"validity_days": None}, "2026-12-03", None, 10, "running"),
    ("the day before it starts", {"validity_days": 90}, "2026-01-30", "2026-04-30", 10, "to come"),
    (
        "four weeks",
        {"kind": "weeks", "count": 4, "validity_days": None},
        "2026-02-27",
        "2026-02-27",
        None,
        "running",
    ),
    (
        "a day later",
        {"kind": "weeks", "count": 4, "validity_days": None},
        "2026-02-28",
        "2026-02-27",
        None,
        "run out",
    ),
]


@pytest.mark.parametrize(
    ("what", "values", "day", "last", "left", "word"), PACKAGES, ids=[p[0] for p in PACKAGES]
)
def test_until_when_a_package_counts(
    practice: Practice,
    what: str,
    values: dict[str, object],
    day: str,
    last: str | None,
    left: int | None,
    word: str,
) -> None:
    made.sale(sold_on=date(2026, 1, 20), starts_on=date(2026, 1, 31), **values)
    (row,) = sale_rows(date.fromisoformat(day))
    ends = row.last_day.isoformat() if row.last_day else None
    assert (ends, row.left, row.state.value) == (last, left, word)


def used(row: SaleRow) -> tuple[int, int | None, str]:
    return row.used, row.left, row.state.value


def test_sessions_are_counted_down_and_a_mistake_is_taken_back(practice: Practice) -> None:
    sale = made.sale(sold_on=date(2026, 11, 2), count=3)
    days = [date(2026, 11, 3), date(2026, 11, 10), date(2026, 11, 17)]
    uses = [sales.use_session(by=SYSTEM, sale=sale, on=day) for day in days]
    assert used(sale_rows(TODAY)[0]) == (3, 0, "used up")
    with pytest.raises(Refused):
        sales.use_session(by=SYSTEM, sale=sale, on=TODAY)
    sales.undo_use(by=SYSTEM, use=uses[1], reason="she was ill")
    assert used(sale_rows(TODAY)[0]) == (2, 1, "running")


@pytest.fixture
def autumn(practice: Practice) -> Client:
    """Ten sessions for €400 in October, a part paid in November, credited in December."""
    client = factories.client("Roisin A.")
    sale = made.sale(client, sold_on=date(2026, 10, 30))
    bill = Bill(made.issued(client, on=date(2026, 10, 31), of=made.lines(40_000)))
    made.paid(bill.invoice, 10_000, on=date(2026, 10, 31))
    made.paid(bill.invoice, 15_000, on=date(2026, 11, 1))
    for day in (date(2026, 10, 30), date(2026, 10, 31), date(2026, 11, 1)):
        sales.use_session(by=SYSTEM, sale=sale, on=day)
    bill.credit()
    bill.pay_back(25_000)
    return client


def money(row: ClientMonth) -> tuple[tuple[str, ...], int, int, int, int, int]:
    amounts = (row.sold.minor, row.invoiced.minor, row.paid.minor)
    return row.packages, *amounts, row.used, row.left


@pytest.mark.parametrize(
    ("month", "expected"),
    [
        (date(2026, 9, 30), []),
        (date(2026, 10, 1), [(("Ten sessions",), 40_000, 40_000, 10_000, 2, 8)]),
        (date(2026, 11, 30), [((), 0, 0, 15_000, 1, 7)]),
        (date(2026, 12, 3), [((), 0, -40_000, -25_000, 0, 7)]),
    ],
)
def test_a_month_of_one_client(autumn: Client, month: date, expected: list[object]) -> None:
    assert [money(row) for row in summary(month)] == expected
