"""One assessment: what was measured and answered, read from what was typed, and checked. Pure.

Every value has a code of its own ("width-navel-rest", "leaking", "test-hop-left", "own-3"): the
same one in the form, in the row and in the trail. What has no value was not asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from clients.rules.impact_tests import OFFERED, SYMPTOM, ImpactTest, impact_tests
from clients.rules.measuring import CLINICIAN, COACH, FINGERS, HERSELF, MM, NO, REST, YES, scheme
from clients.rules.pregnancies import LONGEST_AGO_DAYS, Problem
from clients.rules.totals import Total, totals

# Ultrasound gives values below zero (to −5 mm in never-pregnant women: Woxnerud 2023); the other
# end is common practice, no source: it catches centimetres typed as something else.
LEAST_MM, MOST_MM = -10, 150
MOST_FINGERS = 10
LEAST_EFFORT, MOST_EFFORT = 0, 10
LEAST_PULSE, MOST_PULSE = 25, 220
MOST_TEST = 600
LEAST_FINGER_MM, MOST_FINGER_MM = 8, 30  # one finger; common practice, no source
LONGEST_NOTE = 2000
TENSION, EFFORT, PULSE, NOTE = "tension", "effort", "pulse", "note"
NEXT_DAY, NEXT_DAY_ON = "next_day", "next_day_on"
ABOUT = (NOTE, NEXT_DAY, NEXT_DAY_ON)  # no measurement by themselves


@dataclass(frozen=True, slots=True)
class Own:
    """A measure of the practice's own. `better`: "more", "less" or "" (neither)."""

    pk: int
    name: str
    unit: str = ""
    better: str = ""
    least: Decimal | None = None
    most: Decimal | None = None

    @property
    def field(self) -> str:
        """The code under which it is kept."""
        return f"own-{self.pk}"


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What this practice measures: its sites from above to below, its own measures by id, and what
    it asks in a test where that differs from the data.
    """

    sites: tuple[str, ...]
    own: Mapping[int, Own] = field(default_factory=dict)
    amounts: Mapping[str, int] = field(default_factory=dict)

    def amount(self, test: ImpactTest) -> int:
        """What is asked in a test."""
        return self.amounts.get(test.code, test.amount)


@dataclass(frozen=True, slots=True)
class Measured:
    """One assessment as kept. `who` measured ("coach", "client", "clinician"), `by` name; `method`
    and `position` of the widths; `finger_mm`: the width of that person's finger, None: not known.

    `finished`: False while it is still being taken.
    """

    pk: int
    day: date
    values: Mapping[str, Any]
    by: str = ""
    who: str = ""
    method: str = ""
    position: str = ""
    finger_mm: int | None = None
    finished: bool = True
    origin: str = ""
    at: datetime | None = None

    @property
    def unit(self) -> str:
        """What its widths are kept in: "mm" or "fingers". Records without a method are in mm."""
        found = scheme().methods.get(self.method)
        return found.unit if found else MM

    @property
    def shown_in(self) -> str:
        """What its widths are shown in: fingers turn into mm only with that person's own width."""
        return MM if self.unit == MM or self.finger_mm else FINGERS

    def width(self, site: str, state: str = REST) -> float | None:
        """A width as it was taken, in `unit`."""
        value = self.values.get(width_field(site, state))
        return None if value is None else float(value)

    def shown(self, site: str, state: str = REST) -> float | None:
        """A width in `shown_in`: 2.5 fingers of 16 mm are 40 mm."""
        value = self.width(site, state)
        if value is None or self.unit == MM or not self.finger_mm:
            return value
        return value * self.finger_mm

    def answer(self, code: str) -> str:
        """ "yes", "no" or "": not asked."""
        return str(self.values.get(code, ""))

    @property
    def measured(self) -> bool:
        """Whether anything was measured or answered at all."""
        return bool(set(self.values) - set(ABOUT))


def width_field(site: str, state: str = REST) -> str:
    """The code of a width: "width-navel-rest"."""
    return f"width-{site}-{state}"


def read(code: str, raw: str, known: Catalogue) -> Any:
    """The value that a text stands for, None for an empty one (not asked).

    ValueError with a sentence for what cannot be; KeyError for a code that there is not.
    """
    reader = _reader(code, known)
    text = raw.strip()
    return reader(text) if text else None


def _reader(code: str, known: Catalogue) -> Any:
    kind, _, rest = code.partition("-")
    if code in _SIMPLE:
        return _SIMPLE[code]
    if code in scheme().answers:
        return _yes_no
    if kind == "width":
        site, _, state = rest.rpartition("-")
        _ = scheme().sites[site], scheme().states[state]
        return _width
    if kind == "test":
        test, _, part = rest.rpartition("-")
        return _test_reader(impact_tests()[test], part)
    if kind == "total":
        return _total_reader(totals()[rest])
    if kind == "own":
        return _own_reader(known.own[int(rest)])
    raise KeyError(code)


