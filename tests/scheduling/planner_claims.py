"""Reads the sentences of a plan and counts anew what each of them says.

A sentence that cannot be read is returned too: what cannot be checked is not
taken for true.
"""

from __future__ import annotations

import re
from calendar import month_name
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from coach.scheduling.planner import Plan, PlanClass, Problem
from coach.scheduling.values import Stage
from tests.scheduling.planner_checker import (
    Chosen,
    Upload,
    broken_rules,
    need_on,
    reached,
    repeats,
    value_of,
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

    def minutes(self, day: date) -> tuple[int, int]:
        """Minutes that there are by a day, and minutes promised by it."""
        days = max(0, (day - self.problem.today).days - self.problem.lead_days)
        promised = sum(
            up.item.minutes_of_work
            for up in self.problem.fixed
            if not up.published and up.day <= day
        )
        return self.problem.minutes_a_week * days // 7, promised


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


def _seen_by(scene: Scene, said: Said) -> bool:
    stage = STAGES[said["stage"]]
    last = read_day(said["last"], scene.problem.today) if said.get("last") else None
    return (
        stage in scene.here.stages
        and number(said["n"]) == need_on(scene.problem, scene.day, stage)
        and scene.last_for(stage) == last
    )


def _others(scene: Scene, said: Said) -> bool:
    everyone = reached(scene.problem, scene.day, scene.here)
    return 0 < number(said["n"]) < everyone


def _nobody(scene: Scene, said: Said) -> bool:
    return reached(scene.problem, scene.day, scene.here) == 0


def _work(scene: Scene, said: Said) -> bool:
    ready_by = scene.day - timedelta(days=scene.problem.lead_days)
    return (
        minutes(said["work"]) == scene.here.minutes_of_work > 0
        and read_day(said["by"], scene.problem.today) == ready_by
    )


def _finished(scene: Scene, said: Said) -> bool:
    return scene.here.minutes_of_work == 0


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


def _neighbour(scene: Scene) -> Upload:
    uploads = scene.uploads
    index = [up.day for up in uploads if up.placed or up.day != scene.day].index(scene.day)
    return uploads[index - 1]


def _after(scene: Scene, said: Said) -> bool:
    before = _neighbour(scene)
    focuses = (scene.here.focus, before.item.focus)
    return focuses == (said["this"].lower(), said["that"]) and _effort(scene, before, said)


def _again(scene: Scene, said: Said) -> bool:
    before = _neighbour(scene)
    same = scene.here.focus == before.item.focus == said["this"].lower()
    return (
        same
        and before.day == read_day(said["on"], scene.problem.today)
        and _effort(scene, before, said)
    )


def _effort(scene: Scene, before: Upload, said: Said) -> bool:
    if not said.get("now"):
        return True
    return (scene.here.effort, before.item.effort) == (number(said["now"]), number(said["then"]))


def _next_best(scene: Scene, said: Said) -> bool:
    """It can stand there, nothing else left is worth more, and each cost is as said."""
    other = scene.titled(said["title"])
    worth = {
        item.id: value_of(scene.problem, scene.instead(scene.day, item))
        for item in scene.left
        if scene.fits(scene.day, item)
    }
    return (
        other in scene.left
        and worth.get(other.id) == max(worth.values())
        and all(_cost(scene, other, cost) for cost in _costs(said["costs"]))
    )


def _costs(words: str) -> list[str]:
    return re.split(r" and (?=suits|leaves|repeats|needs)", words)


def _cost(scene: Scene, other: PlanClass, words: str) -> bool:
    swapped = scene.instead(scene.day, other)
    after = replace(scene, chosen=swapped)
    problem, here = scene.problem, scene.here
    if words == "would do as well":
        return value_of(problem, swapped) == value_of(problem, scene.chosen)
    if said := re.fullmatch(r"suits (\w+) clients? fewer", words):
        fewer = reached(problem, scene.day, here) - reached(problem, scene.day, other)
        return number(said[1]) == fewer
    if said := re.fullmatch(r"needs (.+) more of work", words):
        return minutes(said[1]) == other.minutes_of_work - here.minutes_of_work
    if said := re.fullmatch(r"repeats (.+)", words):
        return other.focus == said[1] and len(repeats(after.uploads)) > len(repeats(scene.uploads))
    if said := re.fullmatch(r"leaves (.+) waiting (\w+) days? more", words):
        return _wait(after, STAGES[said[1]]) == number(said[2])
    if said := re.fullmatch(r"leaves (.+) without a class until the month is out", words):
        return _wait(after, STAGES[said[1]]) is None and STAGES[said[1]] in here.stages
    return False


def _wait(after: Scene, stage: Stage) -> int | None:
    """Days from this slot to the next upload that suits the stage, None where none comes."""
    days = [up.day for up in after.uploads if up.day >= after.day and stage in up.item.stages]
    return (min(days) - after.day).days if days else None


def _dates(words: str, today: date) -> list[date]:
    return [read_day(words, today) for words in re.split(r", | and ", words)]


N, D, WORK = r"\w+", r"\w+day \d+ \w+", r"(?:none|\w+ (?:hour|minute)s?(?: \w+ minutes?)?)"
STAGE = "|".join(STAGES)
EFFORT = rf"(?:, effort (?P<now>{N}) after (?P<then>{N}))?"
REASONS: dict[str, Check] = {
    rf"(?P<n>{N}) clients? will be (?:in )?(?P<stage>{STAGE}); nothing for them "
    rf"(?:yet|since (?P<last>\d+ \w+))\.": _seen_by,
    rf"(?P<n>{N}) clients? will be (?:in )?(?P<stage>{STAGE}); "
    rf"the last for them is on (?P<last>{D})\.": _seen_by,
    rf"It also suits (?P<n>{N}) clients? at other stages\.": _others,
    r"No client is expected at a stage that it suits; it keeps the pace\.": _nobody,
    rf"It needs (?P<work>{WORK}) of work, ready by (?P<by>{D})\.": _work,
    r"It is finished\.": _finished,
    rf"Part (?P<part>{N}) of “.+” opens the series\.": _opens,
    rf"Part (?P<part>{N}) of “.+” follows part (?P<lower>{N}) on (?P<on>{D})\.": _follows,
    rf"(?P<this>\w+) after (?P<that>\w+){EFFORT}\.": _after,
    rf"(?P<this>\w+) again, as on (?P<on>{D}){EFFORT}\.": _again,
    r"Next best: (?P<title>.+?), which (?P<costs>.+)\.": _next_best,
}


def untruths(plan: Plan, problem: Problem, unmet: dict[str, Check]) -> Iterator[str]:
    """Each sentence of the plan that is not so, and each that cannot be read."""
    chosen = {slot.day: slot.class_id for slot in plan.slots}
    for slot in plan.slots:
        scene = Scene(problem, chosen, slot.day)
        yield from (f"{slot.day}: {why}" for why in slot.reasons if not _true(scene, why, REASONS))
    scene = Scene(problem, chosen)
    yield from (why for why in plan.unmet if not _true(scene, why, unmet))


def _true(scene: Scene, sentence: str, kinds: dict[str, Check]) -> bool:
    for pattern, check in kinds.items():
        if said := re.fullmatch(pattern, sentence):
            return check(scene, said.groupdict())
    return False
