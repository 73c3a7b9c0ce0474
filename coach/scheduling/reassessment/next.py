"""The next assessment: the earliest day that any rule asks for, with everything that asks. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from coach.scheduling.dates import stage_on
from coach.scheduling.reassessment.asks import Asking
from coach.scheduling.reassessment.history import History
from coach.scheduling.reassessment.rules import Rules
from coach.scheduling.reassessment.run import run_on
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import Finding, Stage


class Later(NamedTuple):
    """A rule that asks after the day by which the next one is wanted."""

    by: date
    finding: Finding


@dataclass(frozen=True, slots=True)
class Due:
    """The next assessment: the day to do it by, and every rule that asks for it, in order of day.

    `by` is a past day once she is late, and a coming one while she is not. `reasons` ask by that
    day, or by today if that is later; `later` are those that ask afterwards.
    """

    by: date
    reasons: tuple[Finding, ...]
    later: tuple[Later, ...] = ()


def due(
    history: History, *, today: date, rules: Rules, scheme: TrimesterScheme = DEFAULT_SCHEME
) -> Due | None:
    """When the next assessment is wanted: the earliest day that any rule asks for, or None.

    Each rule by its identity, with the number that it follows; all are common practice, no source:
    - first: never assessed, `first_days` from her go-ahead; from the day she came where there is
      none yet or it is older (`today` if not told).
    - interval: so many weeks as the stage at the last one asks, or as was decided for her.
    - stage: each stage entered since the last one or to come, on the day it begins.
    - sign: a clinician answered a warning sign and she was not assessed since, `sign_days`.
    - back: after `back_weeks` away and not assessed since, `back_days` from coming back.
    - finding: what is open and no symptom, `finding_weeks` instead of the interval.
    - symptom: what she feels and is open, `symptom_days` from the day she said it first, or from
      the last finished assessment, which may not have asked.

    At most every `least_weeks` from the last one, except for a sign or a symptom. Nothing is asked
    for in the first six weeks after an end, which are her clinician's, neither for a sign nor for
    a symptom: what would have been is asked for on the first day after them. A routine one waits
    for the eighth week of a pregnancy. What was wanted by interval or by stage before a pregnancy
    began or ended no longer counts once it has.

    Nothing is asked for past the due date with no end recorded, neither today nor on a coming day
    after the due date: the question then is how she is, and her go-ahead waits for the answer.
    What is to be done within so many days is asked for by the due date at the latest.

    A stage not known has an interval of its own. `scheme` cuts the trimesters.
    """
    if stage_on(history.pregnancies, today, scheme) is Stage.PAST_DUE:
        return None
    run = run_on(history.pregnancies, today, scheme)
    asked = Asking(history, run, rules, today).all()
    wanted = sorted(ask for ask in asked if run is None or run.holds(ask.day))
    if not wanted:
        return None
    by, until = wanted[0].day, max(wanted[0].day, today)
    return Due(
        by,
        tuple(ask.finding for ask in wanted if ask.day <= until),
        tuple(Later(ask.day, ask.finding) for ask in wanted if ask.day > until),
    )
