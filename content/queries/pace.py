"""The pace of publishing as pages show it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from coach.practice.queries import the_practice
from coach.scheduling import cadence
from content.models import ClassCheck, FitnessClass, Focus, State, Step, Wishes
from content.queries.classes import published
from content.queries.making import checklist
from content.queries.needed import Needed, what_is_needed
from content.queries.serving import class_stages
from content.rules import classes, pace

WEEKS = 26
CameOut = tuple[date, str, int]  # the day, the focus, the class


@dataclass(frozen=True, slots=True)
class PacePage:
    """The figures, the weeks as bars, and both in words."""

    figures: cadence.Pace
    bars: tuple[pace.Bar, ...]
    words: str
    in_hand: str
    today: date

    @property
    def share(self) -> str:
        return pace.share_in_words(self.figures.share_met)

    @property
    def last(self) -> str:
        return pace.ago(self.figures.days_since_last)

    @property
    def gap(self) -> str:
        return pace.gap_in_words(self.figures.gaps) if self.figures.gaps else ""

    @property
    def rate(self) -> str:
        return pace.rate_in_words(self.figures.in_hand)

    @property
    def ends(self) -> str:
        return pace.ends_in_words(self.figures.in_hand, self.today)


@dataclass(frozen=True, slots=True)
class Since:
    """A focus or a stage, by code and in words, and days since the last upload of it."""

    code: str
    name: str
    days: int | None

    @property
    def ago(self) -> str:
        return pace.ago(self.days)


@dataclass(frozen=True, slots=True)
class WholePace:
    """All that the page of the pace prints; `needed` None for who may not see stages.

    `pace` is None without a target to measure it by or without uploads.
    """

    target: int
    pace: PacePage | None
    since_focus: tuple[Since, ...]
    since_stage: tuple[Since, ...]
    needed: Needed | None


def pace_page(*, today: date) -> PacePage | None:
    """The pace of the last half year; None without wishes to measure it by or without uploads."""
    wanted = Wishes.objects.first() or Wishes(pk=1)
    return _measured(wanted, _came_out(today), today)


def whole_pace(*, today: date, with_needs: bool) -> WholePace:
    """The pace and, where the reader may see stages, what the roster will need."""
    wanted, served = Wishes.objects.first() or Wishes(pk=1), class_stages()
    out = _came_out(today)
    uploads = [cadence.Published(day, focus, served[pk]) for day, focus, pk in out]
    by_focus = dict(cadence.since_focus(uploads, today=today))
    by_stage = dict(cadence.since_stage(uploads, today=today))
    return WholePace(
        target=wanted.target,
        pace=_measured(wanted, out, today),
        since_focus=_longest_first(
            Since(focus.value, str(focus.label), by_focus.get(focus.value)) for focus in Focus
        ),
        since_stage=tuple(Since(str(stage), stage.label, days) for stage, days in by_stage.items()),
        needed=what_is_needed(today=today, weight=wanted.enquiries, served=served, since=by_stage)
        if with_needs
        else None,
    )


def _longest_first(since: Iterable[Since]) -> tuple[Since, ...]:
    """What never came out before all."""
    return tuple(sorted(since, key=lambda one: (one.days is not None, -(one.days or 0), one.name)))


def _measured(wanted: Wishes, out: list[CameOut], today: date) -> PacePage | None:
    target, days = wanted.target, [day for day, _, _ in out]
    if not target or not out:
        return None
    figures = cadence.pace(
        days,
        finished=FitnessClass.objects.filter(state__in=classes.IN_HAND).count(),
        target=target,
        today=today,
        filmed=_filmed(out, wanted.lead_film),
        weeks=WEEKS,
    )
    return PacePage(
        figures=figures,
        bars=pace.bars(figures.weeks, target=target),
        words=pace.pace_in_words(figures.weeks, target=target, first=min(days)),
        in_hand=pace.in_hand_in_words(figures.in_hand),
        today=today,
    )


def _filmed(out: list[CameOut], lead: int) -> list[date]:
    """The day on which each class was filmed, as far as can be told.

    That on which the last tick of filming's checklist was put. Without one: of a class that is out
    so many days before as her wishes give for filming; of one that is filmed and waits the day its
    row was last changed, which it was no later than.
    """
    waiting = FitnessClass.objects.filter(state__in=(State.FILMED, *classes.IN_HAND))
    zone = ZoneInfo(the_practice().time_zone)
    days = {pk: day - timedelta(days=lead) for day, _, pk in out}
    for pk, at in waiting.values_list("pk", "changed_at"):
        days[pk] = at.astimezone(zone).date()
    ticked = ClassCheck.objects.filter(item__in=days, code__in=_codes_of_filming())
    days |= dict(ticked.order_by("done_on").values_list("item_id", "done_on"))
    return list(days.values())


def _codes_of_filming() -> list[str]:
    return [one.code for one in checklist() if one.step == Step.FILM]


def _came_out(today: date) -> list[CameOut]:
    """Day, focus and class of every upload that went out."""
    rows = published().filter(day__lte=today)
    return list(rows.values_list("day", "item__focus", "item_id"))
