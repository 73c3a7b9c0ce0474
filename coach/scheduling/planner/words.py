"""English for plans: numbers, days, hours and stages as a coach would say them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from coach.scheduling.planner.problem import Plan
from coach.scheduling.values import Stage

WITHIN = 0.01  # of the value, by which the proved bound may lie above it
_NUMBERS = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def number(n: int) -> str:
    """Numbers under thirteen as words; 0 is "no"."""
    return _NUMBERS[n] if 0 <= n < len(_NUMBERS) else f"{n:,}"


def count(n: int, one: str, many: str = "") -> str:
    """A number and its noun: "one day", "13 days"."""
    return f"{number(n)} {one if n == 1 else many or one + 's'}"


def on(day: date) -> str:
    """A day with its weekday: "Tuesday 5 January"."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"


def past(day: date, today: date) -> str:
    """A day gone by: "2 November", with the year once it could be taken for another one."""
    plain = f"{day.day} {_MONTHS[day.month - 1]}"
    return plain if abs((today - day).days) < 300 else f"{plain} {day.year}"


def hours(minutes: int) -> str:
    """A length of work: "45 minutes", "three hours", "one hour 30 minutes"."""
    whole, rest = divmod(minutes, 60)
    parts = [count(whole, "hour")] * bool(whole) + [count(rest, "minute")] * bool(rest)
    return " ".join(parts) or "no time"


def stage_name(stage: Stage) -> str:
    """A stage inside a sentence: "trimester 3", "6–12 weeks after pregnancy"."""
    return stage.label.replace("since", "after pregnancy")


def at_stage(stage: Stage) -> str:
    """Where a client is: "in trimester 3", "6–12 weeks after pregnancy"."""
    return f"in {stage_name(stage)}" if stage.pregnant else stage_name(stage)


def joined(words: Sequence[str]) -> str:
    """A list in a sentence: "a, b and c"."""
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def sentence(text: str) -> str:
    """The text with a capital letter and a full stop."""
    return f"{text[:1].upper()}{text[1:]}."


def quoted(title: str) -> str:
    """A title in quotation marks."""
    return f"“{title}”"


def either(choices: Sequence[str]) -> str:
    """A choice in a sentence: "a, b or c"."""
    return " or ".join(filter(None, [", ".join(choices[:-1]), *choices[-1:]]))


def goes(n: int) -> str:
    """The verb for so many that go out: "goes", "go"."""
    return "goes" if n == 1 else "go"


def times(n: int) -> str:
    """How often: "never", "once", "twice", "three times"."""
    return {0: "never", 1: "once", 2: "twice"}.get(n, f"{number(n)} times")


def quality(plan: Plan) -> str:
    """How good a plan is, as far as it is proved."""
    if plan.status == "optimal":
        return "the best for your wishes"
    if plan.gap <= WITHIN and not plan.stopped_by_clock:
        return "within 1 % of the best"
    return "the best found in the time there was"
