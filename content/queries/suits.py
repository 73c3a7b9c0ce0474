"""Reads of whom classes suit: by stage, and for one client."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from clients.models import Client
from coach.practice.queries import the_practice
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.models import FitnessClass, SentClass, State
from content.queries.design import designs
from content.queries.library import library
from content.queries.people import people_of
from content.queries.series import series_for
from content.rules.quiet import loud_words
from content.rules.series import SeriesJudged
from content.rules.suitability import ClassJudged, Person, Verdict, person_at_stage, suits
from content.rules.suitability.judging import Judge

READY = (State.PUBLISHED, State.SCHEDULED, State.EDITED)


@dataclass(frozen=True, slots=True)
class StageRow:
    """A class with what it comes to at each stage, in the order of the stages."""

    item: FitnessClass
    verdicts: tuple[tuple[Stage, Verdict], ...]
    designed: bool

    @property
    def excluded(self) -> bool:
        """Whether any stage is."""
        return any(one is not Verdict.FINE for _, one in self.verdicts)


def class_by_stage(*, states: tuple[str, ...] = (), supposed: str = "") -> list[StageRow]:
    """Every class that is designed, by title, at every stage; three queries for any number.

    `supposed`: one of SUPPOSED, found or had by whoever is at the stage.
    """
    known, day = library(), date(2000, 1, 1)
    judges = [
        (stage, Judge(person_at_stage(stage, day, supposed), known)) for stage in SERVABLE_STAGES
    ]
    plans = designs()
    rows = FitnessClass.objects.exclude(state=State.WITHDRAWN)
    if states:
        rows = rows.filter(state__in=states)
    return [
        StageRow(
            item,
            tuple((stage, judge.of_class(plans[item.pk]).verdict) for stage, judge in judges),
            True,
        )
        for item in rows
        if item.pk in plans
    ]


@dataclass(frozen=True, slots=True)
class ForHer:
    """One class for a client, with what it comes to and when she was last told of it."""

    item: FitnessClass
    judged: ClassJudged
    sent: date | None = None


@dataclass(frozen=True, slots=True)
class HerClasses:
    """What a client can take: those with nothing against them, those with an option shown, and why
    the others are left out.
    """

    person: Person
    fine: tuple[ForHer, ...]
    options: tuple[ForHer, ...]
    others: tuple[ForHer, ...]
    hidden: int
    series: tuple[SeriesJudged, ...] = ()

    @property
    def not_cleared(self) -> str:
        """Why she is offered none; "" where her go-ahead lets her train."""
        every = (*self.fine, *self.options, *self.others)
        return next((one.judged.not_cleared for one in every if one.judged.not_cleared), "")

    @property
    def offered(self) -> tuple[ForHer, ...]:
        """What can be sent."""
        return () if self.not_cleared else (*self.fine, *self.options)


def classes_for(client: Client, on: date) -> HerClasses:
    """Every published class judged for one client on a day.

    A quiet client is offered only classes that are said to name nothing that she should not see,
    and whose title names none.
    """
    on_day, known, plans = people_of(client), library(), designs()
    person = on_day(on)
    judge = Judge(person, known)
    rows = list(FitnessClass.objects.filter(state=State.PUBLISHED))

    def shown(one: FitnessClass) -> bool:
        return not person.quiet or _open_to_quiet(one)

    open_to_her = [one for one in rows if shown(one)]
    zone = ZoneInfo(the_practice().time_zone)
    sent = {
        one.item_id: one.at.astimezone(zone).date()
        for one in SentClass.objects.filter(client=client)
    }
    every = [
        ForHer(one, judge.of_class(plans[one.pk]), sent.get(one.pk))
        for one in open_to_her
        if one.pk in plans
    ]
    return HerClasses(
        person=person,
        fine=tuple(one for one in every if _is(one, Verdict.FINE)),
        options=tuple(one for one in every if _is(one, Verdict.EASIER)),
        others=tuple(one for one in every if not suits(one.judged)),
        hidden=len(rows) - len(every),
        series=tuple(
            one
            for one in series_for(on_day, on, plans, known, shown)
            if not (person.quiet and loud_words(one.title))
        ),
    )


def _open_to_quiet(item: FitnessClass) -> bool:
    return item.for_quiet == "yes" and not loud_words(item.title)


def _is(one: ForHer, verdict: Verdict) -> bool:
    return suits(one.judged) and one.judged.verdict is verdict


def given(client: int) -> list[tuple[date, str]]:
    """The classes that a client, by her number, was told to take: the latest day of each."""
    rows = SentClass.objects.filter(client_id=client).select_related("item")
    zone = ZoneInfo(the_practice().time_zone)
    latest: dict[int, tuple[date, str]] = {}
    for one in rows:
        latest.setdefault(one.item_id, (one.at.astimezone(zone).date(), one.item.title))
    return list(latest.values())


def sent_of(item: FitnessClass) -> list[tuple[date, Client]]:
    """Whom a class was sent to, the latest first: each client once."""
    zone = ZoneInfo(the_practice().time_zone)
    latest: dict[int, tuple[date, Client]] = {}
    for one in SentClass.objects.filter(item=item).select_related("client"):
        latest.setdefault(one.client_id, (one.at.astimezone(zone).date(), one.client))
    return list(latest.values())
