"""What she said and what tests came to in a report's time, each with its days. Pure.

"Not asked" is never "no": an answer stands on its own day, and what was not asked since says so.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from clients.rules.assessment import NEXT_DAY, NEXT_DAY_ON, TENSION, Catalogue, Measured
from clients.rules.impact_tests import SYMPTOM, ImpactTest, Result, grade, impact_tests
from clients.rules.measuring import NO, YES, Asked, scheme

Brief = Callable[[date], str]
"""A day as the report prints it."""
TAKEN = frozenset({Result.PASS, Result.FAIL, Result.INCOMPLETE})


@dataclass(frozen=True, slots=True)
class Run:
    """The same answer `count` times in a row."""

    answer: str
    first: date
    last: date
    count: int


@dataclass(frozen=True, slots=True)
class Said:
    """One question in a report's time: its answers in runs; `before` the last one before it.

    `after`: the days of assessments since it was last asked.
    """

    code: str
    finding: str
    runs: tuple[Run, ...]
    before: tuple[date, str] | None
    after: tuple[date, ...]

    @property
    def last(self) -> Run | None:
        """The last run; None: it was not asked in this time."""
        return self.runs[-1] if self.runs else None

    @property
    def felt(self) -> bool:
        """Whether the last answer in this time is yes."""
        return self.last is not None and self.last.answer == YES

    @property
    def gone(self) -> bool:
        """Whether it was yes before, in this time or as it began, and its last answer is no."""
        was = len(self.runs) > 1 or (self.before is not None and self.before[1] == YES)
        return self.last is not None and self.last.answer == NO and was

    @property
    def ever(self) -> bool:
        """Whether it was ever asked."""
        return bool(self.runs or self.before)


def questions(*, symptoms: bool, after: bool) -> list[Asked]:
    """What she feels, or what is seen; `after`: with what is asked after an end only."""
    return [
        one for one in scheme().answers.values()
        if one.symptom is symptoms and (after or not one.phase)
    ]  # fmt: skip


def said_of(code: str, finding: str, inside: Sequence[Measured],
            earlier: Sequence[Measured]) -> Said:  # fmt: skip
    """What was answered to a question, from assessments in their order."""
    told = [(one.day, one.answer(code)) for one in inside if one.answer(code)]
    before = [(one.day, one.answer(code)) for one in earlier if one.answer(code)]
    days = sorted({one.day for one in inside})
    after = tuple(day for day in days if told and day > told[-1][0])
    return Said(code, finding, tuple(_runs(told)), before[-1] if before else None, after)


def _runs(told: Sequence[tuple[date, str]]) -> Iterator[Run]:
    for answer, group in groupby(told, key=lambda pair: pair[1]):
        days = [day for day, _ in group]
        yield Run(answer, days[0], days[-1], len(days))


def said_words(said: Said, brief: Brief) -> str:
    """ "yes on 3 Oct, no since 5 Nov", "no on 3 Nov; not asked on 3 Dec"."""
    if said.last is None:
        told = f"; {said.before[1]} on {brief(said.before[0])}" if said.before else ""
        return f"not asked in this time{told}"
    few = len(said.runs) <= 2
    words = ", ".join(_few(said.runs, brief)) if few else _many(said.runs, brief)
    return f"{words}{_not_since(said.after, brief)}"


def _few(runs: Sequence[Run], brief: Brief) -> Iterator[str]:
    for run in runs[:-1]:
        many = f"from {brief(run.first)} to {brief(run.last)}"
        yield f"{run.answer} {many if run.count > 1 else f'on {brief(run.first)}'}"
    yield run_words(runs[-1], brief)


def run_words(run: Run, brief: Brief) -> str:
    """ "no since 5 Nov (asked 3 times)", "no on 5 Nov"."""
    if run.count == 1:
        return f"{run.answer} on {brief(run.last)}"
    return f"{run.answer} since {brief(run.first)} (asked {run.count} times)"


def _many(runs: Sequence[Run], brief: Brief) -> str:
    asked = sum(run.count for run in runs)
    yes = [run for run in runs if run.answer == YES]
    felt = f"yes {sum(run.count for run in yes)} of {asked} times asked"
    last = runs[-1]
    if last.answer == YES:
        return f"{felt}, again {run_words(last, brief).removeprefix('yes ')}"
    return f"{felt}, last on {brief(yes[-1].last)}; {run_words(last, brief)}"


def _not_since(after: Sequence[date], brief: Brief) -> str:
    if len(after) == 1:
        return f"; not asked on {brief(after[0])}"
    return f"; not asked in the {len(after)} assessments since" if after else ""


def tension_words(inside: Sequence[Measured], brief: Brief) -> str:
    """How firm the tissue was, first and last."""
    words = scheme().tension
    told = [(one.day, words[one.answer(TENSION)]) for one in inside if one.answer(TENSION)]
    if not told:
        return "not noted"
    ends = [told[0], told[-1]] if told[0][1] != told[-1][1] else [told[-1]]
    return "; ".join(f"{said} on {brief(day)}" for day, said in ends)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a test came to when it was last taken; `why`: what kept it from passing."""

    test: ImpactTest
    result: Result
    day: date
    why: str = ""


def results_of(inside: Sequence[Measured], known: Catalogue) -> dict[str, Outcome]:
    """The latest result of each test that was taken, else that it was not offered, by its code."""
    found: dict[str, Outcome] = {}
    for one in inside:
        for code, test in impact_tests().items():
            result = grade(test, one.values, known.amount(test))
            before = found.get(code)
            if result in TAKEN or (result is Result.NOT_OFFERED and _untaken(before)):
                found[code] = Outcome(test, result, one.day, _why(test, one, result))
    return found


def _untaken(before: Outcome | None) -> bool:
    return before is None or before.result is Result.NOT_OFFERED


def _why(test: ImpactTest, one: Measured, result: Result) -> str:
    if result is not Result.FAIL:
        return ""
    return "with symptoms" if one.answer(test.field(SYMPTOM)) == YES else "less than asked"


_RESULTS = {
    Result.PASS: "Passed",
    Result.FAIL: "Not passed",
    Result.INCOMPLETE: "Not finished",
    Result.NOT_OFFERED: "Not offered",
}


def rows_of_tests(results: Mapping[str, Outcome], brief: Brief) -> Iterator[tuple[str, str]]:
    """A row for each kind of result: which tests, and when."""
    for result, label in _RESULTS.items():
        of_kind = [one for one in results.values() if one.result is result]
        if of_kind:
            yield label, _by_day(of_kind, brief)
    missing = [one.words.lower() for code, one in impact_tests().items() if code not in results]
    if missing:
        yield "Not asked", ", ".join(missing) if results else "none of the tests"


def _by_day(rows: Sequence[Outcome], brief: Brief) -> str:
    days: defaultdict[date, list[str]] = defaultdict(list)
    for one in rows:
        why = f" ({one.why})" if one.why else ""
        days[one.day].append(f"{one.test.words.lower()}{why}")
    return "; ".join(f"on {brief(day)}: {', '.join(words)}" for day, words in sorted(days.items()))


def day_after(inside: Sequence[Measured], brief: Brief) -> str:
    """What she said of the day after the tests, the last time she was asked; "" if never."""
    told = [one for one in inside if one.answer(NEXT_DAY)]
    if not told:
        return ""
    last = told[-1]
    on = last.values.get(NEXT_DAY_ON)
    when = f"asked on {brief(date.fromisoformat(on))}" if on else f"tests of {brief(last.day)}"
    return f"{'symptoms' if last.answer(NEXT_DAY) == YES else 'no symptoms'}, {when}"
