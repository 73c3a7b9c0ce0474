"""A client's pregnancies and the stage they put her at, on any date.

The names of the three modules underneath can be imported from here too.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from coach.scheduling.afterwards import (
    COMPREHENSIVE_VISIT,
    FIRST_CONTACT,
    GP_CHECK,
    POSTNATAL_PERIOD,
    Window,
    add_months,
    comprehensive_visit_by,
    first_contact_by,
    gp_check_window,
    postnatal_period_last_day,
    weeks_since,
)
from coach.scheduling.dating import (
    REDATING_LIMITS,
    TERM_DAYS,
    DatingComparison,
    DatingVerdict,
    GestationalAge,
    RedatingLimit,
    compare_datings,
    days_left,
    due_from_conception,
    due_from_last_period,
    due_from_scan,
    due_from_transfer,
    gestational_age,
    redating_limit,
    suboptimally_dated,
)
from coach.scheduling.trimesters import (
    CODING,
    DEFAULT_SCHEME,
    SCHEMES,
    TermBand,
    TrimesterScheme,
    term_band,
    trimester,
)
from coach.scheduling.values import Stage

__all__ = [
    "CODING",
    "COMPREHENSIVE_VISIT",
    "DEFAULT_SCHEME",
    "FIRST_CONTACT",
    "GP_CHECK",
    "LONGEST_DAYS",
    "POSTNATAL_PERIOD",
    "REDATING_LIMITS",
    "SCHEMES",
    "TERM_DAYS",
    "DatingComparison",
    "DatingVerdict",
    "Ending",
    "GestationalAge",
    "PregnancyDates",
    "RedatingLimit",
    "TermBand",
    "TrimesterScheme",
    "Window",
    "add_months",
    "compare_datings",
    "comprehensive_visit_by",
    "days_left",
    "describe",
    "due_from_conception",
    "due_from_last_period",
    "due_from_scan",
    "due_from_transfer",
    "first_contact_by",
    "forecast_stage",
    "gestational_age",
    "gp_check_window",
    "postnatal_period_last_day",
    "quiet_label",
    "redating_limit",
    "stage_on",
    "suboptimally_dated",
    "term_band",
    "trimester",
    "weeks_since",
]

# 45 weeks: longer than this is read as a mistyped date. Common practice, no source.
LONGEST_DAYS = 315

_TRIMESTERS = {1: Stage.TRIMESTER_1, 2: Stage.TRIMESTER_2, 3: Stage.TRIMESTER_3}
_CUTS_IN_WEEKS = (6, 12, 26, 52)
_SINCE = (
    Stage.WEEKS_0_6,
    Stage.WEEKS_6_12,
    Stage.WEEKS_12_26,
    Stage.WEEKS_26_52,
    Stage.WEEKS_52_ON,
)


class Ending(StrEnum):
    """How a pregnancy ended."""

    BIRTH = "birth"
    LOSS = "loss"


@dataclass(frozen=True, slots=True)
class PregnancyDates:
    """What is known of one pregnancy's dates; None is "not known", or "not yet" for an end.

    An `ending` without `ended` means: it is over, the day is not known.
    """

    due: date | None = None
    ended: date | None = None
    ending: Ending | None = None

    @property
    def over(self) -> bool:
        """True once an end is recorded, its day known or not."""
        return self.ended is not None or self.ending is not None

    @property
    def contradictory(self) -> bool:
        """True when it ended before it began by its due date, or lasted over 45 weeks."""
        if self.due is None or self.ended is None:
            return False
        return not 0 <= TERM_DAYS - days_left(self.due, self.ended) <= LONGEST_DAYS


def stage_on(
    pregnancies: Sequence[PregnancyDates], on: date, scheme: TrimesterScheme = DEFAULT_SCHEME
) -> Stage:
    """The stage on a date, named by the latest pregnancy that had begun by then.

    Pregnancies may come in any order. A pregnancy begins 280 days before its
    due date. Nothing is guessed, so the stage is UNKNOWN where no pregnancy
    had begun; where a due date is missing, or the day of an end; where dates
    contradict each other; and where a pregnancy without a due date may be
    the later one. After the due date she is PAST_DUE until an end is
    recorded; once it is, the third trimester lasted until that day. Source
    of the trimesters: the scheme's; the cuts after the end are ours.
    """
    latest = _naming(pregnancies, on)
    return Stage.UNKNOWN if latest is None else _stage_of(latest, on, scheme)


def forecast_stage(
    pregnancies: Sequence[PregnancyDates],
    *,
    today: date,
    on: date,
    scheme: TrimesterScheme = DEFAULT_SCHEME,
) -> Stage:
    """The stage to plan for on a later date; for today and before it, the stage itself.

    A birth not yet recorded is taken to happen on the due date (policy of
    the practice). Who is PAST_DUE or UNKNOWN today stays so: neither ends by
    waiting, both are counted apart.
    """
    now = stage_on(pregnancies, today, scheme)
    if on <= today:
        return stage_on(pregnancies, on, scheme)
    if not now.servable:
        return now
    # What is over on a day not known is no later than today's pregnancy, so no later than its end.
    dated = [one for one in pregnancies if one.due or one.ended or not one.over]
    return stage_on([_with_birth_assumed(one, on) for one in dated], on, scheme)


def describe(pregnancies: Sequence[PregnancyDates], on: date, *, quiet: bool = False) -> str:
    """A short phrase for pages: "21 weeks and 4 days", "11 weeks since the birth".

    For a quiet client it names no baby, birth, pregnancy, due date or
    trimester, and after a loss it never does. Weeks are completed weeks.
    """
    latest = _naming(pregnancies, on)
    stage = Stage.UNKNOWN if latest is None else _stage_of(latest, on, DEFAULT_SCHEME)
    if latest is None or stage is Stage.UNKNOWN:
        return Stage.UNKNOWN.label
    if latest.ended is not None and latest.ended <= on:
        return _since_in_words(latest.ended, on, None if quiet else latest.ending, quiet=quiet)
    if stage is Stage.PAST_DUE and quiet:
        return quiet_label(stage)
    return _running_in_words(latest, on, past_due=stage is Stage.PAST_DUE)


def quiet_label(stage: Stage, scheme: TrimesterScheme = DEFAULT_SCHEME) -> str:
    """The words for a stage on a quiet client's page: weeks only."""
    second, third = scheme.second_from.weeks, scheme.third_from.weeks
    return {
        Stage.TRIMESTER_1: f"before {second} weeks",
        Stage.TRIMESTER_2: f"{second}–{third} weeks",
        Stage.TRIMESTER_3: f"{third} weeks on",
        Stage.PAST_DUE: "past 40 weeks",
    }.get(stage, stage.label)


