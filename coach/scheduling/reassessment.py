"""When the next assessment of a client is wanted, and why. Pure.

Reasons name weeks and days and nothing else, so that they can be read on a quiet client's page.
How long each stage waits is data: data/reassessment.toml.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from coach.scheduling.dates import TERM_DAYS, PregnancyDates, stage_on, weeks_since
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import Finding, Severity, Stage

_FILE = Path(__file__).parent / "data" / "reassessment.toml"
FIRST, INTERVAL, CHANGED = "first", "interval", "stage"
_WEEKS_WITH_CUTS = 60  # more than the last stage needs to begin


@dataclass(frozen=True, slots=True)
class StageRule:
    """What one stage asks, in whole weeks: how often (0: not in this stage), and how soon in it."""

    every_weeks: int
    after_weeks: int
    source: str

    def __post_init__(self) -> None:
        if self.every_weeks < 0 or self.after_weeks < 0:
            raise ValueError("weeks are none or more")
        if not self.source:
            raise ValueError("a rule names its source")


Rules = Mapping[Stage, StageRule]


@dataclass(frozen=True, slots=True)
class Due:
    """The next assessment: the day to do it by, and every rule that asks for it, in order of day.

    `by` is a past day once she is late, and a coming one while she is not.
    """

    by: date
    reasons: tuple[Finding, ...]


@cache
def policy() -> Rules:
    """The rules as the data give them; ValueError or TypeError if they are wrong or incomplete."""
    with _FILE.open("rb") as file:
        found = {Stage(code): StageRule(**row) for code, row in tomllib.load(file).items()}
    if found.keys() != set(Stage) - {Stage.PAST_DUE}:
        raise ValueError("every stage except past the due date has its rule, and no other")
    return found


def due(
    pregnancies: Sequence[PregnancyDates],
    assessed_on: Sequence[date],
    *,
    today: date,
    rules: Rules,
    since: date | None = None,
    scheme: TrimesterScheme = DEFAULT_SCHEME,
) -> Due | None:
    """When the next assessment is wanted: the earliest day that any rule asks for, or None.

    - None up to `today`: a first one, by `since` (the day she came; `today` if not told).
    - The interval of the stage she was last assessed in, counted from that day.
    - Each stage that she has entered since the last one or will enter: on the day it begins.

    What a stage asks waits `after_weeks`: nobody is asked for in the first six weeks after an end,
    and what was asked for before a pregnancy began or ended no longer counts once it has.
    Nothing is asked for past the due date with no end recorded, neither today nor on a coming day
    after the due date: the question then is how she is, and her go-ahead waits for the answer.
    A stage not known has an interval of its own. Days may come in any order; assessments later
    than `today` are left out. `scheme` cuts the trimesters. Source: each finding's.
    """
    stage = stage_on(pregnancies, today, scheme)
    if stage is Stage.PAST_DUE:
        return None
    run = _run(pregnancies, stage, today, scheme)
    last = max((day for day in assessed_on if day <= today), default=None)
    if last is None:
        asked = [_first(run, since or today, rules)]
    else:
        asked = [*_after_interval(pregnancies, run, last, rules), *_entered(run, last, rules)]
    wanted = sorted((ask for ask in asked if run is None or run.holds(ask.day)), key=_by_day)
    if not wanted:
        return None
    by = wanted[0].day
    return Due(by, tuple(ask.finding(today) for ask in wanted if ask.day <= max(by, today)))


@dataclass(frozen=True, slots=True)
class _Run:
    """Weeks that are being counted: from a pregnancy's beginning to its due date, or since its end.

    `last_day` is the due date: nothing is asked for after it.
    """

    start: date
    scheme: TrimesterScheme
    last_day: date | None = None

    def holds(self, day: date) -> bool:
        return self.last_day is None or day <= self.last_day

    def day(self, weeks: int) -> date:
        return self.start + timedelta(weeks=weeks)

    @property
    def stages(self) -> tuple[tuple[int, Stage], ...]:
        return _stages(self.scheme, pregnant=self.last_day is not None)


@dataclass(frozen=True, slots=True)
class _Ask:
    """One rule's day. Its reason has places for the verb and both days, which `today` fills."""

    kind: str
    day: date
    reason: str
    source: str
    last: date | None = None

    def finding(self, today: date) -> Finding:
        reason = self.reason.format(
            passed="Passed" if self.day <= today else "Passes",
            day=_day(self.day, today),
            last=_day(self.last, today) if self.last else "",
        )
        return Finding(self.kind, Severity.NOTE, reason, self.source)


