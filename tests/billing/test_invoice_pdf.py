"""What stands on the paper, read back from the PDF by poppler's pdftotext."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from coach.billing.documents.values import PaperSize, PaperTitle
from tests.billing.papers import DROP_IN, HANDBOOK, PASS, minor, paper, plain, text_of

pytestmark = pytest.mark.poppler

AMOUNT = r"€[\d,]+\.\d\d"


def rows(text: str) -> list[tuple[str, int, int, int, int]]:
    """The lines of the table: text, quantity, price, rate in percent, net."""
    pattern = rf"^(\S.*?)\s+(\d+)\s+({AMOUNT})\s+(\d+)%\s+({AMOUNT})$"
    found = re.findall(pattern, text, re.M)
    return [(what, int(n), minor(one), int(rate), minor(net)) for what, n, one, rate, net in found]


def taxes(text: str) -> list[tuple[int, int, int]]:
    """The tax by rate: rate in percent, net, tax."""
    found = re.findall(rf"VAT (\d+)%\s+({AMOUNT})\s+({AMOUNT})", text)
    return [(int(rate), minor(net), minor(tax)) for rate, net, tax in found]


def sums(text: str) -> dict[str, int]:
    """The column of sums, by what each is called; the last one of a name counts."""
    words = "Net|Tax|Total credited|Total|Paid back|Paid|Still to pay back|Still open"
    return {word: minor(figure) for word, figure in re.findall(rf"({words})\s+({AMOUNT})\n", text)}


def test_number_lines_sums_and_tax_are_read_back_as_given(tmp_path: Path) -> None:
    text = text_of(paper(), tmp_path)
    assert re.search(r"^Invoice\s+2026-00012$", text, re.M)
    assert rows(text) == [
        (line.text, line.quantity, line.unit_minor, line.tax_bp // 100, line.net_minor)
        for line in (PASS, DROP_IN, HANDBOOK)
    ]
    assert taxes(text) == [(19, 20285, 3854), (7, 2490, 174)]
    assert sums(text) == {
        "Net": 22775, "Tax": 4028, "Total": 26803, "Paid": 5000, "Still open": 21803,
    }  # fmt: skip


def test_what_is_printed_adds_up_by_the_rules_of_the_european_norm(tmp_path: Path) -> None:
    """EN 16931: BR-CO-10, -13, -14, -15, -16 and -17, on the figures as printed."""
    text = text_of(paper(), tmp_path)
    lines, by_rate, total = rows(text), taxes(text), sums(text)
    assert all(quantity * price == net for _, quantity, price, _, net in lines)
    assert sum(net for *_, net in lines) == total["Net"]
    assert {rate: net for rate, net, _ in by_rate} == {
        rate: sum(net for *_, line_rate, net in lines if line_rate == rate) for rate in (19, 7)
    }
    assert all((net * rate * 2 + 100) // 200 == tax for rate, net, tax in by_rate)
    assert sum(tax for *_, tax in by_rate) == total["Tax"]
    assert total["Net"] + total["Tax"] == total["Total"]
    assert total["Total"] - total["Paid"] == total["Still open"]


def test_all_that_the_vat_directive_asks_for_is_there(tmp_path: Path) -> None:
    """Directive 2006/112/EC, Art. 226: points 1 to 11 as far as a coach's invoice has them."""
    text = text_of(
        paper(
            supplied="October 2026",
            buyer_tax_number="DE123456788",
            no_tax_reason="Reverse charge",
            payment=("By transfer to GB82 WEST 1234 5698 7654 32.",),
        ),
        tmp_path,
    )
    wanted = {
        "1 date of issue": "25 November 2026",
        "2 number": "2026-00012",
        "3 seller's tax number": "Tax number IE1234567T",
        "4 buyer's tax number": "Tax number DE123456788",
        "5 seller": "Strong Tide Coaching",
        "5 seller's address": "14 Harbour Terrace",
        "5 buyer": "Aoife Ní Bhriain",
        "5 buyer's address": "3 Orchard Lane",
        "6 what": "Ten-session pass",
        "7 date of supply": "October 2026",
        "8 price of one": "€17.95",
        "8 net at a rate": "€202.85",
        "9 rate": "19%",
        "10 tax": "€38.54",
        "11a reason": "Reverse charge",
        "17 account": "GB82 WEST 1234 5698 7654 32",
    }
    assert [point for point, words in wanted.items() if words not in text] == []


def test_dates_stand_under_what_they_are_called(tmp_path: Path) -> None:
    text = plain(text_of(paper(), tmp_path))
    assert text.index("Issued on") < text.index("25 November 2026") < text.index("Pay by")
    assert text.index("Pay by") < text.index("9 December 2026")


