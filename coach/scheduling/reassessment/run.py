"""The weeks that are being counted for reassessment: of a pregnancy, or since its end. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

from coach.scheduling.dates import TERM_DAYS, Ending, PregnancyDates, stage_on, weeks_since
from coach.scheduling.reassessment.rules import Rules
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import Stage

_WEEKS_WITH_CUTS = 60  # more than the last stage needs to begin


@dataclass(frozen=True, slots=True)
class Run:
    """Weeks that are being counted: from a pregnancy's beginning to its due date, or since its end.

    `last_day` is the due date: nothing is asked for after it.
    """

    start: date
    scheme: TrimesterScheme
    last_day: date | None = None

    def holds(self, day: date) -> bool:
        """Whether anything may be asked for on a day."""
        return self.last_day is None or day <= self.last_day

    def day(self, weeks: int) -> date:
        """The day on which so many weeks are over."""
        return self.start + timedelta(weeks=weeks)

    def weeks(self, day: date) -> int:
        """The weeks over on a day of it."""
        return weeks_since(self.start, day)

    @property
    def stages(self) -> tuple[tuple[int, Stage], ...]:
        """The stages in their order, each with the completed weeks at which it begins."""
        return _stages(self.scheme, pregnant=self.last_day is not None)

    def stage(self, day: date) -> Stage:
        """The stage of a day of it, by its own weeks alone: a record of another end that says
        otherwise of that day must not silence every rule.
        """
        weeks = self.weeks(day)
        return [stage for begins, stage in self.stages if begins <= weeks][-1]

    def opens(self, rules: Rules) -> date:
        """The first day on which its first stage asks for one."""
        return self.day(rules.stages[self.stages[0][1]].after_weeks)

    def closed_until(self, rules: Rules) -> date:
        """The first day on which anything at all may be asked for: after the first weeks."""
        first = rules.stages[self.stages[0][1]]
        return self.start if first.every_weeks else self.opens(rules)


def run_on(
    pregnancies: Sequence[PregnancyDates], today: date, scheme: TrimesterScheme = DEFAULT_SCHEME
) -> Run | None:
    """What names the stage of a day; None where it is not known, or past the due date."""
    stage = stage_on(pregnancies, today, scheme)
    if stage in {Stage.UNKNOWN, Stage.PAST_DUE}:
        return None
    if not stage.pregnant:
        ended = (one for one in pregnancies if one.ended and one.ended <= today)
        last = max((_start(one, one.ended), one.ended) for one in ended if one.ended)[1]
        return Run(last, scheme)
    running = (one for one in pregnancies if one.ended is None or one.ended > today)
    latest = max(one.due for one in running if one.due and _begins(one.due) <= today)
    return Run(_begins(latest), scheme, latest)


def lost_on(pregnancies: Iterable[PregnancyDates], today: date) -> date | None:
    """The day of a loss that nothing came after; None where there is no such loss.

    Where its day is not known it is the first day on which it can have been: of a pregnancy whose
    due date is not known either, the first day there is, and then only one that is running is
    later. A pregnancy came after it that began later by its due date, or that is still running.
    """
    known = list(pregnancies)
    losses = [one for one in known if one.ending is Ending.LOSS and _first_day(one) <= today]
    others = [one for one in known if one.ending is not Ending.LOSS]
    if not losses or any(_runs(one, today) for one in others):
        return None
    if any(_first_day(one) == date.min for one in losses):
        return date.min
    latest = max(losses, key=lambda one: (_first_day(one), one.ended or date.min))
    if any(_first_day(one) > _first_day(latest) for one in others):
        return None
    return latest.ended or _first_day(latest)


def _runs(one: PregnancyDates, today: date) -> bool:
    return not one.over and (one.due is None or one.due >= today)


def _first_day(one: PregnancyDates) -> date:
    return _start(one, one.ended or date.min)


def _start(one: PregnancyDates, otherwise: date) -> date:
    return _begins(one.due) if one.due else otherwise


def _begins(due_date: date) -> date:
    return due_date - timedelta(days=TERM_DAYS)


@cache
def _stages(scheme: TrimesterScheme, *, pregnant: bool) -> tuple[tuple[int, Stage], ...]:
    day = date(2000, 1, 3)
    term = timedelta(days=TERM_DAYS)
    one = PregnancyDates(due=day + term) if pregnant else PregnancyDates(ended=day)
    found: dict[Stage, int] = {}
    for weeks in range(_WEEKS_WITH_CUTS):
        found.setdefault(stage_on([one], day + timedelta(weeks=weeks), scheme), weeks)
    return tuple((weeks, stage) for stage, weeks in found.items() if stage.servable)
