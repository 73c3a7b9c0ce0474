"""Readiness for impact: what is missing under the policy in force, or that nothing is. Pure.

It never says more than "nothing missing": what is not recorded, not asked or not finished is
missing, the latest end and every recovery count, and the strictest of equal days wins.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

from clients.rules import readiness_words as words
from clients.rules.assessment import NEXT_DAY, Catalogue, Measured
from clients.rules.facts import PregnancyFact
from clients.rules.findings import AFTERWARDS, OpenFinding, summary
from clients.rules.measuring import NO, YES, default_sites
from clients.rules.measuring_policy import Measuring
from clients.rules.policy import Policy
from clients.rules.policy import policy as go_ahead_policy
from clients.rules.readiness_policy import ReadinessPolicy, data, in_force
from clients.rules.readiness_tests import Outcome, as_it_counts, outcomes
from clients.rules.readiness_words import Missing
from clients.rules.roster import latest_dates
from coach.scheduling.dates import Ending, stage_on
from coach.scheduling.values import Finding, GoAhead, Limits, Stage

# The first three are the guideline's fails; the others are symptoms all the same.
WITH_TESTS = ("leaking", "heaviness", "pain", "urgency", "girdle")
BLEEDING = "bleeding"
_NEVER = GoAhead(date.min)


@dataclass(frozen=True, slots=True)
class ReadinessFacts:
    """All that the answer rests on: what was known on the day, withdrawn assessments left out.

    `said`: what clinicians limited, without what recoveries limit. `policy`: the go-ahead's.
    """

    pregnancies: tuple[PregnancyFact, ...] = ()
    measured: tuple[Measured, ...] = ()
    go_ahead: GoAhead = _NEVER
    said: Limits = field(default_factory=Limits)
    policy: Policy = field(default_factory=go_ahead_policy)
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class Readiness:
    """What is missing on a day under a policy. `tests`: every one, with its latest result.

    `unchecked`: what the practice has switched off. `ask_after`: assessments whose day after is
    still to be asked about.
    """

    on: date
    policy: ReadinessPolicy
    missing: tuple[Missing, ...]
    cautions: tuple[Finding, ...] = ()
    tests: tuple[Outcome, ...] = ()
    unchecked: tuple[str, ...] = ()
    ask_after: tuple[Measured, ...] = ()

    @property
    def policy_words(self) -> str:
        """What the policy in force says."""
        return self.policy.words

    @property
    def sentence(self) -> str:
        """The answer, in the only words that there are for it."""
        return f"{'Missing' if self.missing else 'Nothing missing'} under {self.policy.title}"

    @property
    def told(self) -> tuple[Missing, ...]:
        """What is missing with all tests without a result in one line, as pages tell it."""
        return words.in_lines(self.missing, self.tests, self.policy)


def readiness(
    facts: ReadinessFacts,
    on: date,
    chosen: Measuring | None = None,
    *,
    earlier: date | None = None,
) -> Readiness:
    """What is missing for a return to impact on a day, under the policy that is chosen.

    `earlier`: the date where it is still another (hers or the coach's); waits end for both.
    Sources: each finding's (Goom, Donnelly and Brockwell 2019; Christopher and others 2024; HSE
    Ireland; NHS Suffolk and North East Essex).
    """
    day = _Day(facts, on, earlier or on, chosen or Measuring())
    return Readiness(
        on=on,
        policy=day.policy,
        missing=tuple(_missing(day)),
        cautions=() if day.stage.pregnant else tuple(_cautions(day)),
        tests=day.tests,
        unchecked=facts.go_ahead.unchecked,
        ask_after=tuple(one for one in day.tested if not one.answer(NEXT_DAY)),
    )


@dataclass(frozen=True)
class _Day:
    """One day with what is asked of it."""

    facts: ReadinessFacts
    on: date
    earlier: date
    chosen: Measuring

    @cached_property
    def policy(self) -> ReadinessPolicy:
        return in_force(self.chosen)

    @cached_property
    def stage(self) -> Stage:
        return stage_on([one.dates for one in self.facts.pregnancies], self.on)

    @cached_property
    def end(self) -> date | None:
        """The latest end of any; None: none with a day is recorded."""
        return latest_dates([one.dates for one in self.facts.pregnancies], self.on)[1]

    @cached_property
    def measured(self) -> list[Measured]:
        return as_it_counts(self.facts.measured, self.on)

    @cached_property
    def first(self) -> date:
        """The first day whose results and answers still count."""
        return self.on - timedelta(days=self.policy.tests_days)

    @cached_property
    def tests(self) -> tuple[Outcome, ...]:
        return outcomes(self.measured, first=self.first, after=self.end, chosen=self.chosen)

    @cached_property
    def tested(self) -> list[Measured]:
        """The assessments whose passes count, the earliest first."""
        found = {one.of.pk: one.of for one in self.tests if one.of and one.passed}
        return sorted(found.values(), key=lambda one: (one.day, one.pk))

    @cached_property
    def open(self) -> dict[str, OpenFinding]:
        """Symptoms whose last answer is yes, by code."""
        known = Catalogue(default_sites(), amounts=self.chosen.asked)
        return {one.code: one for one in summary(self.measured, known).open if one.symptom}

    @cached_property
    def bleeding(self) -> Measured | None:
        """The assessment with the last answer about bleeding since the end; yes before no."""
        asked = [
            one for one in self.measured if one.answer(BLEEDING) and self.end and one.day > self.end
        ]
        return max(asked, key=lambda one: (one.day, one.answer(BLEEDING) == YES), default=None)

    def since_end(self, day: date) -> int:
        """Days from the latest end; less than all where none is known."""
        return (day - self.end).days if self.end else -1


def _missing(day: _Day) -> Iterator[Missing]:
    """Everything missing, each kind once, in the order of the page."""
    if day.stage.pregnant:
        yield words.stage(day.stage, quiet=day.facts.quiet)
        return
    if day.stage is Stage.UNKNOWN or day.end is None:
        yield words.stage(day.stage, quiet=day.facts.quiet)
    yield from _time(day)
    yield from _operation(day)
    yield from _go_ahead(day)
    yield from _tests(day)
    yield from _symptoms(day)
    yield from _next_day(day)
    yield from _bleeding(day)


def _time(day: _Day) -> Iterator[Missing]:
    if day.end and day.since_end(day.earlier) < day.policy.rest_days:
        yield words.time(day.policy, day.end, day.earlier)


def _operation(day: _Day) -> Iterator[Missing]:
    """The recovery that lasts longest, of those that are not over."""
    asked = day.facts.policy
    least = data().caesarean_least_weeks
    weeks = max(least, asked.caesarean_impact_weeks) if asked.checks("caesarean") else least
    over = timedelta(weeks=weeks)
    running = [
        (one.ended, one)
        for one in day.facts.pregnancies
        if one.ended and one.ended <= day.on and day.earlier < one.ended + over
        if one.birth_mode == "caesarean" or (one.ending is not Ending.LOSS and not one.birth_mode)
    ]
    if running:
        ended, last = max(running, key=lambda pair: pair[0])
        by_rule = asked.checks("caesarean") and weeks > least
        told = bool(last.birth_mode)
        yield words.operation(ended, weeks, told=told, by_rule=by_rule, quiet=day.facts.quiet)


def _go_ahead(day: _Day) -> Iterator[Missing]:
    found = day.facts.go_ahead
    if not found.word.may_train:
        yield words.go_ahead(found)
    # What the recovery of an operation limits is told by itself.
    by_recovery = found.limits.no_impact and any(_operation(day))
    if day.facts.said.no_impact or (found.limits.no_impact and not by_recovery):
        yield words.limit()
    if others := day.facts.said.others:
        yield words.limit_in_words(others, quiet=day.facts.quiet)
    if found.limits.gentle_recovery_only:
        yield words.gentle()


def _tests(day: _Day) -> Iterator[Missing]:
    for one in day.tests:
        if not one.passed:
            yield words.test(one, day.policy, felt=day.open.get(f"felt-{one.test.code}"))


def _symptoms(day: _Day) -> Iterator[Missing]:
    told = {f"felt-{one.test.code}" for one in day.tests if not one.passed}
    for code, found in day.open.items():
        if code in WITH_TESTS or (code.startswith("felt-") and code not in told):
            yield words.open_symptom(found)
    for code in WITH_TESTS:
        if code not in day.open:
            yes = [one.day for one in day.tested if one.answer(code) == YES]
            never = [one.day for one in day.tested if not one.answer(code)]
            if yes or never:
                yield words.with_tests(code, yes=yes, never=never)


def _next_day(day: _Day) -> Iterator[Missing]:
    yes = [one.day for one in day.tested if one.answer(NEXT_DAY) == YES]
    found = day.open.get(AFTERWARDS)
    never = [one.day for one in day.tested if not one.answer(NEXT_DAY)]
    if yes or found:
        yield words.felt_after(max(yes) if yes else None, found)
    elif never:
        yield words.never_asked_after(never, day.on)


def _bleeding(day: _Day) -> Iterator[Missing]:
    if day.since_end(day.on) <= data().bleeding_days:
        return
    last = day.bleeding
    if last is None:
        yield words.bleeding_not_asked()
    elif last.answer(BLEEDING) == YES and day.since_end(last.day) > data().bleeding_days:
        yield words.bleeds(last.day)
    elif last.answer(BLEEDING) == YES or last.day < day.first:
        yield words.bleeding_long_ago(last.day, last.answer(BLEEDING) == NO)


def _cautions(day: _Day) -> Iterator[Finding]:
    """What is to be borne in mind, and is not missing."""
    rested = bool(day.end) and day.since_end(day.earlier) >= day.policy.rest_days
    if rested and day.policy.individual:
        yield words.individual(day.policy)
    if day.end and rested:
        yield from words.months(day.policy, day.end, day.earlier)
    last = day.bleeding
    early = 0 <= day.since_end(day.on) <= data().bleeding_days
    if early and last and last.answer(BLEEDING) == YES:
        yield words.bleeds_early(last.day)