def test_a_credit_note_says_so_and_names_the_invoice_it_takes_back(tmp_path: Path) -> None:
    """Directive 2006/112/EC, Art. 219: it refers unambiguously to the invoice it amends."""
    made = paper(
        title=PaperTitle.CREDIT_NOTE,
        number="2026-00013",
        pay_by=None,
        corrects="2026-00012",
        corrects_on=date(2026, 11, 25),
    )
    text = text_of(made, tmp_path)
    assert re.search(r"^Credit note\s+2026-00013$", text, re.M)
    assert "This credits invoice 2026-00012 of 25 November 2026." in text
    assert "Pay by" not in text
    assert sums(text) == {
        "Net": 22775, "Tax": 4028, "Total credited": 26803, "Paid back": 5000,
        "Still to pay back": 21803,
    }  # fmt: skip


def test_a_paper_without_a_number_is_a_draft_on_every_count(tmp_path: Path) -> None:
    text = text_of(paper(number="", issued_on=None, pay_by=None), tmp_path)
    assert re.search(r"^Invoice\s+Draft$", text, re.M)
    assert "This is a draft. It becomes the invoice when it is given its number." in text
    assert "Strong Tide Coaching · Draft invoice" in text
    assert "Issued on" not in text


@pytest.mark.parametrize(
    ("reason", "said"),
    [
        ("", "No tax is charged on this invoice."),
        ("Exempt: small business.", "Exempt: small business."),
    ],
)
def test_an_invoice_without_tax_says_so_and_has_no_tax_column(
    reason: str, said: str, tmp_path: Path
) -> None:
    line = replace(PASS, tax_bp=0)
    made = paper(
        lines=(line,), taxes=(), net_minor=14900, tax_minor=0, gross_minor=14900,
        paid_minor=0, open_minor=14900, no_tax_reason=reason, seller_tax_number="",
    )  # fmt: skip
    text = text_of(made, tmp_path)
    assert said in text
    assert "Tax number" not in text
    assert "%" not in text
    assert sums(text) == {"Total": 14900, "Still open": 14900}


def test_an_exempt_line_beside_taxed_ones_shows_its_rate_and_the_reason(tmp_path: Path) -> None:
    made = paper(no_tax_reason="Line 3 is exempt.", lines=(PASS, replace(HANDBOOK, tax_bp=0)))
    text = text_of(made, tmp_path)
    assert [rate for *_, rate, _ in rows(text)] == [19, 0]
    assert "Line 3 is exempt." in text
    assert "No tax is charged" not in text


@pytest.mark.parametrize(("bp", "shown"), [(1350, "13.5%"), (2300, "23%"), (5, "0.05%")])
def test_a_rate_is_shown_without_needless_digits(bp: int, shown: str, tmp_path: Path) -> None:
    assert shown in text_of(paper(lines=(replace(PASS, tax_bp=bp),)), tmp_path)


@pytest.mark.parametrize(
    ("currency", "locale", "shown"),
    [
        ("JPY", "en_IE", "JP¥26,803"),
        ("KWD", "en_IE", "KWD 26.803"),
        ("EUR", "de_DE", "268,03 €"),
        ("EUR", "fr_FR", "268,03 €"),
        ("USD", "en_US", "$268.03"),
    ],
)
def test_amounts_have_the_currency_s_own_digits(
    currency: str, locale: str, shown: str, tmp_path: Path
) -> None:
    """ISO 4217: no minor unit for the yen, three digits for the Kuwaiti dinar."""
    assert shown in plain(text_of(paper(currency=currency, locale=locale), tmp_path))


def test_months_are_english_whatever_the_amounts_look_like(tmp_path: Path) -> None:
    assert "25 November 2026" in text_of(paper(locale="de_DE"), tmp_path)
    assert "November 25, 2026" in text_of(paper(locale="en_US", size=PaperSize.LETTER), tmp_path)


def test_how_to_pay_and_notes_are_printed_line_by_line(tmp_path: Path) -> None:
    made = paper(payment=("First way.", "Second way."), notes=("One note.\nAnother note.",))
    text = text_of(made, tmp_path)
    positions = [
        text.index(words)
        for words in ("How to pay", "First way.\n", "Second way.\n", "Notes", "One note.\n")
    ]
    assert positions == sorted(positions)
    assert "Another note.\n" in text


def test_without_them_there_are_no_such_headings(tmp_path: Path) -> None:
    text = text_of(paper(payment=(), notes=(" ",)), tmp_path)
    assert ("How to pay" in text, "Notes" in text) == (False, False)


def test_a_negative_amount_has_a_true_minus_sign(tmp_path: Path) -> None:
    made = paper(open_minor=-500)
    assert sums(text_of(made, tmp_path).replace("−€5", "€−5"))["Paid"] == 5000
    assert "−€5.00" in text_of(made, tmp_path)
