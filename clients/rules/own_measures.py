"""A measure of the practice's own: what it can be. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from clients.rules.pregnancies import Problem
from clients.rules.roster import fold

LONGEST_NAME, LONGEST_UNIT = 60, 20
BETTER = {"more": "more is better", "less": "less is better", "": "neither"}
_BOUND = 10**6


@dataclass(frozen=True, slots=True)
class OwnFacts:
    """What is kept of one. `better`: of BETTER; `least` and `most` None: any value."""

    name: str
    unit: str = ""
    better: str = ""
    least: Decimal | None = None
    most: Decimal | None = None

    @property
    def columns(self) -> dict[str, str]:
        """As it is stored."""
        return {
            "name": self.name.strip(),
            "unit": self.unit.strip(),
            "better": self.better,
            "least": _text(self.least),
            "most": _text(self.most),
        }


def problems(
    facts: OwnFacts, others: Iterable[str], *, measured_in: str | None = None
) -> list[Problem]:
    """Everything that speaks against it, each beside its field.

    `others`: the names that there are already. `measured_in`: the unit of values that are kept,
    None where there are none: such a unit stays what it is.
    """
    found = [*_against_words(facts, others)]
    if measured_in is not None and facts.unit.strip() != measured_in:
        words = f"Values are kept in “{measured_in}”" if measured_in else "Values are kept without"
        found.append(Problem("unit", f"{words}: add another measure instead."))
    for field, value in (("least", facts.least), ("most", facts.most)):
        if value is not None and (abs(value) >= _BOUND or value != round(value, 2)):
            found.append(Problem(field, "A number with at most two decimals."))
    if facts.least is not None and facts.most is not None and facts.least >= facts.most:
        found.append(Problem("most", "More than the least."))
    return found


def _against_words(facts: OwnFacts, others: Iterable[str]) -> Iterable[Problem]:
    name = facts.name.strip()
    if not name:
        yield Problem("name", "Write what is measured.")
    elif len(name) > LONGEST_NAME:
        yield Problem("name", f"At most {LONGEST_NAME} letters.")
    elif fold(name) in {fold(one) for one in others}:
        yield Problem("name", "There is a measure of that name already.")
    if len(facts.unit.strip()) > LONGEST_UNIT:
        yield Problem("unit", f"At most {LONGEST_UNIT} letters.")
    if facts.better not in BETTER:
        yield Problem("better", "Choose one of these.")


def _text(value: Decimal | None) -> str:
    """ "12.5", "40"; "" for none."""
    return "" if value is None else f"{value.normalize():f}"