def _by_day(ask: _Ask) -> date:
    return ask.day


def _run(
    pregnancies: Iterable[PregnancyDates], stage: Stage, today: date, scheme: TrimesterScheme
) -> _Run | None:
    """What names a known stage; None where the stage is not known."""
    if stage is Stage.UNKNOWN:
        return None
    if not stage.pregnant:
        ended = (one for one in pregnancies if one.ended and one.ended <= today)
        last = max((_start(one, one.ended), one.ended) for one in ended if one.ended)[1]
        return _Run(last, scheme)
    running = (one for one in pregnancies if one.ended is None or one.ended > today)
    latest = max(one.due for one in running if one.due and _begins(one.due) <= today)
    return _Run(_begins(latest), scheme, latest)


def _start(one: PregnancyDates, otherwise: date) -> date:
    return _begins(one.due) if one.due else otherwise


def _begins(due_date: date) -> date:
    return due_date - timedelta(days=TERM_DAYS)


@cache
def _stages(scheme: TrimesterScheme, *, pregnant: bool) -> tuple[tuple[int, Stage], ...]:
    """The stages of a run in their order, each with the completed weeks at which it begins."""
    day = date(2000, 1, 3)
    term = timedelta(days=TERM_DAYS)
    one = PregnancyDates(due=day + term) if pregnant else PregnancyDates(ended=day)
    found: dict[Stage, int] = {}
    for weeks in range(_WEEKS_WITH_CUTS):
        found.setdefault(stage_on([one], day + timedelta(weeks=weeks), scheme), weeks)
    return tuple((weeks, stage) for stage, weeks in found.items() if stage.servable)


def _first(run: _Run | None, since: date, rules: Rules) -> _Ask:
    """By the day she came, but not before the first stage of this run asks for one."""
    rule = rules[run.stages[0][1] if run else Stage.UNKNOWN]
    opens = run.day(rule.after_weeks) if run else since
    return _Ask(FIRST, max(since, opens), "No assessment on file yet", rule.source)


def _after_interval(
    pregnancies: Sequence[PregnancyDates], run: _Run | None, last: date, rules: Rules
) -> Iterable[_Ask]:
    """Nothing where the last one was before this run, or its stage asks for none."""
    stage = stage_on(pregnancies, last, run.scheme) if run else Stage.UNKNOWN
    rule = rules.get(stage, rules[Stage.UNKNOWN])
    if rule.every_weeks and (run is None or run.start <= last):
        reason = f"Every {_count(rule.every_weeks, 'week')}; last measured on {{last}}"
        day = last + timedelta(weeks=rule.every_weeks)
        yield _Ask(INTERVAL, day, reason, rule.source, last)


def _entered(run: _Run | None, last: date, rules: Rules) -> Iterable[_Ask]:
    """The stages of this run that begin after the last one; two that ask on one day ask once."""
    asked: dict[date, _Ask] = {}
    for begins, stage in run.stages if run else ():
        if run and run.day(begins) > last:
            ask = _change(run, begins + rules[stage].after_weeks, last, rules[stage])
            asked[ask.day] = ask
    return asked.values()


def _change(run: _Run, weeks: int, last: date, rule: StageRule) -> _Ask:
    reason = f"{{passed}} {_count(weeks, 'week')} on {{day}}; last measured {_when(run, last)}"
    return _Ask(CHANGED, run.day(weeks), reason, rule.source, last)


def _when(run: _Run, last: date) -> str:
    if last < run.start:
        return "on {last}"
    weeks = weeks_since(run.start, last)
    return f"at {_count(weeks, 'week') if weeks else _count((last - run.start).days, 'day')}"


def _day(day: date, today: date) -> str:
    """ "24 November", with the year if it is not this one."""
    return f"{day.day} {day:%B}" if day.year == today.year else f"{day.day} {day:%B %Y}"


def _count(n: int, unit: str) -> str:
    return f"{n} {unit}" if n == 1 else f"{n} {unit}s"
