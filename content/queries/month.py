"""What the month page shows: weeks of days with what stands and what is proposed, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coach.scheduling.planner import broken_rules
from content.models import DayOff, EarlierPlan, FitnessClass, Proposal, State, Upload, Wishes
from content.queries import planning
from content.queries.month_days import Shown, Week, details_of, proposed_in, weeks_of
from content.queries.pace import PacePage, pace_page
from content.rules import plan_words as words
from content.rules.months import Month

__all__ = ["MonthPage", "Pinned", "details_of", "month_page", "series_out_of_order"]

_MOST_COLUMNS = 4  # of weekdays with classes that fit beside the reasons


@dataclass(frozen=True, slots=True)
class Pinned:
    """A pin of the proposal. `kept`: the plan has the class on that day."""

    day: date
    title: str
    kept: bool


@dataclass(frozen=True, slots=True)
class MonthPage:
    """All that the page prints."""

    month: Month
    weeks: tuple[Week, ...]
    wishes: Wishes
    proposal: Proposal | None
    proposed: tuple[Shown, ...]
    pins: tuple[Pinned, ...]
    stale: bool
    open_slots: int
    placeable: tuple[FitnessClass, ...]
    days_off: tuple[DayOff, ...]
    out_of_order: tuple[str, ...]
    left_out: tuple[str, ...]
    earlier: int
    before: int | None
    pace: PacePage | None

    @property
    def crowded(self) -> bool:
        """Whether so many weekdays hold classes that the days need the width of the page."""
        days = (day for week in self.weeks for day in week.days)
        return len({day.day.weekday() for day in days if day.shown}) > _MOST_COLUMNS

    @property
    def unmet(self) -> tuple[str, ...]:
        return tuple(self.proposal.unmet) if self.proposal else ()

    @property
    def conflict(self) -> tuple[str, ...]:
        return tuple(self.proposal.conflict) if self.proposal else ()

    @property
    def better(self) -> tuple[str, ...]:
        """What the plan has over one made slot by slot."""
        return tuple(self.proposal.better) if self.proposal and self.proposed else ()

    @property
    def changed(self) -> tuple[str, ...]:
        return tuple(self.proposal.changed) if self.proposal else ()

    @property
    def can_plan(self) -> bool:
        """Whether there is a publish day to plan for."""
        return self.open_slots > 0

    @property
    def summary(self) -> str:
        """The line under the month's name."""
        if self.conflict:
            return "no plan can keep all of your wishes"
        standing = sum(
            1
            for week in self.weeks
            for day in week.days
            for one in day.shown
            if day.in_month and one.upload
        )
        return words.month_in_words(standing, len(self.proposed), quality=self.quality)

    @property
    def quality(self) -> str:
        """How good the proposal is; nothing is said once it answers another question."""
        if self.proposal is None or self.stale:
            return ""
        found = self.proposal
        return words.quality_in_words(found.status, found.value, found.bound)

    @property
    def accept_label(self) -> str:
        return words.accept_in_words(len(self.proposed))

    @property
    def plan_label(self) -> str:
        return "Plan again" if self.proposal else "Plan this month"


def month_page(month: Month, *, today: date) -> MonthPage:
    """Everything about a month. The number of queries does not depend on what it holds."""
    at = planning.ground(month)
    proposal = at.proposal
    proposed = proposed_in(proposal, {item.pk: item for item in at.placeable})
    earlier = list(EarlierPlan.objects.filter(month=month.first).values_list("number", "what"))
    made = [number for number, what in earlier if what == "made"]
    open_slots = at.slots(today)
    return MonthPage(
        month=month,
        weeks=weeks_of(at, proposed, today),
        wishes=at.wishes,
        proposal=proposal if proposal and _says_something(proposal, proposed) else None,
        proposed=proposed,
        pins=_pins(at, proposed),
        stale=proposal is not None and _is_stale(at, proposal, today),
        open_slots=len(open_slots),
        placeable=tuple(at.placeable),
        days_off=tuple(one for one in at.days_off if Month.of(one.day) == month),
        out_of_order=tuple(series_out_of_order(at.uploads)),
        left_out=tuple(item.title for item in at.placeable if not planning.hours_known(item)),
        earlier=len(earlier),
        before=max(made, default=None),
        pace=pace_page(today=today),
    )


def _says_something(proposal: Proposal, proposed: tuple[Shown, ...]) -> bool:
    return bool(proposed or proposal.unmet or proposal.conflict or proposal.changed)


def _is_stale(at: planning.Ground, proposal: Proposal, today: date) -> bool:
    """Whether what is asked has changed since, or the time left no longer allows the plan."""
    asked = planning.problem_on(at, today=today)
    if planning.fingerprint(asked) != proposal.fingerprint:
        return True
    placement = {date.fromisoformat(slot["day"]): slot["class"] for slot in proposal.slots}
    return bool(placement) and bool(broken_rules(asked, placement))


def series_out_of_order(uploads: list[Upload]) -> list[str]:
    """A sentence for every part of a series that stands before an earlier one, not yet out."""
    sentences = []
    in_series = [up for up in uploads if up.item.series_id]
    for later in in_series:
        for earlier in in_series:
            same = earlier.item.series_id == later.item.series_id
            wrong = same and (earlier.item.part or 0) < (later.item.part or 0)
            if wrong and earlier.day >= later.day and earlier.item.state != State.PUBLISHED:
                sentences.append(
                    f"“{later.item.title}” stands before “{earlier.item.title}”, "
                    f"part {earlier.item.part} of the same series."
                )
    return sentences


def _pins(at: planning.Ground, proposed: tuple[Shown, ...]) -> tuple[Pinned, ...]:
    titles = {item.pk: item.title for item in at.placeable}
    there = {(one.day, one.item.pk) for one in proposed}
    kept = at.proposal.pins if at.proposal else []
    days = ((date.fromisoformat(pin["day"]), pin["class"]) for pin in kept)
    return tuple(
        Pinned(day, titles[pk], (day, pk) in there) for day, pk in sorted(days) if pk in titles
    )
