"""The page of an assessment as its template reads it: sections of lines, in the order of use."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from functools import cached_property
from typing import Any

from clients.forms.assessment_lines import NOT_ASKED, YES_NO, Beside, Line, TestLine
from clients.forms.assessment_texts import begins_with, stored_texts
from clients.queries.entry import EntryFacts
from clients.rules.assessment import (
    EFFORT,
    NOTE,
    PULSE,
    TENSION,
    Measured,
    read,
    width_field,
    widths_of,
)
from clients.rules.entry_words import (
    asked_of,
    came_to,
    date_words,
    effort_choices,
    how_words,
    last_answer,
    reasons,
    test_words,
    text_of,
)
from clients.rules.findings import summary
from clients.rules.happened import HIDDEN
from clients.rules.impact_tests import (
    OFFERED,
    SYMPTOM,
    ImpactTest,
    impact_tests,
)
from clients.rules.measured_words import in_unit, line_of, number_words, way_words
from clients.rules.measuring import CLINICIAN, COACH, LIFT, MM, NO, REST, scheme
from clients.rules.totals import totals
from clients.rules.words import says_too_much, unless_quiet

SYMPTOMS = ("leaking", "heaviness", "pain", "urgency")
DOMING, GIRDLE, BLEEDING = "doming", "girdle", "bleeding"
HOW = ("method", "position", "who", "by", "finger_mm")
_NO_NAME = "a measure that is not named while quiet is on"
_LEGS = {"left": "left", "right": "right", "amount": "in all"}


class Entry:
    """The page: `typed` is what a request held, over what is kept; `you` the coach's name."""

    def __init__(
        self,
        facts: EntryFacts,
        *,
        you: str,
        today: date,
        typed: Mapping[str, str] | None = None,
        beside: Beside | None = None,
    ) -> None:
        self.facts, self.you, self.today = facts, you, today
        self.quiet = bool(facts.client.quiet)
        self.beside = beside or Beside()
        stored = stored_texts(facts, you) if facts.row else begins_with(facts, self.widths_before)
        self.texts = {**stored, **(typed or {})}

    # what was before

    @cached_property
    def widths_before(self) -> Measured | None:
        """The last one in which a width was taken."""
        return next((one for one in self.facts.earlier if widths_of(one)), None)

    @cached_property
    def _said_before(self) -> Any:
        return summary(self.facts.earlier, self.facts.known)

    def _before(self, code: str) -> tuple[Any, str]:
        """The last value under a code, and its day in words."""
        for one in self.facts.earlier:
            if (value := one.values.get(code)) is not None:
                return value, date_words(one.day, self.today)
        return None, ""

    # how it is taken

    @cached_property
    def now(self) -> Measured:
        """It as it stands in the fields, as far as it can be read."""
        row, text = self.facts.row, self.texts
        who, typed_finger = text.get("who", ""), text.get("finger_mm", "")
        mine = not text.get("origin") and text.get("by", "").strip() in {"", self.you}
        finger = self.facts.fingers.get(who) if who != COACH or mine else None
        if row and row.finger_mm and row.who == who:
            finger = row.finger_mm
        if who == CLINICIAN:
            finger = int(typed_finger) if typed_finger.isdecimal() else None
        return Measured(
            pk=0,
            day=self.facts.day,
            values=self._readable,
            by=text.get("by", "") or (self.you if who == COACH and mine else ""),
            who=who,
            method=text.get("method", ""),
            position=text.get("position", ""),
            finger_mm=finger,
            origin=text.get("origin", ""),
        )

    @property
    def _readable(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for code, text in self.texts.items():
            try:
                found[code] = read(code, text, self.facts.known)
            except (KeyError, ValueError):
                continue
        return {code: value for code, value in found.items() if value is not None}

    @property
    def how(self) -> str:
        """ "calliper, on her back, knees bent, you"; how it is taken has to be said while ""."""
        words = how_words(self.now, you=self.you) if self.now.method else ""
        return unless_quiet(words, quiet=self.quiet, instead="as before")

    @property
    def how_open(self) -> bool:
        """Whether the fields of how it is taken stand open."""
        return not self.now.method or not self.now.position or self.beside.within(HOW)

    @property
    def method(self) -> Line:
        """What the width is measured with."""
        choices = [(one.code, one.words) for one in scheme().methods.values()]
        return self._line("method", "Measured with", choices=choices)

    @property
    def position(self) -> Line:
        """How she lies or stands."""
        return self._line("position", "How she is", choices=tuple(scheme().positions.items()))

    @property
    def who(self) -> Line:
        """Who measures."""
        words = {**scheme().who, COACH: "you or another coach"}
        return self._line("who", "Who measures", choices=tuple(words.items()))

    @property
    def by(self) -> Line:
        """The name of who measures, where it is neither the coach nor the client."""
        hint = "Empty: you. Of a clinician or another coach, write it."
        return self._line("by", "Name", hint=hint)

    @property
    def finger(self) -> Line:
        """The finger of a clinician."""
        value = self.texts.get("finger_mm", "") if self.now.who == CLINICIAN else ""
        line = self._line("finger_mm", "Width of the clinician’s finger", unit=MM)
        return replace(line, value=value)

    @property
    def same_way(self) -> bool:
        """Whether it is taken as the last widths were: only then are they taken over."""
        before = self.widths_before
        return before is not None and line_of(before) == line_of(self.now)

    @property
    def unit(self) -> str:
        """What widths are typed in: "mm" or "fingers"."""
        return self.now.unit

    @property
    def finger_unknown(self) -> str:
        """Whose finger would have to be known to turn fingers into mm; "" where nobody's."""
        in_fingers = self.unit != MM and not self.now.finger_mm
        return self.now.who if in_fingers else ""

    @property
    def otherwise(self) -> str:
        """How the last widths were taken, and when."""
        before = self.widths_before
        return f"{date_words(before.day, self.today)}: {way_words(before)}" if before else ""

    # the measures

    @property
    def widths(self) -> list[Line]:
        """At rest, at each site."""
        return self._widths(REST)

    @property
    def lifts(self) -> list[Line]:
        """On a head lift, at each site."""
        return self._widths(LIFT)

    @property
    def lifts_open(self) -> bool:
        """Whether they were taken last time, or are taken now."""
        before = self.widths_before.values if self.widths_before else {}
        codes = [line.code for line in self.lifts]
        return self.beside.within(codes) or any(
            code in before or self.texts.get(code) for code in codes
        )

    def _widths(self, state: str) -> list[Line]:
        kept = self.facts.row.measures if self.facts.row else {}
        return [
            self._width(width_field(code, state), site.words)
            for code, site in scheme().sites.items()
            if code in self.facts.known.sites or width_field(code, state) in kept
        ]

    def _width(self, code: str, words: str) -> Line:
        before = self.widths_before
        value = before.values.get(code) if before else None
        was = f"last {in_unit(value, before.unit)}" if before and value is not None else ""
        return self._line(code, words, take=text_of(value), was=was)

    def _asked(self, code: str) -> Line:
        was = last_answer(self._said_before.answer(code), self.today)
        return self._line(code, scheme().answers[code].ask, choices=YES_NO, was=was)

    @property
    def doming(self) -> Line:
        """Seen on a head lift."""
        return self._asked(DOMING)

    @property
    def tension(self) -> Line:
        """How it feels under the fingers."""
        value, day = self._before(TENSION)
        was = f"last: {scheme().tension[value]}, {day}" if value else ""
        choices = (*scheme().tension.items(), NOT_ASKED)
        return self._line(TENSION, "Under the fingers", choices=choices, was=was)

    @property
    def symptoms(self) -> list[Line]:
        """As she reports them; nothing is chosen beforehand."""
        codes = [*SYMPTOMS, GIRDLE]
        if self.facts.after or self.texts.get(BLEEDING):
            codes.append(BLEEDING)
        return [self._asked(code) for code in codes]

    @property
    def effort(self) -> Line:
        """0 to 10, in words of our own."""
        value, _ = self._before(EFFORT)
        return self._line(
            EFFORT, "How hard the training feels", choices=effort_choices(),
            take=text_of(value), was="" if value is None else f"last {value}",
        )  # fmt: skip

    @property
    def numbers(self) -> list[Line]:
        """Her pulse and the practice's own measures."""
        own = [
            self._number(one.field, unless_quiet(one.name, quiet=self.quiet, instead=_NO_NAME),
                         unless_quiet(one.unit, quiet=self.quiet))
            for one in self.facts.known.own.values()
            if one.pk in self.facts.asked or self.texts.get(one.field)
        ]  # fmt: skip
        return [self._number(PULSE, "Pulse at rest", "beats a minute"), *own]

    @property
    def totals(self) -> list[Line]:
        """Totals of questionnaires of others."""
        return [
            replace(
                self._number(one.field, one.name, ""),
                hint=f"{one.about}, {one.least} to {one.most}",
            )
            for one in totals().values()
        ]

    @property
    def totals_open(self) -> bool:
        """Whether a total is there, or wants a look."""
        return any(line.value or line.wants_a_look for line in self.totals)

    def _number(self, code: str, words: str, unit: str) -> Line:
        value, _ = self._before(code)
        was = "" if value is None else f"last {number_words(value)}"
        return self._line(code, words, unit=unit, take=text_of(value), was=was)

    # the tests

    @property
    def tests(self) -> list[TestLine]:
        """Those offered to her, and those of which something is kept."""
        return [self._test(one) for one in impact_tests().values() if self._shows(one)]

    @property
    def tests_open(self) -> bool:
        """Whether something of them is there, or wants a look."""
        codes = [code for one in impact_tests().values() for code in one.fields]
        return self.beside.within(codes) or any(self.texts.get(code) for code in codes)

    @property
    def closed(self) -> list[tuple[str, str]]:
        """Why the others are not offered: each reason with its tests."""
        hidden = (one.code for one in impact_tests().values() if not self._shows(one))
        return reasons((code, self.facts.closed[code]) for code in hidden)

    def _shows(self, test: ImpactTest) -> bool:
        return not self.facts.closed[test.code] or any(map(self.texts.get, test.fields))

    def _test(self, test: ImpactTest) -> TestLine:
        amount = str(self.facts.known.amount(test))
        legs = tuple(
            self._line(test.field(part), _LEGS[part], unit=test.unit, take=amount, was=amount)
            for part in test.parts
        )
        return TestLine(
            test,
            asked_of(test, self.facts.known),
            legs,
            self._line(test.field(SYMPTOM), "Symptoms in it", choices=YES_NO),
            self._line(test.field(OFFERED), "left out today", choices=((NO, ""),)),
            test_words(test, self.now, self.facts.known),
        )

    # the rest

    @property
    def note(self) -> Line:
        """What she wants to remember of it."""
        return self._written(NOTE, "Note")

    @property
    def day(self) -> Line:
        """The day on which it was taken."""
        return self._line("day", "Day")

    @property
    def origin(self) -> Line:
        """Whose record it was before."""
        hint = "Only for a record from before: whose it was."
        return replace(self._written("origin", "Handed over by"), hint=hint)

    def _written(self, code: str, words: str) -> Line:
        """Left out, and kept as it is, where a quiet page may not hold it."""
        line = self._line(code, words)
        hides = self.quiet and says_too_much(line.value)
        return replace(line, value="", hidden=True, told=HIDDEN) if hides else line

    def _line(self, code: str, words: str, **more: Any) -> Line:
        return Line(
            code,
            words,
            value=self.texts.get(code, ""),
            told=came_to(code, self.now, self.facts.known),
            problems=self.beside.problems.get(code, ()),
            question=self.beside.questions.get(code),
            **more,
        )

    @property
    def wrong(self) -> Iterable[str]:
        """What belongs to no field of the page."""
        return self.beside.problems.get("", ())

    @property
    def _lines(self) -> Iterator[Line]:
        yield from (self.method, self.position, self.who, self.by, self.finger)
        yield from (*self.widths, *self.lifts, self.doming, self.tension, *self.symptoms)
        yield from (self.effort, *self.numbers, *self.totals)
        for test in self.tests:
            yield from (*test.legs, test.symptom, test.offered)
        yield from (self.note, self.day, self.origin)

    @property
    def looks(self) -> list[Line]:
        """Every field that wants another look."""
        return [one for one in self._lines if one.wants_a_look]

    def lines_of(self, codes: Iterable[str]) -> list[Line]:
        """The fields of some codes, and every width: what they come to follows how it is taken."""
        wanted = set(codes)
        widths = {one.code for one in (*self.widths, *self.lifts)} if wanted & set(HOW) else set()
        return [one for one in self._lines if one.code in wanted | widths]
