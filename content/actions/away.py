"""Writes of days away: going away, and taking it back; each one transaction."""

from __future__ import annotations

from datetime import date

from django.db import transaction

from coach import clock
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change
from coach.scheduling.away import Moved, against_days, days_between
from coach.scheduling.away_back import Back, taking_back
from content.actions.uploads import Refused, move, place, refuse_if, take_off, today_here
from content.models import Away, DayOff, Upload
from content.queries import away as queries
from content.queries import planning


@transaction.atomic
def go_away(*, by: Actor, first: date, last: date, why: str = "", seen: str = "") -> Away:
    """Mark the days as off and move what slips; what finds no day is taken off.

    Refused for days that can't be days away, where nothing would change, and where `seen` (of the
    preview she looked at) no longer holds.
    """
    today = today_here()
    refuse_if(against_days(first, last, today=today))
    found = queries.slipping(first, last, today=today)
    if found.nothing:
        raise Refused("These days are off already, and no upload stands on them.")
    if seen and seen != found.seen:
        raise Refused("Something has changed since you looked: this is what slips now.")
    uploads = Upload.objects.select_related("item").in_bulk([one.id for one in found.moved])
    for one in found.moved:
        _slip(by, uploads[one.id], one)
    for day in found.new_days:
        off = DayOff.objects.create(day=day, why=why or "away")
        audit.record(by=by, verb="added", subject=off, fields=("day", "why"))
    away = Away.objects.create(
        first=first,
        last=last,
        why=why,
        days=[day.isoformat() for day in found.new_days],
        moved=[_as_row(one) for one in found.moved],
        by=by.user,
    )
    fields = ("first", "last", "why", "days", "moved")
    audit.record(by=by, verb="went away", subject=away, fields=fields)
    return away


def _slip(by: Actor, upload: Upload, to: Moved) -> None:
    if to.new is None:
        take_off(by=by, upload=upload, reason="no day was found for it")
    else:
        move(by=by, upload=upload, day=to.new)


def _as_row(one: Moved) -> dict[str, object]:
    to = one.new.isoformat() if one.new else None
    return {"upload": one.id, "from": one.old.isoformat(), "to": to}


@transaction.atomic
def take_back(*, by: Actor, away: Away) -> tuple[Back, ...]:
    """Undo days away; says of each upload whether it went back to its old day, and why not.

    Days off that another time away needs pass to that one. Refused if it was taken back before.
    """
    away.refresh_from_db(from_queryset=Away.objects.select_for_update())
    if away.taken_back_at:
        raise Refused("These days were taken back already.")
    _open_days(by, away)
    waiting = queries.without_day(away)
    backs = taking_back(
        queries.moved_of(away),
        [queries.standing(upload) for upload in planning.standing_uploads()],
        [queries.standing(upload) for upload in waiting.values()],
        today=today_here(),
        days_off=frozenset(planning.all_days_off()),
    )
    _put_back(by, backs, waiting)
    why = {back.id: back.why for back in backs}
    rows = [{**row, "kept": why.get(row["upload"], "")} for row in away.moved]
    changed = change(away, moved=rows, taken_back_at=clock.now())
    audit.record(by=by, verb="took back", subject=away, fields=changed)
    return backs


def _open_days(by: Actor, away: Away) -> None:
    """Remove the days off made for it, but those that another time away needs."""
    others = queries.others_need(away)
    # One marked by hand after the first was removed is not of this making.
    for off in DayOff.objects.filter(day__in=away.days, created_at__lte=away.at):
        heir = next((one for one in others if off.day in days_between(one.first, one.last)), None)
        if heir:
            change(heir, days=sorted([*heir.days, off.day.isoformat()]))
            audit.record(by=by, verb="changed", subject=heir, fields=("days",))
        else:
            audit.record(by=by, verb="removed", subject=off, fields=("day",))
            off.delete()


def _put_back(by: Actor, backs: tuple[Back, ...], waiting: dict[int, Upload]) -> None:
    going = [back for back in backs if not back.why]
    uploads = Upload.objects.select_related("item").in_bulk([back.id for back in going])
    for back in going:
        if back.id in waiting:
            place(by=by, item=waiting[back.id].item, day=back.old)
        else:
            move(by=by, upload=uploads[back.id], day=back.old)
