"""Enquiries for tests, with as little as the test needs to say. Every name is invented."""

from __future__ import annotations

import itertools
from datetime import date, timedelta
from typing import Any

from clients.models import Enquiry
from clients.rules.enquiries import Enquired

TODAY = date(2026, 12, 3)
_count = itertools.count(1)


def d(n: int) -> date:
    """So many days from today."""
    return TODAY + timedelta(days=n)


def enquiry(name: str = "", **values: Any) -> Enquiry:
    """A stored enquiry of today, reached by telephone."""
    name = name or f"Enquirer {next(_count)}"
    return Enquiry.objects.create(
        name=name, **{"came_on": TODAY, "phone": "+353 86 123 4567", **values}
    )


def one(name: str = "Sunniva B.", state: str = "open", **values: Any) -> Enquired:
    """An enquiry as the rules take it."""
    return Enquired(
        **{"pk": next(_count), "name": name, "state": state, "came_on": TODAY, **values}
    )
