"""The register: everybody being coached by her go-ahead, for a page, for print and as a table."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from clients.queries.days import practice_today
from clients.queries.go_ahead import ClientGoAhead, go_aheads, policies
from clients.queries.roster import roster
from clients.rules.go_ahead_words import STRICTEST_FIRST, limit_words, sentence, span_words
from clients.rules.roster import CURRENT, Line, Person, fold
from coach.scheduling.values import GoAheadWord


@dataclass(frozen=True, slots=True)
class RegisterRow:
    """One client: her line as on the roster, and what may be told beside her word.

    `limits` in words; `span` is "Since 3 December 2026, until 1 March 2027", `until` that last day
    where there is one, never one that comes from a due date. These are empty for who may not see
    limits; `unchecked`, what the practice has switched off, is told to all who read a word.
    """

    line: Line
    limits: str = ""
    span: str = ""
    until: date | None = None
    unchecked: tuple[str, ...] = ()

    @property
    def word(self) -> GoAheadWord | None:
        """Her word, by which the register is in groups."""
        return self.line.word

    @property
    def person(self) -> Person:
        """Who she is."""
        return self.line.person


def register_rows(
    *, with_stage: bool, with_limits: bool, standing: str = CURRENT
) -> list[RegisterRow]:
    """Everybody at this moment: those on hold first, in each group whose word ends soonest first.

    The number of queries does not depend on the number of clients. With limits the word is worked
    out from the facts, without them it is the stored one.
    """
    today = practice_today()
    lines = roster(today, standing=standing, with_stage=with_stage).lines
    unchecked = policies().on(today).unchecked
    found = {one.client.pk: one for one in go_aheads(standing=None)} if with_limits else {}
    rows = (_row(line, found.get(line.person.pk), today) for line in lines)
    return sorted((replace(row, unchecked=unchecked) for row in rows), key=_place)


def _row(line: Line, one: ClientGoAhead | None, today: date) -> RegisterRow:
    if one is None:
        return RegisterRow(line)
    limits = limit_words(one.found.limits, quiet=one.quiet)
    return RegisterRow(
        line.with_word(one.found.word),
        limits=sentence("; ".join(limits)),
        span=span_words(one.found, today, quiet=one.quiet),
        until=one.found.until,
    )


def _place(row: RegisterRow) -> tuple[int, date, str, int]:
    word = STRICTEST_FIRST.index(row.word) if row.word in STRICTEST_FIRST else 0
    return word, row.until or date.max, fold(row.person.name), row.person.pk
