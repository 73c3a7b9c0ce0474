"""What the month page shows: weeks of days with what stands and what is proposed, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from content.models import DayOff, FitnessClass, Proposal, State, Upload, Wishes
from content.queries import planning
from content.queries.pace import PacePage, pace_page
from content.rules import plan_words as words
from content.rules.classes import hours_in_words, stages_in_words
from content.rules.months import Month


@dataclass(frozen=True, slots=True)
class Shown:
    """A class on a day. `upload` is None while it is only proposed."""

    day: date
    item: FitnessClass
    upload: Upload | None
    details: str
    reasons: tuple[str, ...] = ()
    overdue: bool = False

    @property
    def published(self) -> bool:
        return self.item.state == State.PUBLISHED

    @property
    def first_reason(self) -> str:
        return self.reasons[0] if self.reasons else ""

    @property
    def more_reasons(self) -> tuple[str, ...]:
        return self.reasons[1:]

    @property
    def movable(self) -> bool:
        """What is out stays where it was, for the history's sake."""
        return not self.published


@dataclass(frozen=True, slots=True)
class Day:
    """One cell. `free` is a publish day still to come with nothing on it."""

    day: date
    in_month: bool
    off: DayOff | None
    shown: tuple[Shown, ...]
    free: bool
    past: bool

    @property
    def can_take(self) -> bool:
        """Whether a class can be dropped here."""
        return not (self.off or self.past)

    @property
    def classes(self) -> str:
        """How the cell is drawn: outside the month, a day off, nothing on it."""
        idle = not (self.off or self.shown or self.free)
        marks = {"out": not self.in_month, "off": bool(self.off), "idle": idle}
        return " ".join(name for name, on in marks.items() if on)


@dataclass(frozen=True, slots=True)
class Week:
    """An ISO 8601 week with how many uploads stand or are proposed in it, of how many wanted."""

    number: int
    days: tuple[Day, ...]
    count: int
    wanted: int

    @property
    def words(self) -> str:
        return words.week_in_words(self.count, self.wanted)


@dataclass(frozen=True, slots=True)
class MonthPage:
    """All that the page prints."""

    month: Month
    weeks: tuple[Week, ...]
    wishes: Wishes
    proposal: Proposal | None
    proposed: tuple[Shown, ...]
    stale: bool
    open_slots: int
    placeable: tuple[FitnessClass, ...]
    days_off: tuple[DayOff, ...]
    out_of_order: tuple[str, ...]
    left_out: tuple[str, ...]
    pace: PacePage | None

    @property
    def unmet(self) -> tuple[str, ...]:
        return tuple(self.proposal.unmet) if self.proposal else ()

    @property
    def can_plan(self) -> bool:
        """Whether there is a publish day to plan for."""
        return self.open_slots > 0

    @property
    def summary(self) -> str:
        """The line under the month's name."""
        best = self.proposal is not None and self.proposal.status == "optimal"
        standing = sum(
            1
            for week in self.weeks
            for day in week.days
            for one in day.shown
            if day.in_month and one.upload
        )
        return words.month_in_words(standing, len(self.proposed), best=best)

    @property
    def accept_label(self) -> str:
        return words.accept_in_words(len(self.proposed))

    @property
    def plan_label(self) -> str:
        return "Plan again" if self.proposal else "Plan this month"


def month_page(month: Month, *, today: date) -> MonthPage:
    """Everything about a month. The number of queries does not depend on what it holds."""
    asked = planning.problem(month, today=today)
    proposal = planning.proposal_of(month)
    free = planning.placeable()
    standing = planning.standing_uploads()
    proposed = _proposed(proposal, {item.pk: item for item in free})
    off = planning.days_off(month)
    wishes = planning.wishes()
    shown = [*(_standing(upload, today) for upload in standing), *proposed]
    open_slots = set(asked.slots) - {one.day for one in proposed}
    days = _days(month, shown, off, open_slots, today)
    return MonthPage(
        month=month,
        weeks=tuple(_week(row, days, len(wishes.weekdays)) for row in month.weeks()),
        wishes=wishes,
        proposal=proposal if proposal and (proposed or proposal.unmet) else None,
        proposed=proposed,
        stale=proposal is not None and planning.fingerprint(asked) != proposal.fingerprint,
        open_slots=len(asked.slots),
        placeable=tuple(free),
        days_off=tuple(one for one in off if Month.of(one.day) == month),
        out_of_order=tuple(series_out_of_order(standing)),
        left_out=tuple(item.title for item in free if not planning.hours_known(item)),
        pace=pace_page(today=today),
    )


def details_of(item: FitnessClass) -> str:
    """The quiet line under a title: focus, length, whom it suits, what is still to do."""
    parts = [item.get_focus_display(), f"{item.minutes} min", stages_in_words(item.stages)]
    if item.minutes_of_work:
        parts.append(f"{hours_in_words(item.minutes_of_work)} to do")
    return " · ".join(parts)


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


def _standing(upload: Upload, today: date) -> Shown:
    overdue = upload.day < today and upload.item.state != State.PUBLISHED
    return Shown(upload.day, upload.item, upload, details_of(upload.item), overdue=overdue)


def _proposed(proposal: Proposal | None, items: dict[int, FitnessClass]) -> tuple[Shown, ...]:
    """Proposed classes that can still be placed, by day."""
    return tuple(
        Shown(
            day=date.fromisoformat(slot["day"]),
            item=items[slot["class"]],
            upload=None,
            details=details_of(items[slot["class"]]),
            reasons=tuple(slot["reasons"]),
        )
        for slot in (proposal.slots if proposal else [])
        if slot["class"] in items
    )


def _days(
    month: Month, shown: list[Shown], off: list[DayOff], free: set[date], today: date
) -> dict[date, Day]:
    by_day: dict[date, list[Shown]] = {}
    for one in shown:
        by_day.setdefault(one.day, []).append(one)
    closed = {one.day: one for one in off}
    return {
        day: Day(
            day=day,
            in_month=Month.of(day) == month,
            off=closed.get(day),
            shown=tuple(by_day.get(day, ())),
            free=day in free,
            past=day < today,
        )
        for week in month.weeks()
        for day in week
    }


def _week(row: list[date], days: dict[date, Day], wanted: int) -> Week:
    cells = tuple(days[day] for day in row)
    count = sum(len(cell.shown) for cell in cells)
    return Week(number=row[0].isocalendar().week, days=cells, count=count, wanted=wanted)
