"""How many clients are at each stage on the days being planned, and who of them is ready. Pure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from clients.rules.go_ahead import Span
from clients.rules.told_stage import Told
from coach.scheduling.dates import PregnancyDates, forecast_stage, stage_on
from coach.scheduling.trimesters import DEFAULT_SCHEME, TrimesterScheme
from coach.scheduling.values import GoAheadWord, Stage

ACTIVE, PAUSED = "active", "paused"
ByDay = Mapping[date, Mapping[Stage, int]]


@dataclass(frozen=True, slots=True)
class Needed:
    """What planning asks of one client; nothing in it names her.

    `spans`: the words of her go-ahead from today on, by what is recorded now; a day in none waits.
    """

    standing: str
    quiet: bool
    pregnancies: tuple[PregnancyDates, ...]
    spans: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True)
class Needs:
    """Active clients by stage on each day, and beside them those that no class is planned for.

    Every client being coached is either in `by_day` or in exactly one of the counts apart: paused
    first, then quiet, then on hold, then by today's stage. Former clients are nowhere. `ready`:
    of those in `by_day`, who by what is recorded now would have a go-ahead on that day; never one
    whose birth is only supposed. `enquiries`: those still open by what they told, and how many of
    them told nothing that names a stage today.
    """

    by_day: ByDay
    ready: ByDay = field(default_factory=dict)
    enquiries: ByDay = field(default_factory=dict)
    on_hold: int = 0
    past_due: int = 0
    quiet: int = 0
    paused: int = 0
    unknown: int = 0
    enquiries_unknown: int = 0

    @property
    def apart(self) -> int:
        """Clients that no class is planned for."""
        return self.on_hold + self.past_due + self.quiet + self.paused + self.unknown


def count_needs(
    clients: Iterable[Needed],
    *,
    today: date,
    days: Sequence[date],
    enquiries: Iterable[Told] = (),
    scheme: TrimesterScheme = DEFAULT_SCHEME,
) -> Needs:
    """Count at each servable stage for each day, today or later; births at the due date.

    `scheme` cuts the trimesters.
    """
    apart: Counter[str] = Counter()
    expected, ready, asked = _none(days), _none(days), _none(days)
    for one in clients:
        if kind := _apart(one, today):
            apart[kind] += 1
        else:
            _expect(one, today, scheme, expected, ready)
    for told in enquiries:
        apart["enquiry"] += not told.stage_on(today, today=today, scheme=scheme).servable
        for day in asked:
            _add(asked[day], told.stage_on(day, today=today, scheme=scheme))
    return Needs(
        by_day=_frozen(expected),
        ready=_frozen(ready),
        enquiries=_frozen(asked),
        on_hold=apart["on hold"],
        past_due=apart["past due"],
        quiet=apart["quiet"],
        paused=apart["paused"],
        unknown=apart["unknown"],
        enquiries_unknown=apart["enquiry"],
    )


_Counted = dict[date, Counter[Stage]]


def _none(days: Sequence[date]) -> _Counted:
    return {day: Counter() for day in days}


def _frozen(counted: _Counted) -> ByDay:
    return {day: dict(row) for day, row in counted.items()}


def _add(row: Counter[Stage], stage: Stage) -> None:
    if stage.servable:
        row[stage] += 1


def _expect(
    one: Needed, today: date, scheme: TrimesterScheme, expected: _Counted, ready: _Counted
) -> None:
    """Count her on every day, as ready only at a stage that is recorded and not supposed."""
    for day in expected:
        stage = forecast_stage(one.pregnancies, today=today, on=day, scheme=scheme)
        _add(expected[day], stage)
        if _word(one, day).may_train and stage_on(one.pregnancies, day, scheme) is stage:
            _add(ready[day], stage)


def _apart(one: Needed, today: date) -> str:
    """Why no class is planned for her; empty when one is."""
    if one.standing != ACTIVE:
        return "paused" if one.standing == PAUSED else "former"
    if one.quiet:
        return "quiet"
    if _on_hold(one, today):
        return "on hold"
    stage = stage_on(one.pregnancies, today)
    return {Stage.PAST_DUE: "past due", Stage.UNKNOWN: "unknown"}.get(stage, "")


def _on_hold(one: Needed, today: date) -> bool:
    """On today's date or the next, which it may be already where she is."""
    days = (today, today + timedelta(days=1))
    return any(_word(one, day) is GoAheadWord.ON_HOLD for day in days)


def _word(one: Needed, day: date) -> GoAheadWord:
    holding = (span for span in one.spans if span.first <= day)
    found = [span.word for span in holding if span.last is None or day <= span.last]
    return found[0] if found else GoAheadWord.WAITING
