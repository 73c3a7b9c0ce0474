"""Rules of packages, sales and papers: what is left, what is open, what may be done."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from coach.billing.rules import invoices, packages, receivables
from coach.billing.rules.months import last_of, month_of
from coach.billing.rules.packages import SaleState, Standing
from coach.billing.rules.receivables import Age, Bill, Status
from coach.billing.rules.values import Line, Party, line_problems

TODAY = date(2026, 12, 3)


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


# Packages and sales


@pytest.mark.parametrize(
    ("kind", "count", "validity", "last"),
    [
        ("sessions", 10, 30, date(2027, 1, 1)),
        ("sessions", 10, 1, TODAY),
        ("sessions", 10, None, None),
        ("weeks", 1, None, date(2026, 12, 9)),
        ("weeks", 12, None, date(2027, 2, 24)),
    ],
)
def test_the_first_day_of_a_sale_counts(
    kind: str, count: int, validity: int | None, last: date | None
) -> None:
    assert packages.last_day(kind, count, validity, TODAY) == last


def standing(**values: Any) -> Standing:
    defaults = {"kind": "sessions", "count": 10, "used": 3, "starts_on": ago(9), "last_day": None}
    return Standing(**{**defaults, **values})


@pytest.mark.parametrize(
    ("values", "state"),
    [
        ({}, SaleState.RUNNING),
        ({"starts_on": ago(-1)}, SaleState.TO_COME),
        ({"last_day": TODAY}, SaleState.RUNNING),
        ({"last_day": ago(1)}, SaleState.RUN_OUT),
        ({"used": 10}, SaleState.USED_UP),
        ({"used": 10, "last_day": ago(1)}, SaleState.USED_UP),
        ({"kind": "weeks", "used": 10}, SaleState.RUNNING),
        ({"used": 10, "cancelled": True}, SaleState.CANCELLED),
    ],
)
def test_a_sale_has_one_word(values: dict[str, Any], state: SaleState) -> None:
    assert packages.state(standing(**values), TODAY) == state


def test_weeks_have_no_number_of_sessions_left() -> None:
    assert (standing().left, standing(kind="weeks").left) == (7, None)


@pytest.mark.parametrize(("last", "left"), [(None, None), (TODAY, 1), (ago(1), 0), (ago(-6), 7)])
def test_days_left_count_today_and_never_fall_below_nought(
    last: date | None, left: int | None
) -> None:
    assert packages.days_left(standing(last_day=last), TODAY) == left


@pytest.mark.parametrize(
    ("values", "on", "sentence"),
    [
        ({}, TODAY, ""),
        ({"last_day": ago(1)}, TODAY, ""),  # late, but it was given
        ({"kind": "weeks", "used": 400}, TODAY, ""),
        ({}, ago(-1), "That day is still to come: count a session once it was given."),
        ({}, ago(10), "This sale starts on 24 November 2026."),
        ({"used": 10}, TODAY, "All 10 sessions of this sale are used."),
        ({"cancelled": True}, TODAY, "This sale was cancelled."),
    ],
)
def test_when_a_session_can_be_counted(values: dict[str, Any], on: date, sentence: str) -> None:
    assert packages.against_using(standing(**values), on=on, today=TODAY) == sentence


@pytest.mark.parametrize(
    ("values", "billed", "sentence"),
    [
        ({"used": 0}, "", ""),
        ({"used": 1}, "", "Sessions of it are used: undo those first."),
        ({"used": 0}, "a draft", "It is on a draft: discard or credit that first."),
        ({"cancelled": True}, "", "This sale is cancelled already."),
    ],
)
def test_when_a_sale_can_be_cancelled(values: dict[str, Any], billed: str, sentence: str) -> None:
    assert packages.against_cancelling(standing(**values), billed=billed) == sentence


@pytest.mark.parametrize(
    ("values", "fields"),
    [
        ({}, []),
        ({"title": " "}, ["title"]),
        ({"kind": "months"}, ["kind"]),
        ({"count": 0}, ["count"]),
        ({"price_minor": -1, "tax_bp": 10_001}, ["price_minor", "tax_bp"]),
        ({"price_minor": 10**11 + 1}, ["price_minor"]),
        ({"kind": "weeks", "validity_days": 30}, ["validity_days"]),
        ({"validity_days": 0}, ["validity_days"]),
    ],
)
def test_what_is_wrong_with_a_package(values: dict[str, Any], fields: list[str]) -> None:
    right = {
        "title": "Ten",
        "kind": "sessions",
        "count": 10,
        "price_minor": 0,
        "tax_bp": 0,
        "validity_days": None,
    }
    found = packages.offer_problems(**{**right, **values})
    assert [problem.field for problem in found] == fields


def test_the_period_of_a_sale_in_words() -> None:
    assert packages.supplied_words(TODAY, None) == "from 3 December 2026"
    assert packages.supplied_words(TODAY, TODAY) == "3 December 2026 to 3 December 2026"


# Receivables


def bill(**values: Any) -> Bill:
    defaults = {
        "kind": "invoice",
        "gross_minor": 100,
        "credited_minor": 0,
        "paid_minor": 0,
        "pay_by": TODAY,
    }
    return Bill(**{**defaults, **values})


CREDITED = {"credited_minor": 100, "is_credited": True}


@pytest.mark.parametrize(
    ("values", "status", "still"),
    [
        ({"pay_by": None}, Status.DRAFT, 0),
        ({}, Status.OPEN, 100),
        ({"pay_by": ago(1)}, Status.OVERDUE, 100),
        ({"paid_minor": 99, "pay_by": ago(1)}, Status.OVERDUE, 1),
        ({"paid_minor": 100, "pay_by": ago(1)}, Status.PAID, 0),
        ({"paid_minor": 101}, Status.TO_PAY_BACK, -1),
        (CREDITED, Status.CREDITED, 0),
        ({**CREDITED, "paid_minor": 100}, Status.TO_PAY_BACK, -100),
        ({"gross_minor": 0}, Status.PAID, 0),
        ({"kind": "credit note"}, Status.CREDIT_NOTE, 0),
    ],
)
def test_a_paper_has_one_word_and_an_open_amount(
    values: dict[str, Any], status: Status, still: int
) -> None:
    one = bill(**values)
    assert (receivables.status(one, TODAY), one.open_minor) == (status, still)


def test_the_ages_add_up_to_the_balance() -> None:
    bills = [
        bill(),
        bill(pay_by=ago(30), paid_minor=40),
        bill(pay_by=ago(31)),
        bill(pay_by=ago(400), paid_minor=130),
        bill(pay_by=None),
    ]
    found = receivables.aged(bills, TODAY)
    assert found == {
        Age.CURRENT: 100,
        Age.TO_30: 60,
        Age.TO_60: 100,
        Age.TO_90: 0,
        Age.OVER_90: -30,
    }
    assert sum(found.values()) == sum(one.open_minor for one in bills)


def test_every_word_is_in_a_filter() -> None:
    named = {word for show, words in receivables.FILTERS.items() if show for word in words}
    assert named == set(Status)


# Papers


def draft(**values: Any) -> invoices.Draft:
    defaults = {
        "lines": [Line("Session", 1, 100, 2300)],
        "buyer": Party("Meret A.", "1 Quay"),
        "seller": Party("Strand Row Movement", "1 Strand Row"),
        "tax_number": "IE0000000X",
        "no_tax_reason": "",
    }
    return invoices.Draft(**{**defaults, **values})


@pytest.mark.parametrize(
    ("values", "latest", "sentence"),
    [
        ({}, None, ""),
        ({}, TODAY, ""),
        ({"lines": []}, None, "There is nothing on it yet: add a line."),
        ({"buyer": Party(" ")}, None, "Say who pays: an invoice needs a name."),
        (
            {},
            ago(-1),
            "One is issued already with the date 4 December 2026: numbers follow the days.",
        ),
    ],
)
def test_when_a_draft_can_be_issued(
    values: dict[str, Any], latest: date | None, sentence: str
) -> None:
    assert invoices.against_issuing(draft(**values), today=TODAY, latest=latest) == sentence


@pytest.mark.parametrize(
    ("values", "reasons"),
    [
        ({}, []),
        ({"seller": Party("S")}, ["Your practice has no address yet."]),
        ({"buyer": Party("B")}, ["The payer has no address."]),
        ({"tax_number": ""}, ["Tax is charged, and no tax number is given."]),
        (
            {"lines": [Line("x", 1, 1, 0)]},
            ["No tax is charged, and the invoice does not say why."],
        ),
        ({"lines": [Line("x", 1, 1, 0)], "no_tax_reason": "Small business"}, []),
    ],
)
def test_what_an_invoice_should_say(values: dict[str, Any], reasons: list[str]) -> None:
    # Directive 2006/112/EC, Art. 226 (3), (5), (9), (10) and (11)
    found = invoices.missing(draft(**values))
    assert [finding.reason for finding in found] == reasons
    assert {finding.source for finding in found} <= {invoices._SOURCE}


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("2026-00042", "2026-00042"),
        (" 2026-42 ", "2026-00042"),
        ("2026/42", "2026-00042"),
        ("2026-123456", "2026-123456"),
        ("INV 42", "INV 42"),
    ],
)
def test_numbers_are_read_as_people_type_them(typed: str, number: str) -> None:
    assert invoices.clean_number(typed) == number


@pytest.mark.parametrize(
    ("kind", "number", "credit_number", "sentence"),
    [
        ("invoice", "2026-00001", None, ""),
        ("invoice", None, None, "A draft is discarded, not credited."),
        ("invoice", "2026-00001", "2026-00002", "It is credited already, by 2026-00002."),
        (
            "credit note",
            "2026-00002",
            None,
            "A credit note cannot be credited: write a new invoice.",
        ),
    ],
)
def test_when_a_paper_can_be_credited(
    kind: str, number: str | None, credit_number: str | None, sentence: str
) -> None:
    found = invoices.against_crediting(kind=kind, number=number, credit_number=credit_number)
    assert found == sentence


@pytest.mark.parametrize(
    ("kind", "issued_on", "received_on", "sentence"),
    [
        ("invoice", TODAY, TODAY, ""),
        ("invoice", TODAY, ago(30), ""),
        ("invoice", None, TODAY, "Issue it first: a draft is not paid."),
        ("invoice", TODAY, ago(-1), "That day is still to come."),
        ("invoice", TODAY, ago(367), "That is more than a year before the invoice."),
        (
            "credit note",
            TODAY,
            TODAY,
            "Record it on the invoice that this credit note corrects.",
        ),
    ],
)
def test_when_money_can_be_recorded(
    kind: str, issued_on: date | None, received_on: date, sentence: str
) -> None:
    found = invoices.against_paying(
        kind=kind, issued_on=issued_on, received_on=received_on, today=TODAY
    )
    assert found == sentence


def test_what_is_wrong_with_lines_names_the_line_and_the_field() -> None:
    lines = [Line("Session", 1, 0, 0), Line(" ", 0, -1, 10_001)]
    assert [problem.field for problem in line_problems(lines)] == [
        "line 1 text",
        "line 1 quantity",
        "line 1 unit_minor",
        "line 1 tax_bp",
    ]
    assert [p.field for p in line_problems([lines[0]] * 201)] == [""]


def test_a_month_begins_and_ends() -> None:
    assert (month_of(date(2028, 2, 9)), last_of(date(2028, 2, 9))) == (
        date(2028, 2, 1),
        date(2028, 2, 29),
    )
