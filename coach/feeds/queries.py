"""Reads of the feeds."""

from __future__ import annotations

from coach.feeds import rules
from coach.feeds.models import FeedAddress, Kind
from coach.practice.models import User
from coach.practice.permissions import Access, Fact, access
from content.models import Upload

_FACT = {Kind.UPLOADS: Fact.CONTENT}


def live_address(person: User, kind: Kind = Kind.UPLOADS) -> FeedAddress | None:
    """Her address for a kind of feed, if one is switched on."""
    return FeedAddress.objects.filter(person=person, kind=kind, withdrawn_at=None).first()


def address_behind(token: str) -> FeedAddress | None:
    """The address with this secret part: live, and its person still here and allowed to see it."""
    found = (
        FeedAddress.objects.select_related("person")
        .filter(token_hash=rules.token_hash(token), withdrawn_at=None, person__is_active=True)
        .first()
    )
    if found is None or access(found.person.role, _FACT[Kind(found.kind)]) < Access.SEE:
        return None
    return found


def uploads() -> list[Upload]:
    """Every upload with its class and series, in one query; entries.py says which are shown."""
    return list(Upload.objects.select_related("item__series").order_by("day", "pk"))
