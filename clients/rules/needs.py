"""How many clients are at each stage on the days being planned. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from coach.scheduling.dates import PregnancyDates, forecast_stage, stage_on
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import Stage

ACTIVE, PAUSED = "active", "paused"


@dataclass(frozen=True, slots=True)
class Needed:
    """What planning asks of one client; nothing in it names her."""

    standing: str
    quiet: bool
    pregnancies: tuple[PregnancyDates, ...]


@dataclass(frozen=True, slots=True)
class Needs:
    """Active clients by stage on each day, and beside them those that no class is planned for.

    Every client being coached is either in `by_day` or in exactly one of the other counts:
    paused first, then quiet, then by today's stage. Former clients are nowhere.
    """

    by_day: Mapping[date, Mapping[Stage, int]]
    past_due: int = 0
    quiet: int = 0
    paused: int = 0
    unknown: int = 0

    @property
    def apart(self) -> int:
        """Clients that no class is planned for."""
        return self.past_due + self.quiet + self.paused + self.unknown


def count_needs(
    clients: Iterable[Needed],
    *,
    today: date,
    days: Sequence[date],
    scheme: TrimesterScheme = DEFAULT_SCHEME,
) -> Needs:
    """Count clients at each servable stage for each day; births are taken at the due date.

    `scheme` cuts the trimesters.
    """
    apart: Counter[str] = Counter()
    by_day: dict[date, Counter[Stage]] = {day: Counter() for day in days}
    for one in clients:
        if kind := _apart(one, today):
            apart[kind] += 1
            continue
        for day, counted in by_day.items():
            stage = forecast_stage(one.pregnancies, today=today, on=day, scheme=scheme)
            if stage.servable:
                counted[stage] += 1
    return Needs(
        by_day={day: dict(counted) for day, counted in by_day.items()},
        past_due=apart["past due"],
        quiet=apart["quiet"],
        paused=apart["paused"],
        unknown=apart["unknown"],
    )


def _apart(one: Needed, today: date) -> str:
    """Why no class is planned for her; empty when one is."""
    if one.standing != ACTIVE:
        return "paused" if one.standing == PAUSED else "former"
    if one.quiet:
        return "quiet"
    stage = stage_on(one.pregnancies, today)
    return {Stage.PAST_DUE: "past due", Stage.UNKNOWN: "unknown"}.get(stage, "")
