"""What the making of classes asks for: what is late with what slips, and the next filming day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from django.urls import reverse

from coach.scheduling.planner.words import number
from coach.today.queries.items import Item
from content.queries.making import InMaking
from content.queries.making_page import Late, late_classes, next_filming

LISTED = 4


def late(found: InMaking) -> Iterator[Item]:
    """Steps that are late and classes that do not fit the hours, one line a class.

    A class whose publish day has passed is told of by that.
    """
    today = found.calendar.today
    rows = [one for one in late_classes(found) if one.upload.day >= today]
    yield from (_line(one, today) for one in rows[:LISTED])
    more = len(rows) - LISTED
    if more > 0:
        what = (
            f"{number(more).capitalize()} more class{'' if more == 1 else 'es'} late in the making"
        )
        yield Item("now", what, reverse("uploads:making"), "see them", late=True)


def filming(found: InMaking) -> Iterator[Item]:
    """The next filming day with its classes; nothing where none is to be filmed."""
    line = next_filming(found)
    if line:
        titles = ", ".join(upload.item.title for upload in line.uploads)
        what = f"{line.act}: {titles}"
        note = f"{line.note[:1].upper()}{line.note[1:]}"
        yield Item(line.day, what, reverse("uploads:making"), "see all", note)


def _line(one: Late, today: date) -> Item:
    url = f"{reverse('classes:detail', args=[one.upload.item_id])}#making"
    act = f"{one.act}: " if one.act else "Too little time: "
    when = one.when if one.act and one.when > today else "now"
    note = f"{one.why} {one.what_to_do}"
    return Item(when, f"{act}{one.upload.item.title}", url, "open", note, late=True)