def _test_reader(test: ImpactTest, part: str) -> Any:
    if test.field(part) not in test.fields:
        raise KeyError(part)
    return _yes_no if part in {SYMPTOM, OFFERED} else _between(0, MOST_TEST)


def _total_reader(total: Total) -> Any:
    def reader(text: str) -> int | float:
        value = _number(text)
        if wrong := total.wrong(value):
            raise ValueError(wrong)
        return _plain(value)

    return reader


def _own_reader(own: Own) -> Any:
    def reader(text: str) -> int | float:
        value = _number(text)
        if own.least is not None and value < own.least:
            raise ValueError(f"At least {own.least:f}.")
        if own.most is not None and value > own.most:
            raise ValueError(f"At most {own.most:f}.")
        return _plain(value)

    return reader


def _number(text: str) -> Decimal:
    try:
        value = Decimal(text.replace(",", ".").replace("−", "-"))
    except InvalidOperation:
        raise ValueError("Write a number.") from None
    if not value.is_finite() or abs(value) >= 10**6:
        raise ValueError("Write a number.")
    if value != round(value, 2):
        raise ValueError("At most two decimals.")
    return value


def _plain(value: Decimal) -> int | float:
    """As it is kept: whole where it is whole."""
    return int(value) if value == int(value) else float(value)


def _width(text: str) -> int | float:
    value = _number(text)
    if not LEAST_MM <= value <= MOST_MM:
        raise ValueError(f"Write {LEAST_MM} to {MOST_MM}.".replace("-", "−"))
    return _plain(value)


def _between(least: int, most: int) -> Any:
    def reader(text: str) -> int:
        value = _number(text)
        if value != int(value) or not least <= value <= most:
            raise ValueError(f"Write a whole number from {least} to {most}.")
        return int(value)

    return reader


def _yes_no(text: str) -> str:
    return _one_of(text, (YES, NO))


def _tension(text: str) -> str:
    return _one_of(text, scheme().tension)


def _one_of(text: str, codes: Iterable[str]) -> str:
    if text not in codes:
        raise ValueError("Choose one of these.")
    return text


def _note(text: str) -> str:
    if len(text) > LONGEST_NOTE:
        raise ValueError(f"Write at most {LONGEST_NOTE} letters.")
    return text


_SIMPLE = {
    TENSION: _tension,
    EFFORT: _between(LEAST_EFFORT, MOST_EFFORT),
    PULSE: _between(LEAST_PULSE, MOST_PULSE),
    NOTE: _note,
}


def problems(one: Measured, *, today: date) -> list[Problem]:
    """Everything that speaks against keeping an assessment as finished, each beside its field.

    `today` is the latest date it is where she or the coach is.
    """
    return [*_against_values(one), *_against_who(one), *_against_day(one.day, today)]


def widths_of(one: Measured) -> dict[str, Any]:
    """Its widths by their codes."""
    return {code: value for code, value in one.values.items() if code.startswith("width-")}


def _against_values(one: Measured) -> Iterator[Problem]:
    if not one.measured:
        yield Problem("", "Nothing is measured: fill in at least one value or answer.")
    widths = widths_of(one)
    if widths and one.method not in scheme().methods and not one.origin:
        yield Problem("method", "Say what the width was measured with.")
    if widths and one.position not in scheme().positions and not one.origin:
        yield Problem("position", "Say how she lay or stood.")
    for code, value in widths.items():
        in_halves = value * 2 == int(value * 2) and 0 <= value <= MOST_FINGERS
        if one.unit == FINGERS and not in_halves:
            yield Problem(code, f"Half fingers, 0 to {MOST_FINGERS}.")


def _against_who(one: Measured) -> Iterator[Problem]:
    if one.who not in {COACH, HERSELF, CLINICIAN}:
        yield Problem("who", "Say who measured.")
    if one.who != HERSELF and not one.by.strip():
        yield Problem("by", "Say the name of who measured.")
    finger = one.finger_mm
    if finger is not None and not LEAST_FINGER_MM <= finger <= MOST_FINGER_MM:
        least_most = f"{LEAST_FINGER_MM} to {MOST_FINGER_MM}"
        yield Problem("finger_mm", f"The width of one finger in millimetres, {least_most}.")


def _against_day(day: date, today: date) -> Iterator[Problem]:
    if day > today:
        yield Problem("day", "That day has not come yet.")
    elif (today - day).days > LONGEST_AGO_DAYS:
        yield Problem("day", "That is over 40 years ago: check the year.")
