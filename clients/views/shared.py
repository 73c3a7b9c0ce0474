"""What the views of clients share."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

from django.db import models
from django.http import HttpResponse
from django.utils.http import content_disposition_header

from clients import actions
from clients.rules.pregnancies import Problem
from coach.practice import audit, files
from coach.practice.audit import actor_of
from coach.practice.http import Request
from coach.practice.models import StoredFile
from coach.practice.permissions import Access, Fact, may

# The same words on every page that shows a fact of that kind.
ALL_HEALTH = ("quiet", "note", "pregnancies", "clearances", "signs", "assessments")
# What came from outside: nothing in it may run, and nobody else may frame it.
FILE_POLICY = "sandbox; default-src 'none'; frame-ancestors 'none'"
T = TypeVar("T")


class Refusable(Protocol):
    """A form that puts what an action refused beside its fields."""

    def refuse(self, problems: Iterable[Problem]) -> None:
        """Each problem beside its field."""


def kept(form: Refusable, act: Callable[[], T]) -> T | None:
    """What the action kept; None when it refused, and its sentences stand in the form."""
    try:
        return act()
    except actions.Refused as refused:
        form.refuse(refused.problems)
        return None


class Sendable(Refusable, Protocol):
    """A form that is valid or not, and takes what its action refused."""

    def is_valid(self) -> bool:
        """Whether it was sent, and rightly."""


def done(form: Sendable, act: Callable[[], object]) -> bool:
    """Whether a form was sent right and its action kept it; else its sentences stand in it."""
    return form.is_valid() and kept(form, act) is not None


def stored_file(stored: StoredFile, *, download: bool = False) -> HttpResponse:
    """A stored file as it was kept: shown, or saved, and never run; FileDamaged if it is not so."""
    response = HttpResponse(files.read(stored), content_type=stored.content_type)
    disposition = content_disposition_header(as_attachment=download, filename=stored.name)
    response["Content-Disposition"] = disposition or "inline"
    response["Content-Security-Policy"] = FILE_POLICY
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "no-store"
    return response


def looked_at(request: Request, subject: models.Model, fields: Iterable[str]) -> None:
    """Record that somebody was shown health facts; nothing for a page that shows none."""
    audit.record(by=actor_of(request), verb="looked at", subject=subject, fields=fields)


def may_change_health(request: Request) -> bool:
    """Whether she may enter a pregnancy: its dates are stage, how it went is health."""
    return all(may(request.user, fact, Access.CHANGE) for fact in (Fact.STAGE, Fact.HEALTH))


def is_step(request: Request) -> bool:
    """Whether a form was sent only to be drawn again with the fields that the answers call for."""
    return request.method == "POST" and "step" in request.POST
