"""The days of the month page: what stands and what is proposed on each, by weeks."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date

from content.models import DayOff, FitnessClass, Proposal, Rhythm, State, Upload
from content.queries.making import in_making
from content.queries.planning import Ground
from content.rules import plan_words as words
from content.rules.classes import hours_in_words, stages_in_words
from content.rules.months import Month


@dataclass(frozen=True, slots=True)
class Shown:
    """A class on a day. `upload` is None while it is only proposed.

    `new` and `was` tell it from the plan before: it was not in it, or on that other day.
    """

    day: date
    item: FitnessClass
    upload: Upload | None
    details: str
    reasons: tuple[str, ...] = ()
    overdue: bool = False
    pinned: bool = False
    new: bool = False
    was: date | None = None

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

    @property
    def classes(self) -> str:
        """How it is drawn."""
        kind = "published" if self.published else "" if self.upload else "proposed"
        return " ".join(filter(None, ["up", kind, "pinned" if self.pinned else ""]))


@dataclass(frozen=True, slots=True)
class Day:
    """One cell. `free` is a publish day still to come with nothing on it; `making` says what of a
    class is made then."""

    day: date
    in_month: bool
    off: DayOff | None
    shown: tuple[Shown, ...]
    free: bool
    past: bool
    making: str = ""

    @property
    def can_take(self) -> bool:
        """Whether a class can be dropped here."""
        return not (self.off or self.past)

    @property
    def classes(self) -> str:
        """How the cell is drawn: outside the month, a day off, nothing on it."""
        idle = not (self.off or self.shown or self.free or self.making)
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


def proposed_in(proposal: Proposal | None, items: dict[int, FitnessClass]) -> tuple[Shown, ...]:
    """Proposed classes that can still be placed, by day."""
    slots = proposal.slots if proposal else []
    return tuple(_shown(slot, items[slot["class"]]) for slot in slots if slot["class"] in items)


def _shown(slot: dict[str, object], item: FitnessClass) -> Shown:
    """A slot as it is kept with its class, as pages show it."""
    day, was = str(slot["day"]), slot.get("was")
    reasons = slot["reasons"]
    assert isinstance(reasons, list)  # JSON of our own
    return Shown(
        day=date.fromisoformat(day),
        item=item,
        upload=None,
        details=details_of(item),
        reasons=tuple(words.without_points(reason) for reason in reasons),
        pinned=bool(slot.get("pinned")),
        new="was" in slot and was is None,
        was=date.fromisoformat(str(was)) if was else None,
    )


def details_of(item: FitnessClass) -> str:
    """The quiet line under a title: focus, length, whom it suits, what is still to do."""
    parts = [item.get_focus_display(), f"{item.minutes} min", stages_in_words(item.stages)]
    if item.minutes_of_work:
        parts.append(f"{hours_in_words(item.minutes_of_work)} to do")
    return " · ".join(parts)


def weeks_of(at: Ground, proposed: tuple[Shown, ...], today: date) -> tuple[Week, ...]:
    """The month as ISO 8601 weeks with all that stands or is proposed."""
    shown = [*(_standing(upload, today) for upload in at.uploads), *proposed]
    days = _days(at, shown, today)
    return tuple(_week(row, days, at.wishes.target) for row in at.month.weeks())


def _standing(upload: Upload, today: date) -> Shown:
    overdue = upload.day < today and upload.item.state != State.PUBLISHED
    return Shown(upload.day, upload.item, upload, details_of(upload.item), overdue=overdue)


def _days(at: Ground, shown: list[Shown], today: date) -> dict[date, Day]:
    by_day: dict[date, list[Shown]] = {}
    for one in shown:
        by_day.setdefault(one.day, []).append(one)
    closed = {one.day: one for one in at.days_off}
    making = _making(today)
    free = set(at.slots(today)) if at.wishes.rhythm == Rhythm.WEEKDAYS else set()
    return {
        day: Day(
            day=day,
            in_month=Month.of(day) == at.month,
            off=closed.get(day),
            shown=tuple(by_day.get(day, ())),
            free=day in free and day not in by_day,
            past=day < today,
            making=words.making_in_words(making.get(day, {})),
        )
        for week in at.month.weeks()
        for day in week
    }


def _making(today: date) -> dict[date, Counter[str]]:
    """How many classes have each step on a day, for the uploads that stand."""
    found: dict[date, Counter[str]] = {}
    for one in in_making(today).steps:
        found.setdefault(one.day, Counter())[one.step] += 1
    return found


def _week(row: list[date], days: dict[date, Day], wanted: int) -> Week:
    cells = tuple(days[day] for day in row)
    count = sum(len(cell.shown) for cell in cells)
    return Week(number=row[0].isocalendar().week, days=cells, count=count, wanted=wanted)
