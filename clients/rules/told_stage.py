"""Where somebody who only asked may be, from the few words in which she told it. Pure.

Only whole phrases of a few common forms are read: anything more may mean something else, and is
not known. What is read weighs in plans alone: nobody is trained on it. Common practice, no source:
bare weeks are those of a pregnancy.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

from coach.scheduling.dates import TERM_DAYS, Ending, PregnancyDates, add_months, forecast_stage
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import Stage

# A trimester named without weeks is taken for hers for so long: policy of the practice, no source.
NEAR_DAYS = 28
LONGEST_WEEKS = 42  # of a pregnancy told in weeks; more is a slip of the pen


@dataclass(frozen=True, slots=True)
class Told:
    """What an enquiry told: dates that can be counted on from, else a stage on the day she wrote.

    Neither: nothing was told that names a stage.
    """

    came_on: date
    dates: PregnancyDates | None = None
    stage: Stage | None = None

    def stage_on(
        self, day: date, *, today: date, scheme: TrimesterScheme = DEFAULT_SCHEME
    ) -> Stage:
        """The stage to plan for, births at the due date as for clients.

        From dates on any day; a stage as told for NEAR_DAYS days, and unknown from then on.
        """
        if self.dates:
            return forecast_stage((self.dates,), today=today, on=day, scheme=scheme)
        near = 0 <= (day - self.came_on).days <= NEAR_DAYS
        return self.stage if self.stage and near else Stage.UNKNOWN


_UNITS = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = {"twenty": 20, "thirty": 30, "forty": 40}
_NUMBERS = {word: n for n, word in enumerate(_UNITS, 1)}
_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_ORDINALS = {"first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3}
_TRIMESTERS = (Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3)

_N = r"(?P<n>\d{1,3}|[a-z]+(?:[- ](?:" + "|".join(_UNITS[:9]) + r"))?)"
_ABOUT = r"(?:(?:i am|i'm|about|around|nearly|almost|just over|over|circa|ca\.?) )*"
_RUNNING = re.compile(rf"{_ABOUT}{_N} ?(?:weeks?|wks?|w)(?: pregnant| along| gone)?")
_SINCE = re.compile(
    rf"{_ABOUT}{_N} ?(?P<unit>weeks?|wks?|w|months?) (?:after|since|post[- ]?partum|post[- ]?natal)"
    r"(?: (?:a |the |my )?birth)?"
)
_NAMED = re.compile(
    rf"(?:in )?(?:(?:the |my )?(?P<which>{'|'.join(_ORDINALS)}) trimester|trimester (?P<n>[123]))"
)
_DUE = re.compile(
    rf"due (?:in )?(?:(?:early|mid|late)[- ]?)?(?P<month>{'|'.join(_MONTHS)})(?: (?P<year>20\d\d))?"
)


def read_told(told: str, due: date | None, came_on: date) -> Told:
    """What she told, on the day she wrote; a due date that she said goes before any words.

    Weeks and months are counted on from that day; of a month that she is due in, the middle.
    """
    if due:
        return Told(came_on, PregnancyDates(due=due))
    text = " ".join(told.casefold().replace("’", "'").split()).strip(" .,!")
    if found := _RUNNING.fullmatch(text):
        return Told(came_on, _running(_number(found["n"]), came_on))
    if found := _SINCE.fullmatch(text):
        return Told(came_on, _since(_number(found["n"]), found["unit"], came_on))
    if found := _DUE.fullmatch(text):
        return Told(came_on, _due_in(_MONTHS.index(found["month"]) + 1, found["year"], came_on))
    if found := _NAMED.fullmatch(text):
        number = int(found["n"]) if found["n"] else _ORDINALS[found["which"]]
        return Told(came_on, stage=_TRIMESTERS[number - 1])
    return Told(came_on)


def _number(text: str) -> int | None:
    """ "20", "twelve", "twenty-four"; None for any other word."""
    if text.isdecimal():
        return int(text)
    first, _, rest = text.replace("-", " ").partition(" ")
    if not rest:
        return _NUMBERS.get(first) or _TENS.get(first)
    return _TENS[first] + _NUMBERS[rest] if first in _TENS else None


def _running(weeks: int | None, came_on: date) -> PregnancyDates | None:
    if weeks is None or not 0 < weeks <= LONGEST_WEEKS:
        return None
    return PregnancyDates(due=came_on + timedelta(days=TERM_DAYS - 7 * weeks))


def _since(number: int | None, unit: str, came_on: date) -> PregnancyDates | None:
    if number is None:
        return None
    months = unit.startswith("month")
    ended = add_months(came_on, -number) if months else came_on - timedelta(weeks=number)
    return PregnancyDates(ended=ended, ending=Ending.BIRTH)


def _due_in(month: int, year: str | None, came_on: date) -> PregnancyDates:
    """The middle of the month; without a year the next one that is not over."""
    middle = date(int(year) if year else came_on.year, month, 15)
    if not year and middle.month < came_on.month:
        middle = middle.replace(year=came_on.year + 1)
    return PregnancyDates(due=middle)
