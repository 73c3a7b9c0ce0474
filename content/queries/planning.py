"""Reads for planning a month: the planner's problem, from wishes, classes, uploads and clients."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from clients.queries import needs
from coach.scheduling.planner import FixedUpload, Need, PlanClass, Problem, freeze_need
from coach.scheduling.values import Stage
from content.models import (
    DayOff,
    FitnessClass,
    Proposal,
    Rhythm,
    State,
    Upload,
    Wishes,
)
from content.queries.design import designs
from content.queries.serving import class_stages
from content.rules.classes import IN_HAND
from content.rules.families import families
from content.rules.months import Month, closed_days, film_days, most_of, open_days
from content.rules.needed import as_clients
from content.rules.preferences import tuned, weights

_PLANNABLE = (State.IDEA, State.OUTLINED, State.FILMED, State.EDITED)
_TO_FILM = (State.IDEA, State.OUTLINED)
_DAYS_A_WEEK = 7


def wishes() -> Wishes:
    """Her wishes; before she has said any, a row not yet kept that has no publish days."""
    return Wishes.objects.first() or Wishes(pk=1)


def publish_weekdays(wanted: Wishes) -> list[int]:
    """The weekdays on which an upload may stand: any, with a rhythm of so many a week."""
    if wanted.rhythm == Rhythm.A_WEEK:
        return list(range(_DAYS_A_WEEK))
    return sorted(wanted.weekdays)


def proposal_of(month: Month) -> Proposal | None:
    """The plan last made for a month, if there is one."""
    return Proposal.objects.filter(month=month.first).first()


def standing_uploads() -> list[Upload]:
    """Every upload that counts, with its class: not taken off, its class not withdrawn."""
    return list(
        Upload.objects.filter(cancelled_at__isnull=True)
        .exclude(item__state=State.WITHDRAWN)
        .select_related("item__series")
        .order_by("day", "pk")
    )


def placeable() -> list[FitnessClass]:
    """Unpublished classes without a publish day, those furthest along first."""
    found = (
        FitnessClass.objects.filter(state__in=_PLANNABLE)
        .exclude(uploads__cancelled_at__isnull=True, uploads__isnull=False)
        .select_related("series")
    )
    order = {state: place for place, state in enumerate(reversed(_PLANNABLE))}
    return sorted(found, key=lambda item: (order[State(item.state)], item.title, item.pk))


def hours_known(item: FitnessClass) -> bool:
    """Whether it is known what a class still needs: unfinished with no hours is not known."""
    return item.state in IN_HAND or item.minutes_of_work > 0


def publish_days(month: Month) -> list[date]:
    """The days of a month that are publish days of hers and not days off."""
    wanted = publish_weekdays(wishes())
    closed = all_days_off()
    return [day for day in month.days() if day.weekday() in wanted and day not in closed]


def all_days_off() -> set[date]:
    """Every day off there is."""
    return set(DayOff.objects.values_list("day", flat=True))


@dataclass(frozen=True, slots=True)
class Ground:
    """What a month's plan stands on, read once."""

    month: Month
    wishes: Wishes
    uploads: list[Upload]
    placeable: list[FitnessClass]
    days_off: list[DayOff]
    proposal: Proposal | None

    @property
    def off(self) -> set[date]:
        return {one.day for one in self.days_off}

    @property
    def taken(self) -> set[date]:
        return {upload.day for upload in self.uploads}

    def slots(self, today: date) -> tuple[date, ...]:
        """The days that can still get a class."""
        return open_days(
            self.month,
            today=today,
            weekdays=publish_weekdays(self.wishes),
            days_off=self.off,
            taken=self.taken,
        )


def ground(month: Month) -> Ground:
    """Read what planning a month needs of the practice's own rows."""
    return Ground(
        month=month,
        wishes=wishes(),
        uploads=standing_uploads(),
        placeable=placeable(),
        days_off=list(DayOff.objects.all()),
        proposal=proposal_of(month),
    )


def problem(month: Month, *, today: date) -> Problem:
    """What the planner is asked for a month. The number of queries is fixed."""
    return problem_on(ground(month), today=today)