def _started(one: PregnancyDates) -> int | None:
    """The ordinal of the first day on which it had certainly begun, as far as that is known."""
    known = [day.toordinal() - less for day, less in ((one.due, TERM_DAYS), (one.ended, 0)) if day]
    return min(known, default=None)


def _naming(pregnancies: Sequence[PregnancyDates], on: date) -> PregnancyDates | None:
    """The pregnancy that names the stage, or None where it cannot be told which one does."""
    starts = [(_started(one), one) for one in pregnancies]
    begun = [(start, one) for start, one in starts if start is not None and start <= on.toordinal()]
    if not begun:
        return None
    latest = max(begun, key=lambda pair: _rank(*pair))[1]
    return None if any(_may_be_later(one, latest, on) for one in pregnancies) else latest


def _rank(start: int, one: PregnancyDates) -> tuple[int, bool, date, str]:
    """Later start, then more known: of a pregnancy entered twice, the record that it ended."""
    return start, one.due is not None, one.ended or date.min, one.ending or ""


def _may_be_later(one: PregnancyDates, latest: PregnancyDates, on: date) -> bool:
    """Whether a pregnancy without a due date may have begun after `latest` and by `on`."""
    if one.due is not None or (latest.ended is not None and on < latest.ended):
        return False
    if one.ended is not None:
        return 0 < (one.ended - on).days <= LONGEST_DAYS
    return latest.over or not one.over


def _stage_of(one: PregnancyDates, on: date, scheme: TrimesterScheme) -> Stage:
    if one.contradictory:
        return Stage.UNKNOWN
    if one.ended is not None and one.ended <= on:
        return _SINCE[bisect_right(_CUTS_IN_WEEKS, weeks_since(one.ended, on))]
    age = None if one.due is None else gestational_age(one.due, on)
    if age is None or (one.over and one.ended is None):
        return Stage.UNKNOWN
    if age.days > TERM_DAYS and not one.over:
        return Stage.PAST_DUE
    return _TRIMESTERS[trimester(age, scheme)]


def _with_birth_assumed(one: PregnancyDates, on: date) -> PregnancyDates:
    """The pregnancy as if born on its due date, once the day being planned has reached it."""
    if one.over or one.due is None or on < one.due:
        return one
    return replace(one, ended=one.due, ending=Ending.BIRTH)


def _since_in_words(ended: date, on: date, ending: Ending | None, *, quiet: bool) -> str:
    weeks = weeks_since(ended, on)
    count = _count(weeks, "week") if weeks else _count((on - ended).days, "day")
    if quiet or ending is Ending.LOSS:
        return f"{count} since"
    return f"{count} since {'the birth' if ending is Ending.BIRTH else 'the pregnancy ended'}"


def _running_in_words(one: PregnancyDates, on: date, *, past_due: bool) -> str:
    if one.due is None or (age := gestational_age(one.due, on)) is None:
        return Stage.UNKNOWN.label
    if past_due:
        return f"{_count(-days_left(one.due, on), 'day')} past the due date"
    parts = [_count(age.weeks, "week"), _count(age.rest, "day")]
    return " and ".join(part for part in parts if not part.startswith("0 ")) or parts[1]


def _count(n: int, unit: str) -> str:
    return f"{n} {unit}" if n == 1 else f"{n} {unit}s"
