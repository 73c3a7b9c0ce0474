"""Reads the sentences of a plan and counts anew what each of them says.

A sentence that cannot be read is returned too: what cannot be checked is not
taken for true.
"""

from __future__ import annotations

import re
import sys
from calendar import month_name
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from coach.scheduling.planner import Need, Plan, PlanClass, Problem
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import (
    Chosen,
    Upload,
    broken_rules,
    need_on,
    reached,
)

Said = dict[str, str]
Check = Callable[["Scene", Said], bool]

MONTHS = list(month_name)
WORDS = re.split(" ", "none one two three four five six seven eight nine ten eleven twelve")
STAGES = {
    "trimester 1": Stage.TRIMESTER_1,
    "trimester 2": Stage.TRIMESTER_2,
    "trimester 3": Stage.TRIMESTER_3,
    "0–6 weeks after pregnancy": Stage.WEEKS_0_6,
    "6–12 weeks after pregnancy": Stage.WEEKS_6_12,
    "12–26 weeks after pregnancy": Stage.WEEKS_12_26,
    "26–52 weeks after pregnancy": Stage.WEEKS_26_52,
    "over 52 weeks after pregnancy": Stage.WEEKS_52_ON,
}


@dataclass(frozen=True)
class Scene:
    """A plan seen from one of its slots, or from none for what is unmet."""

    problem: Problem
    chosen: Chosen
    day: date = date.max

    @property
    def offered(self) -> dict[int, PlanClass]:
        return {item.id: item for item in self.problem.classes}

    @property
    def here(self) -> PlanClass:
        return self.offered[self.chosen[self.day]]

    @property
    def left(self) -> list[PlanClass]:
        return [item for item in self.problem.classes if item.id not in self.chosen.values()]

    @property
    def uploads(self) -> list[Upload]:
        """What stands and what is placed, in order."""
        standing = [
            Upload(up.day, up.item, False)
            for up in self.problem.fixed
            if up.published or up.day >= self.problem.today
        ]
        placed = [Upload(day, self.offered[n], True) for day, n in self.chosen.items()]
        return sorted([*standing, *placed], key=lambda up: (up.day, up.item.id))

    def titled(self, title: str) -> PlanClass:
        (found,) = (item for item in self.problem.classes if item.title == title)
        return found

    def last_for(self, stage: Stage) -> date | None:
        """The last day before this slot on which an upload suits the stage."""
        days = [up.day for up in self.uploads if up.day < self.day and stage in up.item.stages]
        return max(days, default=None)

    def window(self, day: date) -> list[date]:
        """The slots from which a class would still serve somebody on this day."""
        after = day - timedelta(days=self.problem.serve_every_days)
        return [slot for slot in self.problem.slots if after < slot <= day]

    def waiting(self, stage: Stage) -> list[date]:
        """The slots on which somebody at the stage is served by nothing in the window."""
        return [
            day
            for day in self.problem.slots
            if need_on(self.problem, day, stage)
            and not any(
                0 <= (day - up.day).days < self.problem.serve_every_days and stage in up.item.stages
                for up in self.uploads
            )
        ]

    def instead(self, day: date, item: PlanClass) -> Chosen:
        """The same month with this class on that day, and nowhere else."""
        rest = {slot: n for slot, n in self.chosen.items() if n != item.id}
        return {**rest, day: item.id}

    def fits(self, day: date, item: PlanClass, **changes: object) -> bool:
        """Whether the class keeps every rule on that day, were the problem so changed."""
        changed = replace(self.problem, **changes)  # type: ignore[arg-type]  # checked by replace
        return not broken_rules(changed, self.instead(day, item))


def number(words: str) -> int:
    """`nine` or `21`."""
    return WORDS.index(words.lower()) if words.lower() in WORDS else int(words)


def minutes(words: str) -> int:
    """`two hours 30 minutes`; `none` is nothing."""
    units = re.findall(r"(\w+) (hour|minute)s?", words)
    return sum(number(many) * (60 if unit == "hour" else 1) for many, unit in units)


def read_day(words: str, today: date) -> date:
    """`Thursday 19 June`, in the year nearest to today; the weekday must be right."""
    *weekday, day, month = words.split()
    years = (today.year - 1, today.year, today.year + 1)
    written = [date.fromisoformat(f"{year}-{MONTHS.index(month):02}-{int(day):02}")
               for year in years]  # fmt: skip
    found = min(written, key=lambda d: abs((d - today).days))
    assert weekday in ([], [f"{found:%A}"]), words
    return found


def _nobody(scene: Scene, said: Said) -> bool:
    return reached(scene.problem, scene.day, scene.here) == 0


def _work(scene: Scene, said: Said) -> bool:
    ready_by = scene.day - timedelta(days=scene.problem.lead_days)
    return (
        minutes(said["work"]) == scene.here.minutes_of_work > 0
        and read_day(said["by"], scene.problem.today) == ready_by
    )


