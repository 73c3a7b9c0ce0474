"""Pins that can't all be kept, and what is to be said of them.

Today is Sunday 20 December 2026; January is planned.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from coach.scheduling.planner import FixedUpload, PlanClass, Problem

TODAY = date(2026, 12, 20)


def january(day: int) -> date:
    return date(2026, 12, 31) + timedelta(days=day)


def a_class(number: int, title: str, **facts: object) -> PlanClass:
    given: dict[str, object] = {"focus": "", "stages": frozenset(), "minutes_of_work": 0} | facts
    if "part" in given:
        given = {"series": 1, "series_title": "Strong again"} | given
    return PlanClass(number, title, **given)  # type: ignore[arg-type]  # facts are passed on by name


def published(day: date, item: PlanClass) -> FixedUpload:
    return FixedUpload(day, item, published=True)


def promised(day: date, item: PlanClass) -> FixedUpload:
    return FixedUpload(day, item, published=False)


def a_month(
    pins: Iterable[tuple[int, int]],
    classes: Iterable[PlanClass],
    slots: Iterable[int] = (5, 7, 12),
    fixed: Iterable[FixedUpload] = (),
    **wishes: object,
) -> Problem:
    """January with publish days on the 5th, 7th and 12th, and (day, class) pinned."""
    given: dict[str, object] = {"minutes_a_week": 700, "lead_days": 2} | wishes
    days = tuple(january(day) for day in slots)
    pinned = tuple((january(day), n) for day, n in pins)
    return Problem(TODAY, days, tuple(classes), tuple(fixed), (), pins=pinned, **given)  # type: ignore[arg-type]  # wishes are passed on by name


RIBS, BACK, CALM = a_class(1, "Ribs"), a_class(2, "Back"), a_class(3, "Calm")
ONE, TWO, THREE = (a_class(n, f"Hips {n}", part=n) for n in (1, 2, 3))
LONG = a_class(1, "Ribs", minutes_of_work=1500)
RAW = [a_class(n, title, needs_filming=True) for n, title in ((1, "Ribs"), (2, "Back"))]

CONFLICTS: dict[str, tuple[Problem, tuple[str, ...]]] = {
    "a day off": (
        a_month([(6, 1)], [RIBS], closed=((january(6), "a day off"),)),
        (
            "You put “Ribs” on Wednesday 6 January.",
            "Wednesday 6 January is a day off.",
            "To mend it, take “Ribs” off Wednesday 6 January or let Wednesday 6 January be a "
            "publish day.",
        ),
    ),
    "no publish day": (
        a_month([(9, 1), (5, 2)], [RIBS, BACK], closed=((january(9), "no publish day of yours"),)),
        (
            "You put “Ribs” on Saturday 9 January.",
            "Saturday 9 January is no publish day of yours.",
            "To mend it, take “Ribs” off Saturday 9 January or let Saturday 9 January be a "
            "publish day.",
        ),
    ),
    "an upload stands there": (
        a_month(
            [(9, 1)],
            [RIBS],
            fixed=[promised(january(9), a_class(9, "Long walk"))],
            closed=((january(9), "an upload stands there"),),
        ),
        (
            "You put “Ribs” on Saturday 9 January.",
            "“Long walk” stands on Saturday 9 January already.",
            "To mend it, take “Ribs” off Saturday 9 January or move “Long walk” to another day.",
        ),
    ),
    "something went out that day": (
        a_month([(1, 1)], [RIBS], fixed=[published(january(1), a_class(9, "Long walk"))]),
        (
            "You put “Ribs” on Friday 1 January.",
            "“Long walk” stands on Friday 1 January already.",
            "To mend it, take “Ribs” off Friday 1 January.",
        ),
    ),
    "a day beyond those to plan": (a_month([(30, 1)], [RIBS]),
        (
            "You put “Ribs” on Saturday 30 January.",
            "Saturday 30 January is none of the days to plan.",
            "To mend it, take “Ribs” off Saturday 30 January or let Saturday 30 January be a "
            "publish day.",
        ),
    ),
    "too early for the class": (
        a_month([(5, 1)], [a_class(1, "Ribs", not_before=january(10))]),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "“Ribs” is not to go out before Sunday 10 January.",
            "To mend it, take “Ribs” off Tuesday 5 January or let “Ribs” come earlier.",
        ),
    ),
    "too late for the class": (
        a_month([(12, 1)], [a_class(1, "Ribs", not_after=january(10))]),
        (
            "You put “Ribs” on Tuesday 12 January.",
            "“Ribs” is not to go out after Sunday 10 January.",
            "To mend it, take “Ribs” off Tuesday 12 January or let “Ribs” come later.",
        ),
    ),
    "two classes on one day": (a_month([(5, 1), (5, 2)], [RIBS, BACK]),
        (
            "You put “Ribs” and “Back” on Tuesday 5 January.",
            "A day holds one class.",
            "To mend it, take “Ribs” off Tuesday 5 January or take “Back” off Tuesday 5 January.",
        ),
    ),
    "one class on two days": (a_month([(5, 1), (12, 1)], [RIBS]),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "You put “Ribs” on Tuesday 12 January.",
            "A class goes out once.",
            "To mend it, take “Ribs” off Tuesday 5 January or take “Ribs” off Tuesday 12 January.",
        ),
    ),
    "a series the wrong way round": (a_month([(5, 2), (7, 1)], [ONE, TWO]),
        (
            "You put “Hips 2” on Tuesday 5 January.",
            "Before part 2 of “Strong again” goes “Hips 1”, and there are no publish days "
            "before then.",
            "To mend it, take “Hips 2” off Tuesday 5 January or change the parts of the series.",
        ),
    ),
    "a series the wrong way round with a day before": (
        a_month([(7, 2), (12, 1)], [ONE, TWO]),
        (
            "You put “Hips 2” on Thursday 7 January.",
            "You put “Hips 1” on Tuesday 12 January.",
            "The parts of “Strong again” go out in order, part 1 before part 2.",
            "To mend it, take “Hips 2” off Thursday 7 January, take “Hips 1” off Tuesday 12 "
            "January or change the parts of the series.",
        ),
    ),
    "a trip": (
        a_month([(12, 1)], [RIBS], (5, 7), closed=((january(12), "you are at the lake"),)),
        (
            "You put “Ribs” on Tuesday 12 January.",
            "Nothing can go out on Tuesday 12 January: you are at the lake.",
            "To mend it, take “Ribs” off Tuesday 12 January or let Tuesday 12 January be a "
            "publish day.",
        ),
    ),
    "days off take the hours": (
        a_month(
            [(5, 1)],
            [a_class(1, "Ribs", minutes_of_work=840)],
            days_off=tuple(date(2026, 12, n) for n in range(22, 30)),
        ),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "By Sunday 3 January there is time for ten hours of work; “Ribs” needs 14 hours.",
            "To mend it, take “Ribs” off Tuesday 5 January or find four hours more by Sunday "
            "3 January.",
        ),
    ),
    "no hours at all": (
        a_month([(5, 1)], [a_class(1, "Ribs", minutes_of_work=30)], minutes_a_week=0),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "By Sunday 3 January there is time for no work; “Ribs” needs 30 minutes.",
            "To mend it, take “Ribs” off Tuesday 5 January or find 30 minutes more by Sunday "
            "3 January.",
        ),
    ),
    "a day gone by": (a_month([(-19, 1)], [RIBS]),
        (
            "You put “Ribs” on Saturday 12 December.",
            "Only days after today can be planned.",
            "To mend it, take “Ribs” off Saturday 12 December.",
        ),
    ),
    "no day for the earlier part": (a_month([(5, 2)], [ONE, TWO]),
        (
            "You put “Hips 2” on Tuesday 5 January.",
            "Before part 2 of “Strong again” goes “Hips 1”, and there are no publish days "
            "before then.",
            "To mend it, take “Hips 2” off Tuesday 5 January or change the parts of the series.",
        ),
    ),
    "one day for two earlier parts": (a_month([(7, 3)], [ONE, TWO, THREE]),
        (
            "You put “Hips 3” on Thursday 7 January.",
            "Before part 3 of “Strong again” go “Hips 1” and “Hips 2”, and there is one "
            "publish day before then.",
            "To mend it, take “Hips 3” off Thursday 7 January or change the parts of the series.",
        ),
    ),
    "a later part stands before": (
        a_month([(12, 2)], [TWO], fixed=[promised(january(9), THREE)]),
        (
            "You put “Hips 2” on Tuesday 12 January.",
            "Part 3 of “Strong again” has Saturday 9 January, and part 2 goes before it.",
            "To mend it, take “Hips 2” off Tuesday 12 January, move “Hips 3” to a day after "
            "Tuesday 12 January or change the parts of the series.",
        ),
    ),
    "an earlier part stands after": (
        a_month([(5, 2)], [TWO], fixed=[promised(january(9), ONE)]),
        (
            "You put “Hips 2” on Tuesday 5 January.",
            "Part 1 of “Strong again” has Saturday 9 January, and part 2 comes after it.",
            "To mend it, take “Hips 2” off Tuesday 5 January, move “Hips 1” to a day before "
            "Tuesday 5 January or change the parts of the series.",
        ),
    ),
    "the earlier part is not to come so soon": (
        a_month([(7, 2)], [a_class(1, "Hips 1", part=1, not_before=january(6)), TWO]),
        (
            "You put “Hips 2” on Thursday 7 January.",
            "“Hips 1” is not to go out before Wednesday 6 January.",
            "Before part 2 of “Strong again” goes “Hips 1”.",
            "To mend it, take “Hips 2” off Thursday 7 January, let “Hips 1” come earlier or "
            "change the parts of the series.",
        ),
    ),
    "the earlier part needs more hours than there are": (
        a_month([(7, 2)], [a_class(1, "Hips 1", part=1, minutes_of_work=1500), TWO]),
        (
            "You put “Hips 2” on Thursday 7 January.",
            "Before part 2 of “Strong again” goes “Hips 1”.",
            "By Sunday 3 January there is time for 23 hours 20 minutes of work; “Hips 1” "
            "needs 25 hours.",
            "To mend it, take “Hips 2” off Thursday 7 January, change the parts of the "
            "series or find one hour 40 minutes more by Sunday 3 January.",
        ),
    ),
    "hours": (a_month([(5, 1)], [LONG]),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "By Sunday 3 January there is time for 23 hours 20 minutes of work; “Ribs” needs "
            "25 hours.",
            "To mend it, take “Ribs” off Tuesday 5 January or find one hour 40 minutes more "
            "by Sunday 3 January.",
        ),
    ),
    "hours promised to what stands": (
        a_month(
            [(12, 1)],
            [a_class(1, "Ribs", minutes_of_work=1200)],
            fixed=[promised(january(9), a_class(9, "Long walk", minutes_of_work=1200))],
        ),
        (
            "You put “Ribs” on Tuesday 12 January.",
            "By Sunday 10 January there is time for 35 hours of work, 20 hours of it "
            "promised to uploads that stand; “Ribs” needs 20 hours.",
            "To mend it, take “Ribs” off Tuesday 12 January or find five hours more by "
            "Sunday 10 January.",
        ),
    ),
    "hours of two pins together": (
        a_month(
            [(5, 1), (7, 2), (12, 3)],
            [
                a_class(1, "Ribs", minutes_of_work=900),
                a_class(2, "Back", minutes_of_work=900),
                CALM,
            ],
        ),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "You put “Back” on Thursday 7 January.",
            "By Tuesday 5 January there is time for 26 hours 40 minutes of work; “Ribs” and "
            "“Back” need 30 hours together.",
            "To mend it, take “Ribs” off Tuesday 5 January, take “Back” off Thursday 7 "
            "January or find three hours 20 minutes more by Tuesday 5 January.",
        ),
    ),
    "inside the lead": (
        a_month([(5, 1)], [a_class(1, "Ribs", minutes_of_work=60)], lead_days=16),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "“Ribs” needs one hour by Sunday 20 December, and there is no day to work until then.",
            "To mend it, take “Ribs” off Tuesday 5 January.",
        ),
    ),
    "no filming day": (a_month([(5, 1)], RAW[:1], film_days=(january(4),), film_lead_days=7),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "“Ribs” still has to be filmed by Tuesday 29 December, and there is no filming "
            "day until then.",
            "To mend it, take “Ribs” off Tuesday 5 January or film more by Tuesday 29 December.",
        ),
    ),
    "more classes than fit the filming days": (
        a_month([(5, 1), (7, 2)], RAW, film_days=(date(2026, 12, 28),), films_a_day=1),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "You put “Back” on Thursday 7 January.",
            "“Ribs” and “Back” still have to be filmed by Thursday 7 January; your filming "
            "days until then take one class.",
            "To mend it, take “Ribs” off Tuesday 5 January, take “Back” off Thursday 7 "
            "January or film more by Thursday 7 January.",
        ),
    ),
    "filming days taken": (
        a_month(
            [(12, 1)],
            RAW[:1],
            fixed=[promised(january(9), a_class(9, "Long walk", needs_filming=True))],
            film_days=(date(2026, 12, 28),),
            films_a_day=1,
        ),
        (
            "You put “Ribs” on Tuesday 12 January.",
            "“Ribs” still has to be filmed by Tuesday 12 January; your filming days until "
            "then take one class, and one upload that stands needs filming too.",
            "To mend it, take “Ribs” off Tuesday 12 January or film more by Tuesday 12 January.",
        ),
    ),
    "too many in a week": (a_month([(5, 1), (7, 2)], [RIBS, BACK], a_week=1),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "You put “Back” on Thursday 7 January.",
            "You publish at most one a week.",
            "To mend it, take “Ribs” off Tuesday 5 January, take “Back” off Thursday 7 "
            "January or publish more in that week.",
        ),
    ),
    "an upload stands in the week": (
        a_month(
            [(5, 1)], [RIBS], fixed=[promised(january(9), a_class(9, "Long walk"))], a_week=1
        ),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "You publish at most one a week, and one upload stands in the week of Monday 4 "
            "January.",
            "To mend it, take “Ribs” off Tuesday 5 January or publish more in that week.",
        ),
    ),
    "two pins too near": (a_month([(5, 1), (7, 2)], [RIBS, BACK], gap_days=3),
        (
            "You put “Ribs” on Tuesday 5 January.",
            "You put “Back” on Thursday 7 January.",
            "Two uploads are at least three days apart.",
            "To mend it, take “Ribs” off Tuesday 5 January, take “Back” off Thursday 7 "
            "January or let uploads be nearer.",
        ),
    ),
    "too near to an upload": (
        a_month(
            [(7, 1)], [RIBS], fixed=[promised(january(9), a_class(9, "Long walk"))], gap_days=3
        ),
        (
            "You put “Ribs” on Thursday 7 January.",
            "Two uploads are at least three days apart, and “Long walk” has Saturday 9 January.",
            "To mend it, take “Ribs” off Thursday 7 January or let uploads be nearer.",
        ),
    ),
    "a class that is not offered": (a_month([(5, 7)], [RIBS]),
        (
            "You put a class on Tuesday 5 January that is not to be planned any more.",
            "A class that was withdrawn, or whose hours are not known, can’t be planned.",
            "To mend it, take that class off Tuesday 5 January.",
        ),
    ),
    "a class that went out": (
        a_month([(5, 9)], [RIBS], fixed=[published(january(2), a_class(9, "Long walk"))]),
        (
            "You put “Long walk” on Tuesday 5 January.",
            "It went out on Saturday 2 January already, and a class goes out once.",
            "To mend it, take “Long walk” off Tuesday 5 January.",
        ),
    ),
    "two contradictions at once: the smaller one first": (
        a_month([(5, 2), (7, 1), (9, 3)], [ONE, TWO, CALM], closed=((january(9), "a day off"),)),
        (
            "You put “Calm” on Saturday 9 January.",
            "Saturday 9 January is a day off.",
            "To begin with, take “Calm” off Saturday 9 January: other pins of yours clash as "
            "well.",
        ),
    ),
}  # fmt: skip
