"""Reads of classes: the shelf and its filters, series, the published history."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import groupby
from uuid import UUID

from django.db.models import (
    Case,
    Count,
    F,
    IntegerField,
    Max,
    OuterRef,
    Prefetch,
    Q,
    QuerySet,
    Subquery,
    Sum,
    TextField,
    When,
)
from django.db.models.expressions import OrderBy
from django.db.models.functions import Cast, TruncMonth

from content.models import FitnessClass, Series, State, Upload
from content.rules import classes as rules

LIVE = Q(cancelled_at__isnull=True)
_NEAREST_TO_DONE = (
    State.SCHEDULED,
    State.EDITED,
    State.FILMED,
    State.OUTLINED,
    State.IDEA,
    State.PUBLISHED,
    State.WITHDRAWN,
)


def _place_of_state() -> OrderBy:
    """The states as they are listed above."""
    places = (When(state=state, then=place) for place, state in enumerate(_NEAREST_TO_DONE))
    return Case(*places, output_field=IntegerField()).asc()


# Said for both databases: SQLite would put what has no value first, PostgreSQL last.
SORTS: dict[str, tuple[str | OrderBy, ...]] = {
    "done": (
        _place_of_state(),
        F("day_to_come").asc(nulls_last=True),
        F("live_day").desc(nulls_last=True),
        "-pk",
    ),
    "newest": ("-pk",),
    "title": ("title", "pk"),
    "series": (F("series__title").asc(nulls_last=True), "part", "title", "pk"),
    "day": (F("live_day").asc(nulls_last=True), "title", "pk"),
    "length": ("minutes", "title", "pk"),
}

_DAY_WORDS: dict[str, str] = {State.PUBLISHED: "published", State.WITHDRAWN: "was published"}


@dataclass(frozen=True, slots=True)
class Line:
    """A class as lists show it: in words."""

    pk: int
    title: str
    state: str
    series: str
    part: int | None
    stages: str
    stages_known: bool
    focus: str
    minutes: int
    effort: int | None
    work: str
    day: date | None
    day_words: str
    act: str
    overdue: bool


@dataclass(frozen=True, slots=True)
class GroupCount:
    """How many classes a group of states holds, and the minutes of work they still need."""

    code: str
    title: str
    count: int
    minutes_of_work: int

    @property
    def work(self) -> str:
        """The work left in words; empty when there is none."""
        return rules.hours_in_words(self.minutes_of_work) if self.minutes_of_work else ""


@dataclass(frozen=True, slots=True)
class Month:
    """What was published in one month, the latest first; `count` is of the whole month."""

    first: date
    count: int
    lines: list[Line]


def classes() -> QuerySet[FitnessClass]:
    """Classes with their series and the upload that stands, in two queries."""
    live = Prefetch("uploads", queryset=Upload.objects.filter(LIVE), to_attr="live")
    return FitnessClass.objects.select_related("series").prefetch_related(live)


def shelf(
    *,
    search: str = "",
    group: str = "",
    focus: str = "",
    stage: str = "",
    series: int | None = None,
    sort: str = "done",
) -> QuerySet[FitnessClass]:
    """Classes that fit all filters given; `stage` is a code of Stage, or "unknown"."""
    found = _searched(classes(), search)
    if group:
        found = found.filter(state__in=_states(group))
    if focus:
        found = found.filter(focus=focus)
    if series:
        found = found.filter(series_id=series)
    return _suiting(_with_days(found), stage).order_by(*SORTS[sort])


def _with_days(found: QuerySet[FitnessClass]) -> QuerySet[FitnessClass]:
    """With the day that stands, and the same only while the class is not out yet."""
    day = Upload.objects.filter(LIVE, item=OuterRef("pk")).values("day")[:1]
    to_come = Case(
        When(state__in=(State.PUBLISHED, State.WITHDRAWN), then=None), default=F("live_day")
    )
    return found.annotate(live_day=Subquery(day)).annotate(day_to_come=to_come)


def _searched(found: QuerySet[FitnessClass], search: str) -> QuerySet[FitnessClass]:
    """Every word must be in the title, the series or the note."""
    for word in search.split():
        found = found.filter(
            Q(title__icontains=word) | Q(series__title__icontains=word) | Q(note__icontains=word)
        )
    return found


def _states(group: str) -> tuple[str, ...]:
    return next(known.states for known in rules.GROUPS if known.code == group)


def _suiting(found: QuerySet[FitnessClass], stage: str) -> QuerySet[FitnessClass]:
    """By stage; the JSON is read as text, which SQLite and PostgreSQL both can."""
    if stage == "unknown":
        return found.filter(stages=[])
    if stage:
        text = found.annotate(stages_text=Cast("stages", TextField()))
        return text.filter(stages_text__contains=f'"{stage}"')
    return found


def group_counts() -> list[GroupCount]:
    """Every group of states with what it holds, in one query."""
    rows = FitnessClass.objects.order_by().values("state")
    totals = {
        row["state"]: (row["n"], row["work"])
        for row in rows.annotate(n=Count("pk"), work=Sum("minutes_of_work"))
    }
    return [
        GroupCount(
            group.code,
            group.title,
            sum(totals.get(state, (0, 0))[0] for state in group.states),
            sum(totals.get(state, (0, 0))[1] for state in group.states),
        )
        for group in rules.GROUPS
    ]


def line(item: FitnessClass, *, today: date, upload: Upload | None = None) -> Line:
    """One class in words; its day is that of `upload`, else of the one read with it."""
    live: list[Upload] = getattr(item, "live", [])
    upload = upload or (live[0] if live else None)
    day = upload.day if upload else None
    act = rules.wanted_act(item.state, day, today=today)
    overdue = act == "publish" and day is not None and day < today
    work = rules.work_left(item.state, item.minutes_of_work)
    return Line(
        pk=item.pk,
        title=item.title,
        state=item.state,
        series=f"{item.series.title}, part {item.part}" if item.series else "",
        part=item.part,
        stages=rules.stages_in_words(item.stages),
        stages_known=bool(item.stages),
        focus=item.get_focus_display(),
        minutes=item.minutes,
        effort=item.effort,
        work=rules.hours_in_words(work) if work else "",
        day=day,
        day_words=_words_before(item.state, overdue) if day else "",
        act=act,
        overdue=overdue,
    )


def _words_before(state: str, overdue: bool) -> str:
    return _DAY_WORDS.get(state, "was planned for" if overdue else "planned for")


def all_series() -> list[Series]:
    """Every series, by title."""
    return list(Series.objects.order_by("title"))


def holder_of_part(series_title: str, part: int, *, besides: int | None = None) -> str:
    """The title of the class that already is this part of the series; empty when it's free."""
    title = " ".join(series_title.split())
    found = FitnessClass.objects.filter(series__title__iexact=title, part=part)
    others = found.exclude(pk=besides) if besides else found
    return others.values_list("title", flat=True).first() or ""


