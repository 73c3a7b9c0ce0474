"""Who wrote to the demo practice and may become a client, from demo/enquiries.csv."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any
from uuid import UUID

from clients.actions.enquiries import (
    add_enquiry,
    became_client,
    close_enquiry,
    send_form,
    set_next_step,
)
from clients.models import Client, Enquiry, EnquiryState
from clients.queries.enquiries import class_titles
from coach.management.demo_rows import rows
from coach.practice import audit
from coach.practice.writing import change


def fill(today: date) -> None:
    """Every row; classes and clients are there already."""
    by_title = {title: uid for uid, title in class_titles()}
    for row in rows("enquiries.csv"):
        made = add_enquiry(by=audit.SYSTEM, **_about(row, by_title, today))
        _come_so_far(made, row, today)


def _about(row: dict[str, str], by_title: dict[str, UUID], today: date) -> dict[str, Any]:
    """What is known of her. A class that is not out is known by its title alone."""
    return {
        **{name: row[name] for name in ("name", "email", "phone", "handle", "where_from", "told")},
        "class_uid": by_title.get(row["class"]),
        "class_title": row["class"],
        "came_on": today + timedelta(days=int(row["came"])),
    }


def _come_so_far(made: Enquiry, row: dict[str, str], today: date) -> None:
    """Her form, the next step and its day, or what came of it."""
    state = EnquiryState(row["state"])
    if state == EnquiryState.INVITED:
        send_form(by=audit.SYSTEM, enquiry=made)
    elif state == EnquiryState.CLOSED:
        close_enquiry(by=audit.SYSTEM, enquiry=made, why=row["why"])
    elif state == EnquiryState.CLIENT:
        client = Client.objects.get(name=row["name"])
        became_client(by=audit.SYSTEM, enquiry=made, client=client)
    if row["next"]:
        _next(made, row["next_step"], today + timedelta(days=int(row["next"])), today)


def _next(made: Enquiry, step: str, day: date, today: date) -> None:
    set_next_step(by=audit.SYSTEM, enquiry=made, next_step=step, next_on=max(day, today))
    # No action takes a day that is over: this one has passed since it was set.
    change(made, next_on=day)
