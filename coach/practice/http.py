"""The request as views see it: signed in, with the practice on it."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from coach import clock
from coach.practice.models import Practice, User


class Request(HttpRequest):
    """What the middlewares make of Django's request; every signed-in view gets one."""

    user: User
    practice: Practice
    htmx: HtmxDetails


def today(request: Request) -> date:
    """The date it is where the practice is."""
    return clock.today(ZoneInfo(request.practice.time_zone))