def _parts_before(scene: Scene) -> list[Upload]:
    """What stands or is placed of the series with a lower part; overdue ones too."""
    overdue = [Upload(up.day, up.item, False) for up in scene.problem.fixed]
    everything = {(up.day, up.item.id): up for up in [*overdue, *scene.uploads]}
    return [
        up
        for up in everything.values()
        if up.item.series == scene.here.series and (up.item.part or 0) < (scene.here.part or 0)
        if up.item.part is not None
    ]


def _opens(scene: Scene, said: Said) -> bool:
    return number(said["part"]) == scene.here.part and _parts_before(scene) == []


def _follows(scene: Scene, said: Said) -> bool:
    on = read_day(said["on"], scene.problem.today)
    before = [up for up in _parts_before(scene) if up.day == on]
    return number(said["part"]) == scene.here.part and [up.item.part for up in before] == [
        number(said["lower"])
    ]


N, D, WORK = r"\w+", r"\w+day \d+ \w+", r"(?:none|\w+ (?:hour|minute)s?(?: \w+ minutes?)?)"
STAGE = "|".join(STAGES)
REASONS: dict[str, Check] = {
    r"No client is expected at a stage that it suits; it keeps the pace\.": _nobody,
    rf"It needs (?P<work>{WORK}) of work, ready by (?P<by>{D})\.": _work,
    rf"Part (?P<part>{N}) of “.+” opens the series\.": _opens,
    rf"Part (?P<part>{N}) of “.+” follows part (?P<lower>{N}) on (?P<on>{D})\.": _follows,
}

# A promise is kept where nothing is said beyond it; the numbers need not be exact.
CLIENTS = rf"(?P<n>{N}) clients?"
READY = rf"(?:, (?P<ready>with|without|all of them|{N} of them|and none of them)\b.*?)?"
PROMISES = (
    rf"{CLIENTS} will be (?:in )?(?P<stage>{STAGE}){READY}; .*",
    rf"It also suits {CLIENTS} at other stages{READY}\.",
    rf"Next best: .* suits {CLIENTS} fewer\b.*",
    rf"No class in the backlog suits (?P<stage>{STAGE}): outline one\. {CLIENTS} will be "
    rf"there{READY}\.",
    rf"(?:On|Slot by slot|For that) .*?\b{CLIENTS} (?:in )?(?P<stage>{STAGE})\b.*",
)


def overstated(plan: Plan, problem: Problem) -> Iterator[str]:
    """Each sentence that names more clients than there are, or more of them as ready.

    What is said of a slot's class is held against the clients of that day whom the class suits,
    all its sentences together; what is said of the month against its fullest slot.
    """
    offered = {item.id: item for item in problem.classes}
    for slot in plan.slots:
        suits, named = offered[slot.class_id].stages, Named()
        for sentence in slot.reasons:
            told = _told(sentence)
            named = named + told if "will be" in sentence or "also suits" in sentence else named
            if not told.within(problem, [slot.day], told.stages or suits):
                yield sentence
        if not named.within(problem, [slot.day], suits):
            yield " ".join(slot.reasons)
    for sentence in (*plan.unmet, *plan.better):
        told = _told(sentence)
        if not told.within(problem, problem.slots, told.stages):
            yield sentence


@dataclass(frozen=True)
class Named:
    """The clients that sentences name, and how many of them as having a go-ahead."""

    clients: int = 0
    ready: int = 0
    stages: frozenset[Stage] = frozenset()
    of_go_aheads: bool = False

    def __add__(self, other: Named) -> Named:
        stages = self.stages | other.stages
        spoken = self.of_go_aheads or other.of_go_aheads
        return Named(self.clients + other.clients, self.ready + other.ready, stages, spoken)

    def within(self, problem: Problem, days: Iterable[date], stages: frozenset[Stage]) -> bool:
        """Whether there are so many on one of the days; of go-aheads only where they are known."""
        told = problem.need if problem.clients is None else problem.clients
        there = max(_expected(told, day, stages) for day in days)
        ready = max(_expected(problem.ready or (), day, stages) for day in days)
        unknown = problem.ready is None and self.of_go_aheads
        return self.clients <= there and self.ready <= ready and not unknown


def _expected(table: Need, day: date, stages: frozenset[Stage]) -> int:
    row = dict(dict(table).get(day, ()))
    return sum(many for stage, many in row.items() if stage in stages and stage.servable)


def _told(sentence: str) -> Named:
    """The people of a sentence; one that speaks of clients otherwise claims all there could be."""
    read = filter(None, (re.fullmatch(pattern, sentence) for pattern in PROMISES))
    if said := next((found.groupdict() for found in read), None):
        stages = frozenset({STAGES[said["stage"]]} if said.get("stage") else ())
        clients, ready = number(said["n"]), said.get("ready") or ""
        some = {"": 0, "with": 1, "without": 0, "all": clients, "and": 0}
        word = ready.partition(" ")[0]
        return Named(clients, some[word] if word in some else number(word), stages, bool(ready))
    return Named(sys.maxsize if re.search(COUNTED, sentence) else 0)


COUNTED = rf"(?i:\b(?!(?:no|same)\b){N} clients?\b|go-ahead)"
