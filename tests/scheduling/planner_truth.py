"""The best month of a small problem, by walking through every one of them.

Written from the words of the rules alone, and in another way than the checker: day by day with a
running account. Months that break one rule are walked too, to see what each rule keeps out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

from coach.scheduling.planner import FixedUpload, PlanClass, Problem
from coach.scheduling.values import Stage

Points = dict[str, int]
RULES = ("not before", "not after", "series", "fixed parts", "hours", "days off", "filming",
         "filming lead", "a week", "gap", "gap to fixed", "pins")  # fmt: skip
WISHES = ("fill", "serve", "reach", "soon", "focus", "effort", "family", "mix", "film", "work")


@dataclass
class Truth:
    """The best value of the months that keep every rule, None where there is none.

    `without` has for each rule the best value of the months that break that one alone;
    `ignoring` for each wish what the best month is worth without it, and with it.
    """

    best: int | None = None
    without: dict[str, int] = field(default_factory=dict)
    ignoring: dict[str, tuple[int, int]] = field(default_factory=dict)

    def note(self, broken: str, points: Points) -> None:
        """Keep a month if it is the best yet."""
        total = sum(points.values())
        if broken:
            self.without[broken] = max(total, self.without.get(broken, total))
            return
        self.best = total if self.best is None else max(total, self.best)
        for name, part in points.items():
            found = (total - part, total)
            self.ignoring[name] = max(found, self.ignoring.get(name, found))

    def rules_that_matter(self) -> set[str]:
        """The rules that alone keep out a better month, or keep out every month."""
        return {
            rule for rule, value in self.without.items() if self.best is None or value > self.best
        }

    def wishes_that_matter(self) -> set[str]:
        """The wishes without which another month would be chosen."""
        return {name for name, (_, total) in self.ignoring.items() if total != self.best}


def truth(problem: Problem) -> Truth:
    """What walking through every month finds."""
    found, walk = Truth(), Walk(problem)
    for step in walk.months(0, walk.start()):
        found.note(step.broken, step.points)
    return found


@dataclass(frozen=True, slots=True)
class Step:
    """How far a month has come: what was placed where, and the account of it."""

    placed: tuple[tuple[date, PlanClass], ...] = ()
    last: PlanClass | None = None
    last_is_placed: bool = False
    broken: str = ""
    points: Points = field(default_factory=lambda: dict.fromkeys(WISHES, 0))


class Walk:
    """One problem's calendar: its slots and standing uploads in order, and what each day allows."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.standing = [up for up in problem.fixed if up.published or up.day >= problem.today]
        self.waiting = [up for up in problem.fixed if not up.published]
        stops = [(up.day, up.item.id, up) for up in self.standing]
        stops += [(day, 0, None) for day in problem.slots]  # type: ignore[misc]  # None: a slot
        self.stops: list[tuple[date, FixedUpload | None]] = [
            (day, up) for day, _, up in sorted(stops, key=lambda stop: stop[:2])
        ]
        self.rooms = {day: dict(self._rooms(day)) for day in problem.slots}
        self.unserved = {day: self._unserved(day) for day in problem.slots}
        self.misfits = {
            (day, item): frozenset(self._misfit(day, item))
            for day in problem.slots
            for item in (None, *problem.classes)
        }

    def start(self) -> Step:
        """Before anything; a pin without its slot or its class is broken already."""
        ids = {item.id for item in self.problem.classes}
        pins = self.problem.pins
        lost = any(day not in self.rooms or number not in ids for day, number in pins)
        return Step(broken="pins" if lost else "")

    def months(self, i: int, step: Step) -> Iterator[Step]:
        """Every month that goes on from here and breaks at most one rule."""
        if i == len(self.stops):
            yield self._closed(step)
            return
        day, upload = self.stops[i]
        if upload is not None:
            yield from self.months(i + 1, self._past(step, upload.item))
            return
        there = {item.id for _, item in step.placed}
        for item in (None, *(item for item in self.problem.classes if item.id not in there)):
            broken = self.misfits[day, item].union([step.broken]) - {""}
            if len(broken) < 2:
                broken = broken.union(self._broken(step, day, item))
            if len(broken) < 2:
                yield from self.months(i + 1, self._on(step, day, item, "".join(broken)))

    def _past(self, step: Step, item: PlanClass) -> Step:
        """Past a standing upload: it repeats only what was placed."""
        points = self._repeats(step, item) if step.last_is_placed else step.points
        return Step(step.placed, item, False, step.broken, points)

    def _on(self, step: Step, day: date, item: PlanClass | None, broken: str) -> Step:
        """With a class, or none, on a slot."""
        if item is None:
            points = self._served(step.points, day, step.placed)
            return Step(step.placed, step.last, step.last_is_placed, broken, points)
        placed = (*step.placed, (day, item))
        points = self._served(self._repeats(step, item), day, placed)
        for wish, count in self._by_itself(day, item).items():
            points[wish] += getattr(self.problem.weights, wish) * count
        return Step(placed, item, True, broken, points)

    def _closed(self, step: Step) -> Step:
        """At the end of the month: shares and filming days are counted."""
        problem, points = self.problem, dict(step.points)
        focuses = [item.focus for _, item in step.placed]
        over = sum(max(0, focuses.count(focus) - most) for focus, most in problem.mix)
        points["mix"] -= problem.weights.mix * over
        if problem.film_days is not None:
            awaited = sum(up.item.needs_filming for up in self.waiting)
            filmed = sum(item.needs_filming for _, item in step.placed)
            a_day = problem.films_a_day
            more = (filmed + awaited + a_day - 1) // a_day - (awaited + a_day - 1) // a_day
            points["film"] -= problem.weights.film * more
        return Step(step.placed, broken=step.broken, points=points)

    def _repeats(self, step: Step, item: PlanClass) -> Points:
        """The points once this comes right after the last upload."""
        points, last, weights = dict(step.points), step.last, self.problem.weights
        if last is None:
            return points
        points["focus"] -= weights.focus * (last.focus == item.focus != "")
        points["effort"] -= weights.effort * (_band(last) == _band(item) != "")
        points["family"] -= weights.family * (last.family == item.family is not None)
        return points

    def _by_itself(self, day: date, item: PlanClass) -> dict[str, int]:
        """What a class on a day counts whatever else there is."""
        need = dict(dict(self.problem.need).get(day, ()))
        return {
            "fill": 1,
            "reach": sum(n for stage, n in need.items() if stage in item.stages & SERVED),
            "soon": item.wanted_soon * sum(slot >= day for slot in self.problem.slots),
            "work": -((item.minutes_of_work + 59) // 60),
        }

    def _served(
        self, points: Points, day: date, placed: tuple[tuple[date, PlanClass], ...]
    ) -> Points:
        """The points once the clients of a slot are counted who are served by what is placed."""
        within = range(self.problem.serve_every_days)
        stages = {
            stage for on, item in placed if (day - on).days in within for stage in item.stages
        }  # fmt: skip
        more = sum(n for stage, n in self.unserved[day].items() if stage in stages)
        return {**points, "serve": points["serve"] + self.problem.weights.serve * more}

    def _unserved(self, day: date) -> dict[Stage, int]:
        """The need of a slot that no standing upload serves."""
        within = range(self.problem.serve_every_days)
        served = {
            stage
            for up in self.standing
            if (day - up.day).days in within
            for stage in up.item.stages
        }
        need = dict(dict(self.problem.need).get(day, ()))
        return {stage: n for stage, n in need.items() if stage in SERVED - served}

    def _misfit(self, day: date, item: PlanClass | None) -> Iterator[str]:
        """The rules that having this class, or none, on a slot breaks whatever else there is."""
        pinned = [number for on, number in self.problem.pins if on == day]
        if any(item is None or item.id != number for number in pinned):
            yield "pins"
        if item is None:
            return
        if item.not_before and day < item.not_before:
            yield "not before"
        if item.not_after and item.not_after < day:
            yield "not after"
        if any(self._out_of_order(up, day, item) for up in self.problem.fixed):
            yield "fixed parts"
        if any(self._near(day, up.day) for up in self.standing):
            yield "gap to fixed"

    def _out_of_order(self, upload: FixedUpload, day: date, item: PlanClass) -> bool:
        """Whether a fixed upload of the series has another part before or after that should not."""
        there = upload.item
        if None in (item.series, item.part, there.part) or there.series != item.series:
            return False
        ranks = (there.part or 0, item.part or 0)
        return (ranks[0] < ranks[1] and upload.day >= day) or (
            ranks[0] > ranks[1] and upload.day <= day
        )

    def _near(self, one: date, other: date) -> bool:
        return abs((one - other).days) < self.problem.gap_days

    def _broken(self, step: Step, day: date, item: PlanClass | None) -> Iterator[str]:
        """The rules that it breaks because of what was placed before."""
        placed = [other for _, other in step.placed]
        if item is not None:
            if not self._lower_parts(item) <= {other.id for other in placed}:
                yield "series"
            if any(self._near(day, on) for on, _ in step.placed):
                yield "gap"
            if self._week_is_full(step, day):
                yield "a week"
            placed.append(item)
        minutes = sum(item.minutes_of_work for item in placed)
        films = sum(item.needs_filming for item in placed)
        yield from self._beyond(day, minutes, "hours", "days off")
        yield from self._beyond(day, films, "filming", "filming lead")

    def _lower_parts(self, item: PlanClass) -> set[int]:
        if item.series is None or item.part is None:
            return set()
        return {
            other.id
            for other in self.problem.classes
            if other.series == item.series and other.part is not None and other.part < item.part
        }

    def _week_is_full(self, step: Step, day: date) -> bool:
        if self.problem.a_week is None:
            return False
        week = day.isocalendar()[:2]
        there = [*(on for on, _ in step.placed), *(up.day for up in self.standing)]
        return sum(on.isocalendar()[:2] == week for on in there) >= self.problem.a_week

    def _beyond(self, day: date, used: int, roughly: str, exactly: str) -> Iterator[str]:
        """The harder of the two reasons for which so much is more than there is."""
        if used > self.rooms[day][roughly]:
            yield roughly
        elif used > self.rooms[day][exactly]:
            yield exactly

    def _rooms(self, day: date) -> Iterator[tuple[str, int]]:
        """What there is of time on a slot and on the days until the next that ask for it too."""
        after = min((slot for slot in self.problem.slots if slot > day), default=date.max)
        asking = [day, *(up.day for up in self.waiting if day < up.day < after)]
        for name, off in (("hours", ()), ("days off", self.problem.days_off)):
            yield name, min(self._minutes(limit, off) for limit in asking)
        for name, lead in (("filming", 0), ("filming lead", self.problem.film_lead_days)):
            yield name, min(self._films(limit, lead) for limit in asking)

    def _minutes(self, limit: date, off: Iterable[date]) -> int:
        ready_by = limit - timedelta(days=self.problem.lead_days)
        free = (ready_by - self.problem.today).days
        free -= sum(self.problem.today < day <= ready_by for day in off)
        promised = sum(up.item.minutes_of_work for up in self.waiting if up.day <= limit)
        return max(0, self.problem.minutes_a_week * max(0, free) // 7 - promised)

    def _films(self, limit: date, lead: int) -> int:
        if self.problem.film_days is None:
            return len(self.problem.classes)
        last = limit - timedelta(days=lead)
        takes = self.problem.films_a_day * sum(day <= last for day in self.problem.film_days)
        awaited = sum(up.item.needs_filming for up in self.waiting if up.day <= limit)
        return max(0, takes - awaited)


SERVED = frozenset(Stage) - {Stage.PAST_DUE, Stage.UNKNOWN}


def _band(item: PlanClass) -> str:
    """Hard from effort 7 up, easy from 3 down, by the words of the rules."""
    if item.effort is None or 3 < item.effort < 7:
        return ""
    return "hard" if item.effort > 5 else "easy"
