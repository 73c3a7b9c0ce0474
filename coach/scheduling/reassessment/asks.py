"""Every rule of reassessment asked about one client on one day. Pure; the rules stand at `due`."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from coach.scheduling.reassessment.history import History
from coach.scheduling.reassessment.rules import COMMON, HERS, OURS, Rules
from coach.scheduling.reassessment.run import Run
from coach.scheduling.values import Finding, Severity, Stage

SIGN, SYMPTOM, BACK, FIRST = "sign", "symptom", "back", "first"
FOUND, INTERVAL, CHANGED = "finding", "interval", "stage"
# Of rules that ask for the same day the more pressing is told first.
_PRESSING = (SIGN, SYMPTOM, BACK, FIRST, FOUND, INTERVAL, CHANGED)
_MARKS = {COMMON: "common practice", OURS: "this practice’s own", HERS: HERS}


@dataclass(frozen=True, slots=True, order=True)
class Ask:
    """One rule's day. `pressing`: the smaller the more, among those of a day."""

    day: date
    pressing: int
    reason: str
    finding: Finding = field(compare=False)

    @classmethod
    def of(cls, kind: str, day: date, reason: str, source: str) -> Ask:
        """What one rule asks for a day, in its words."""
        severity = Severity.CAUTION if kind in {SIGN, SYMPTOM} else Severity.NOTE
        return cls(day, _PRESSING.index(kind), reason, Finding(kind, severity, reason, source))