def problem_on(at: Ground, *, today: date) -> Problem:
    """The same, on what is read already."""
    wanted, month, slots = at.wishes, at.month, at.slots(today)
    seen = _Seen(class_stages(), families(_exercises()))
    classes = tuple(seen.plan_class(item) for item in at.placeable if hours_known(item))
    need, clients, ready = _needed(slots, wanted, today)
    return Problem(
        today=today,
        slots=slots,
        classes=classes,
        fixed=tuple(seen.fixed(upload) for upload in at.uploads),
        need=need,
        clients=clients,
        ready=ready,
        minutes_a_week=wanted.minutes_a_week,
        lead_days=wanted.lead_days,
        weights=tuned(weights()[wanted.preference], wanted.sliders),
        serve_every_days=wanted.serve_every_weeks * _DAYS_A_WEEK,
        days_off=tuple(day for day in at.off if day <= month.last),
        film_days=_film_days(at, today),
        films_a_day=wanted.films_a_day,
        film_lead_days=wanted.lead_film,
        a_week=wanted.a_week if wanted.rhythm == Rhythm.A_WEEK else None,
        gap_days=wanted.gap_days if wanted.rhythm == Rhythm.A_WEEK else 1,
        pins=_pins(at, {item.id for item in classes}, today),
        mix=_mix(at, len(slots)),
        closed=closed_days(
            month,
            today=today,
            weekdays=publish_weekdays(wanted),
            days_off=at.off,
            taken=at.taken,
        ),
    )


@dataclass(frozen=True, slots=True)
class _Seen:
    """What is worked out for every class at once, and a class as the planner sees it by that."""

    stages: Mapping[int, frozenset[Stage]]
    family: Mapping[int, int]

    def plan_class(self, item: FitnessClass) -> PlanClass:
        return PlanClass(
            id=item.pk,
            title=item.title,
            focus=item.focus,
            stages=self.stages.get(item.pk, frozenset()),
            minutes_of_work=item.minutes_of_work,
            series=item.series_id,
            series_title=item.series.title if item.series else "",
            part=item.part,
            effort=item.effort,
            not_before=item.not_before,
            not_after=item.not_after,
            wanted_soon=item.wanted_soon,
            needs_filming=item.state in _TO_FILM,
            family=self.family.get(item.pk),
        )

    def fixed(self, upload: Upload) -> FixedUpload:
        published = upload.item.state == State.PUBLISHED
        return FixedUpload(upload.day, self.plan_class(upload.item), published)


def _exercises() -> dict[int, tuple[str, ...]]:
    return {pk: design.exercises for pk, design in designs().items()}


def _needed(slots: tuple[date, ...], wanted: Wishes, today: date) -> tuple[Need, Need, Need]:
    """What plans are weighed by, the clients in it, and those of them who are ready."""
    found = needs(today=today, days=slots)
    weighed = {
        day: Counter(row)
        + Counter(
            {
                stage: as_clients(many, wanted.enquiries)
                for stage, many in found.enquiries.get(day, {}).items()
            }
        )
        for day, row in found.by_day.items()
    }
    return freeze_need(weighed), freeze_need(found.by_day), freeze_need(found.ready)


def _film_days(at: Ground, today: date) -> tuple[date, ...] | None:
    """None: she hasn't said when she films."""
    if not at.wishes.film_weekdays:
        return None
    return film_days(at.month, today=today, weekdays=at.wishes.film_weekdays, days_off=at.off)


def _pins(at: Ground, classes: set[int], today: date) -> tuple[tuple[date, int], ...]:
    """The pins that still ask something: of a class that is there, on a day to come."""
    kept = at.proposal.pins if at.proposal else []
    found = ((date.fromisoformat(pin["day"]), pin["class"]) for pin in kept)
    return tuple((day, pk) for day, pk in found if pk in classes and day > today)


def _mix(at: Ground, slots: int) -> tuple[tuple[str, int], ...]:
    """How many more classes of a focus the month takes, of each that has a share."""
    here = [up.item.focus for up in at.uploads if Month.of(up.day) == at.month]
    if at.wishes.rhythm == Rhythm.A_WEEK:
        slots = min(slots, -(-slots * at.wishes.a_week // _DAYS_A_WEEK))
    return tuple(
        (focus, most_of(share, slots + len(here), here.count(focus)))
        for focus, share in sorted(at.wishes.mix.items())
    )


def fingerprint(of: Problem) -> str:
    """The same for the same problem: tells whether a proposal still answers what is asked.

    The date itself is left out: what matters of it is in the days that are still open. So is why
    other days are not, which is only told.
    """
    return hashlib.sha256(as_text(of).encode()).hexdigest()


def is_current(proposal: Proposal, today: date) -> bool:
    """Whether a proposal answers what would be asked now."""
    asked = problem(Month.of(proposal.month), today=today)
    return fingerprint(asked) == proposal.fingerprint


def as_text(of: Problem) -> str:
    """A problem but for its date and closed days as JSON, the same in every process."""
    found = dataclasses.asdict(of)
    del found["today"], found["closed"]
    return json.dumps(found, default=_plain, sort_keys=True)


def _plain(value: object) -> object:
    """Sets in a fixed order: theirs differs from one process to the next."""
    return sorted(value) if isinstance(value, frozenset) else str(value)
