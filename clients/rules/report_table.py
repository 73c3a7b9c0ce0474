"""The assessments of a report as a table, the latest first. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from clients.rules.assessment import EFFORT, Catalogue, Measured
from clients.rules.impact_tests import Result, grade, impact_tests
from clients.rules.measured_words import in_unit, number_words
from clients.rules.measuring import LIFT, REST, YES, Site, scheme
from clients.rules.report_said import TAKEN
from clients.rules.report_told import Told
from clients.rules.report_way import short_person
from clients.rules.report_words import NUMBERS, SYMPTOMS, TESTS, WIDTHS

NOT_ASKED, NOTHING = "not asked", "–"


@dataclass(frozen=True, slots=True)
class Table:
    """Columns with their shares of the width, and rows; `many` assessments there are in all."""

    head: tuple[str, ...] = ()
    shares: tuple[int, ...] = ()
    rows: tuple[tuple[str, ...], ...] = field(default=())
    many: int = 0
    key: str = ""

    @property
    def starts(self) -> tuple[float, ...]:
        """Where each column begins, as a share of the width."""
        whole = sum(self.shares)
        return tuple(sum(self.shares[:n]) / whole for n in range(len(self.shares)))

    def latest(self, most: int) -> Table:
        """The table with its latest rows only."""
        return replace(self, rows=self.rows[:most])

    @property
    def note(self) -> str:
        """That it holds the latest only, and how its cells are read."""
        if self.many == len(self.rows):
            return self.key
        part = f"The latest {len(self.rows)} of {self.many} assessments"
        return f"{part}; the changes above and the charts are made from all {self.many}. {self.key}"


def table_of(told: Told, known: Catalogue, *, most: int) -> Table:
    """The latest assessments, a row each, with columns for the parts that are wanted."""
    latest = list(reversed(told.ones))[:most]
    columns = [
        ("Day", 15, [told.brief(one.day) for one in latest]),
        ("By", 17, [short_person(one, told.voice, quiet=told.quiet) for one in latest]),
        *_widths(told, latest),
        *_said(told, latest, known),
    ]
    heads, shares, cells = zip(*columns, strict=True)
    rows = tuple(zip(*cells, strict=True))
    key = "Widths: at rest / on a head lift." if WIDTHS in told.wanted else ""
    return Table(heads, shares, rows, len(told.ones), key)


Column = tuple[str, int, list[str]]


def _widths(told: Told, latest: Sequence[Measured]) -> list[Column]:
    """A column for each place where a width was taken, from above to below."""
    if WIDTHS not in told.wanted:
        return []
    cells = [(site, [_width(one, site) for one in latest]) for site in scheme().sites.values()]
    return [(site.short, 17, column) for site, column in cells if set(column) != {NOTHING}]


def _width(one: Measured, site: Site) -> str:
    rest, lift = one.shown(site.code, REST), one.shown(site.code, LIFT)
    if rest is None and lift is None:
        return NOTHING
    if lift is None:
        return in_unit(rest or 0, one.shown_in)
    left = NOTHING if rest is None else number_words(rest)
    return f"{left} / {in_unit(lift, one.shown_in)}"


def _said(told: Told, latest: Sequence[Measured], known: Catalogue) -> list[Column]:
    found: list[Column] = []
    if SYMPTOMS in told.wanted:
        codes = [one.code for one in told.symptoms]
        found.append(("Felt", 26, [_felt(one, codes) for one in latest]))
    if TESTS in told.wanted and told.results:
        found.append(("Tests passed", 14, [_tests(one, known) for one in latest]))
    if NUMBERS in told.wanted and any(EFFORT in one.values for one in latest):
        found.append(("Effort", 9, [str(one.values.get(EFFORT, NOTHING)) for one in latest]))
    return found


def _felt(one: Measured, codes: Sequence[str]) -> str:
    asked = [code for code in codes if one.answer(code)]
    felt = [scheme().answers[code].finding for code in asked if one.answer(code) == YES]
    if not asked:
        return NOT_ASKED
    of_all = "" if len(asked) == len(codes) else f" (of {len(asked)} asked)"
    return f"{', '.join(felt) or 'nothing'}{of_all}"


def _tests(one: Measured, known: Catalogue) -> str:
    found = [grade(test, one.values, known.amount(test)) for test in impact_tests().values()]
    taken = [result for result in found if result in TAKEN]
    passed = sum(result is Result.PASS for result in taken)
    return f"{passed} of {len(taken)}" if taken else NOT_ASKED