@dataclass(frozen=True, slots=True)
class Asking:
    """Every rule, each by itself; `run` None: her stage is not known."""

    known: History
    run: Run | None
    rules: Rules
    today: date

    def all(self) -> Iterator[Ask]:
        """What every rule asks, in no order."""
        yield from self._signs()
        yield from self._symptoms()
        yield from self._back()
        yield from self._found()
        if self.known.last is None:
            yield self._first()
        else:
            yield from self._interval(self.known.last)
            yield from self._changed(self.known.last)

    def _first(self) -> Ask:
        came, allowed = self.known.since or self.today, self.known.go_ahead_on
        of = f"{self._day(came)}, the day she came"
        if allowed and came < allowed <= self.today:
            came, of = allowed, f"her go-ahead of {self._day(allowed)}"
        by = self._by_the_end(self._opened(came + self.rules.wait("first_days")))
        days = _count(self.rules.number("first_days"), "day")
        mark = _mark(source := self._source("first_days"))
        reason = f"No assessment on file yet; within {days} of {of} ({mark})"
        return Ask.of(FIRST, by, reason, source)

    def _signs(self) -> Iterator[Ask]:
        for day in sorted(set(self.known.signs_answered)):
            if day <= self.today and self.known.unmet(day):
                answered = f"A warning sign was answered on {self._day(day)}"
                reason = f"{answered}; {self._within('sign_days')}"
                by = self._soon(day + self.rules.wait("sign_days"))
                yield Ask.of(SIGN, by, reason, self._source("sign_days"))

    def _back(self) -> Iterator[Ask]:
        back, left = self.known.back_on, self.known.away_from
        if back is None or back > self.today or not self.known.unmet(back):
            return
        if left and back - left < self.rules.wait("back_weeks"):
            return
        away = f"after {_count((back - left).days // 7, 'week')} away" if left else "after a pause"
        reason = f"Back on {self._day(back)} {away}; {self._within('back_days')}"
        by, rare = self._rarely(self._soon(back + self.rules.wait("back_days")))
        yield Ask.of(BACK, self._by_the_end(by), reason + rare, self._source("back_days"))

    def _symptoms(self) -> Iterator[Ask]:
        for (begins, last), words in self._open(symptom=True):
            reason = f"{words}, last said on {self._day(last)}; {self._within('symptom_days')}"
            by = self._soon(begins + self.rules.wait("symptom_days"))
            yield Ask.of(SYMPTOM, by, reason, self._source("symptom_days"))

    def _found(self) -> Iterator[Ask]:
        for (begins, last), words in self._open(symptom=False):
            again = f"again after {self._number('finding_weeks')}"
            reason = f"{words}, found on {self._day(last)}; {again}"
            day = begins + self.rules.wait("finding_weeks")
            yield self._routine(FOUND, day, reason, self._source("finding_weeks"))

    def _interval(self, last: date) -> Iterator[Ask]:
        """Nothing where the last one was before this run, or its stage asks for none."""
        if self.run and last < self.run.start:
            return
        rule = self.rules.stages[self.run.stage(last) if self.run else Stage.UNKNOWN]
        if rule.every_weeks:
            weeks = self.known.every_weeks or rule.every_weeks
            source = HERS if self.known.every_weeks else rule.source
            every = f"Every {_count(weeks, 'week')} ({_mark(source)})"
            reason = f"{every}; last measured on {self._day(last)}"
            yield self._routine(INTERVAL, last + timedelta(weeks=weeks), reason, source)

    def _changed(self, last: date) -> Iterable[Ask]:
        """The stages of this run that begin after the last one; two that ask on one day once."""
        asked: dict[date, Ask] = {}
        for begins, stage in self.run.stages if self.run else ():
            if self.run and self.run.day(begins) > last:
                rule = self.rules.stages[stage]
                weeks = begins + rule.after_weeks
                day = self.run.day(weeks)
                passed = f"{'Passed' if day <= self.today else 'Passes'} {_count(weeks, 'week')}"
                reason = f"{passed} on {self._day(day)}; last measured {self._at(self.run, last)}"
                asked[day] = self._routine(CHANGED, day, reason, rule.source)
        return asked.values()

    def _open(self, *, symptom: bool) -> list[tuple[tuple[date, date], str]]:
        """What is open of one sort, in words, by the day it counts from and the last it was found.

        It counts from the day it began, so that finding it again puts nothing off; or from the
        last finished assessment.
        """
        found: defaultdict[tuple[date, date], list[str]] = defaultdict(list)
        for one in self.known.findings:
            if one.symptom is symptom:
                found[max(one.since, self.known.last or one.since), one.day].append(one.words)
        return [(days, _sentence(words)) for days, words in sorted(found.items())]

    def _routine(self, kind: str, day: date, reason: str, source: str) -> Ask:
        """Not before routine ones are asked for in this run, and at most every so many weeks."""
        by, rare = self._rarely(self._opened(day))
        return Ask.of(kind, by, reason + rare, source)

    def _rarely(self, day: date) -> tuple[date, str]:
        """Not sooner after the last one than they may follow, and the words for it if so."""
        last = self.known.last
        if last is None or day >= (earliest := last + self.rules.wait("least_weeks")):
            return day, ""
        return earliest, f"; at most every {self._number('least_weeks')}"

    def _opened(self, day: date) -> date:
        return max(day, self.run.opens(self.rules)) if self.run else day

    def _soon(self, day: date) -> date:
        """However soon, but not in weeks in which nothing is asked, and by the due date."""
        return self._by_the_end(max(day, self.run.closed_until(self.rules)) if self.run else day)

    def _by_the_end(self, day: date) -> date:
        return min(day, self.run.last_day) if self.run and self.run.last_day else day

    def _within(self, name: str) -> str:
        return f"within {self._number(name)}"

    def _number(self, name: str) -> str:
        """ "7 days (common practice)"."""
        unit = "day" if name.endswith("_days") else "week"
        return f"{_count(self.rules.number(name), unit)} ({_mark(self._source(name))})"

    def _source(self, name: str) -> str:
        return self.rules.numbers[name].source

    def _at(self, run: Run, last: date) -> str:
        if last < run.start:
            return f"on {self._day(last)}"
        weeks = run.weeks(last)
        return f"at {_count(weeks, 'week') if weeks else _count((last - run.start).days, 'day')}"

    def _day(self, day: date) -> str:
        """ "24 November", with the year if it is not this one."""
        same = day.year == self.today.year
        return f"{day.day} {day:%B}" if same else f"{day.day} {day:%B %Y}"


def _sentence(words: list[str]) -> str:
    told = ", ".join(dict.fromkeys(words))
    return told[:1].upper() + told[1:]


def _mark(source: str) -> str:
    return _MARKS.get(source, source)


def _count(n: int, unit: str) -> str:
    return f"{n} {unit}" if n == 1 else f"{n} {unit}s"
