"""What the actions of this room share: refusing, holding a client, and which day it is for her."""

from __future__ import annotations

from collections.abc import Iterable

from clients.models import Client
from clients.queries.days import Days, days_of
from clients.rules.pregnancies import Problem

__all__ = ["Days", "Refused", "days_of", "lock", "refuse_if"]


class Refused(ValueError):
    """The facts cannot be kept; `problems` say why, a sentence to a field."""

    def __init__(self, found: Iterable[Problem]) -> None:
        self.problems = list(found)
        super().__init__(" ".join(problem.sentence for problem in self.problems))


def lock(client: Client) -> None:
    """The client as she is now, held until the transaction ends: two forms cannot both be kept."""
    client.refresh_from_db(from_queryset=Client.objects.select_for_update())


def refuse_if(found: list[Problem]) -> None:
    """Refused, if anything was found."""
    if found:
        raise Refused(found)