def class_or_none(pk: int) -> FitnessClass | None:
    """One class with its series, if it is there."""
    return FitnessClass.objects.select_related("series").filter(pk=pk).first()


def next_part(item: FitnessClass) -> int | None:
    """The part after the last one of its series; None outside a series."""
    if item.series is None:
        return None
    last = item.series.classes.aggregate(last=Max("part"))["last"] or 0
    return int(last) + 1


def published() -> QuerySet[Upload]:
    """The days on which something came out, the latest first; withdrawn later or not."""
    states = (State.PUBLISHED, State.WITHDRAWN)
    found = Upload.objects.filter(LIVE, item__state__in=states)
    return found.select_related("item__series").order_by("-day", "-pk")


def by_month(uploads: list[Upload], *, today: date) -> list[Month]:
    """Published uploads as lines under their months, in the order given."""
    rows = published().order_by().annotate(month=TruncMonth("day")).values("month")
    counts = {row["month"]: row["n"] for row in rows.annotate(n=Count("pk"))}
    months = groupby(uploads, key=lambda upload: upload.day.replace(day=1))
    return [
        Month(first, counts[first], [line(up.item, today=today, upload=up) for up in grouped])
        for first, grouped in months
    ]


def published_titles() -> list[tuple[UUID, str]]:
    """Key and title of what is out, the latest first; one query."""
    out = _with_days(FitnessClass.objects.filter(state=State.PUBLISHED))
    return list(
        out.order_by(F("live_day").desc(nulls_last=True), "-pk").values_list("uid", "title")
    )
