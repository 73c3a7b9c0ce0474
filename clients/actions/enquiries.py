"""Writes of enquiries; each is one transaction with one audit entry about the enquiry."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.db import transaction

from clients.actions.intake import make_link
from clients.actions.shared import Refused, refuse_if
from clients.models import Client, Enquiry, EnquiryState, Intake
from clients.queries.days import practice_today
from clients.queries.enquiries import enquired
from clients.rules import enquiries as rules
from clients.rules.pregnancies import Problem
from coach.practice import audit
from coach.practice.audit import Actor
from coach.practice.writing import change

_WAYS = ("email", "phone", "handle")
# What may be written about an enquiry; how far it has come has actions of its own.
_ABOUT = frozenset(
    (*_WAYS, "name", "where_from", "class_uid", "class_title", "told", "told_due", "note",
     "came_on")
)  # fmt: skip
_NOT_OPEN = "She is no open enquiry any more."


@transaction.atomic
def add_enquiry(
    *, by: Actor, name: str, next_step: str = "", next_on: date | None = None, **values: Any
) -> Enquiry:
    """Keep somebody who may become a client; a name and one way to reach her are enough.

    `values`: any of email, phone, handle, where_from, class_uid, class_title, told, told_due,
    note, came_on. Refused when it cannot be, and for somebody who is among the enquiries already.
    """
    today = practice_today()
    row = Enquiry(**{"name": name, "came_on": today, **_only_about(values)})
    ways = _ways(row)
    refuse_if([*_problems(row, today), *rules.step_problems(next_step, next_on, today=today)])
    for one in enquired():
        if rules.same_person(one, name, ways):
            raise Refused([Problem("name", f"{one.name} is among the enquiries already.")])
    row.next_step, row.next_on = next_step, next_on
    row.save()
    known = {field for field, value in values.items() if value not in (None, "")}
    step = {field for field in ("next_step", "next_on") if getattr(row, field)}
    audit.record(by=by, verb="added", subject=row, fields={"name", *known, *step})
    return row


@transaction.atomic
def change_enquiry(*, by: Actor, enquiry: Enquiry, **values: Any) -> Enquiry:
    """Change who she is, how she is reached, where from, what she told; what is not given stays."""
    _lock(enquiry)
    values = _only_about(values)
    wanted = Enquiry(**{name: values.get(name, getattr(enquiry, name)) for name in _ABOUT})
    refuse_if(_problems(wanted, practice_today()))
    audit.record(by=by, verb="changed", subject=enquiry, fields=change(enquiry, **values))
    return enquiry


@transaction.atomic
def set_next_step(*, by: Actor, enquiry: Enquiry, next_step: str, next_on: date | None) -> Enquiry:
    """The step so far is done: the next one, with its day if it has one, or none at all."""
    _lock_running(enquiry)
    refuse_if(rules.step_problems(next_step, next_on, today=practice_today()))
    changed = change(enquiry, next_step=next_step, next_on=next_on)
    audit.record(by=by, verb="took the next step of", subject=enquiry, fields=changed)
    return enquiry


@transaction.atomic
def close_enquiry(*, by: Actor, enquiry: Enquiry, why: str) -> Enquiry:
    """Nothing comes of it: kept with the reason, out of the way. Refused without one."""
    _lock_running(enquiry)
    if not why.strip():
        raise Refused([Problem("why", "Say why.")])
    changed = change(enquiry, state=EnquiryState.CLOSED, closed_why=why.strip())
    audit.record(by=by, verb="closed", subject=enquiry, fields=changed)
    return enquiry


@transaction.atomic
def reopen_enquiry(*, by: Actor, enquiry: Enquiry) -> Enquiry:
    """A closed one is open again, to be written back to today; the reason is erased."""
    _lock(enquiry)
    if enquiry.state != EnquiryState.CLOSED:
        raise Refused([Problem("", "It is not closed.")])
    changed = change(
        enquiry,
        state=EnquiryState.OPEN,
        closed_why="",
        next_step=rules.FIRST_STEP,
        next_on=practice_today(),
    )
    audit.record(by=by, verb="opened again", subject=enquiry, fields=changed)
    return enquiry


@transaction.atomic
def send_form(*, by: Actor, enquiry: Enquiry) -> Intake:
    """Her form by link, the same while it is open. A step that was due gives way to asking later.

    Refused for one that is closed or is a client.
    """
    _lock_running(enquiry)
    made = make_link(by=by, enquiry=enquiry)
    enquiry.refresh_from_db()
    today = practice_today()
    values: dict[str, Any] = {"state": EnquiryState.INVITED}
    if enquiry.next_on is None or enquiry.next_on <= today:
        later = today + timedelta(days=rules.AFTER_FORM_DAYS)
        values |= {"next_step": rules.AFTER_FORM, "next_on": later}
    changed = {*change(enquiry, **values), "state"}
    audit.record(by=by, verb="invited", subject=enquiry, fields=changed)
    return made


@transaction.atomic
def became_client(*, by: Actor, enquiry: Enquiry, client: Client) -> Enquiry:
    """She is a client now; where she came from stays. Refused if she is another client already."""
    _lock(enquiry)
    if enquiry.client_id not in (None, client.pk):
        raise Refused([Problem("", "This enquiry has become another client already.")])
    changed = change(enquiry, state=EnquiryState.CLIENT, client=client, closed_why="")
    if changed:
        audit.record(by=by, verb="became a client", subject=enquiry, fields=changed)
    return enquiry


def _only_about(values: dict[str, Any]) -> dict[str, Any]:
    if unknown := set(values) - _ABOUT:
        raise TypeError(f"not about an enquiry: {', '.join(sorted(unknown))}")
    return values


def _ways(row: Enquiry) -> list[str]:
    return [getattr(row, way) for way in _WAYS]


def _problems(row: Enquiry, today: date) -> list[Problem]:
    return rules.enquiry_problems(
        name=row.name, ways=_ways(row), came_on=row.came_on, told_due=row.told_due, today=today
    )


def _lock(enquiry: Enquiry) -> None:
    """The enquiry as it is now, held until the transaction ends."""
    enquiry.refresh_from_db(from_queryset=Enquiry.objects.select_for_update())


def _lock_running(enquiry: Enquiry) -> None:
    _lock(enquiry)
    if enquiry.state not in rules.RUNNING:
        raise Refused([Problem("", _NOT_OPEN)])
