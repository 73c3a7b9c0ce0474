"""Who may see and change what: one table, role × kind of fact, obeyed by every page."""

from __future__ import annotations

from collections.abc import Callable
from enum import IntEnum, StrEnum
from functools import wraps
from typing import Any, Concatenate, ParamSpec

from django.core.exceptions import PermissionDenied
from django.http import HttpResponseBase

from coach.practice import audit


class Role(StrEnum):
    """What a person is in the practice."""

    OWNER = "owner"
    COVERING_COACH = "covering coach"
    ASSISTANT = "assistant"
    BOOKKEEPER = "bookkeeper"


class Fact(StrEnum):
    """The kinds of fact that the practice keeps."""

    CONTACT = "contact"
    STAGE = "stage"
    GO_AHEAD = "go-ahead word"
    LIMITS = "limits"
    HEALTH = "reasons and health"
    MONEY = "money"
    CONTENT = "content"
    PRACTICE = "the practice itself"


class Access(IntEnum):
    """How far: not at all, look, or change as well."""

    NONE = 0
    SEE = 1
    CHANGE = 2


_NO, _SEE, _ALL = Access.NONE, Access.SEE, Access.CHANGE
_COLUMNS = (
    Fact.CONTACT,
    Fact.STAGE,
    Fact.GO_AHEAD,
    Fact.LIMITS,
    Fact.HEALTH,
    Fact.MONEY,
    Fact.CONTENT,
    Fact.PRACTICE,
)
TABLE: dict[Role, dict[Fact, Access]] = {
    role: dict(zip(_COLUMNS, row, strict=True))
    for role, row in {
        Role.OWNER: (_ALL, _ALL, _ALL, _ALL, _ALL, _ALL, _ALL, _ALL),
        Role.COVERING_COACH: (_SEE, _SEE, _SEE, _SEE, _NO, _NO, _SEE, _NO),
        Role.ASSISTANT: (_ALL, _NO, _SEE, _NO, _NO, _NO, _ALL, _NO),
        Role.BOOKKEEPER: (_SEE, _NO, _NO, _NO, _NO, _ALL, _NO, _NO),
    }.items()
}


def access(role: str, fact: Fact) -> Access:
    """What the table says; a role it does not know gets nothing."""
    return TABLE[Role(role)][fact] if role in set(Role) else Access.NONE


def may(user: Any, fact: Fact, wanted: Access = Access.SEE) -> bool:
    """Whether a person may see (or change) a kind of fact; nobody signed in may nothing."""
    return bool(user.is_authenticated) and access(user.role, fact) >= wanted


P = ParamSpec("P")
# Any: views take our Request, which the middlewares make of the plain one.
View = Callable[Concatenate[Any, P], HttpResponseBase]


def requires(fact: Fact, wanted: Access = Access.SEE) -> Callable[[View[P]], View[P]]:
    """Mark a view as showing (or changing) a kind of fact: others get 403, and it is recorded."""

    def mark(view: View[P]) -> View[P]:
        @wraps(view)
        def guarded(request: Any, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
            if not may(request.user, fact, wanted):
                audit.record(
                    by=audit.actor_of(request), verb="refused", reason=f"{fact}: {request.path}"
                )
                raise PermissionDenied
            return view(request, *args, **kwargs)

        return guarded

    return mark
