"""The plain values of this room, and what is wrong with typed ones, in sentences. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

INVOICE, CREDIT_NOTE = "invoice", "credit note"
SESSIONS, WEEKS = "sessions", "weeks"
WHOLE_BP = 10_000  # 100 % in basis points

# Common practice, no source: they catch a slip of the keyboard and refuse no honest invoice.
MOST_MINOR = 10**11
MOST_QUANTITY = 10_000
MOST_LINES = 200
PAY_DAYS = 14


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a draft: `unit_minor` in minor units, `tax_bp` in basis points (2300 is 23 %)."""

    text: str
    quantity: int
    unit_minor: int
    tax_bp: int


@dataclass(frozen=True, slots=True)
class Party:
    """Who pays: name, postal address on several lines, e-mail."""

    name: str
    address: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong with a field, as a sentence to put beside it; an empty field is the whole.

    Fields of lines are named "line 0 quantity", counted from nought.
    """

    field: str
    sentence: str


def line_problems(lines: Sequence[Line]) -> list[Problem]:
    """What is wrong with the lines of a draft; a draft may have none yet."""
    if len(lines) > MOST_LINES:
        return [Problem("", f"At most {MOST_LINES} lines fit one invoice.")]
    return [
        Problem(f"line {n} {field}", sentence)
        for n, line in enumerate(lines)
        for field, sentence in _line_problems(line)
    ]


def _line_problems(line: Line) -> list[tuple[str, str]]:
    wrong = (
        ("text", "Say what it is for.", not line.text.strip()),
        ("text", "At most 200 letters.", len(line.text) > 200),
        (
            "quantity",
            f"A whole number from 1 to {MOST_QUANTITY:,}.",
            not 1 <= line.quantity <= MOST_QUANTITY,
        ),
        ("unit_minor", "A price is nothing or more.", line.unit_minor < 0),
        ("unit_minor", "That is too much for one line.", line.unit_minor > MOST_MINOR),
        ("tax_bp", "A tax rate from 0 to 100 %.", not 0 <= line.tax_bp <= WHOLE_BP),
    )
    return [(field, sentence) for field, sentence, is_so in wrong if is_so]
