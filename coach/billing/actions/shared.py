"""What the writes of this room share."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db import models

from coach import clock
from coach.billing.rules.values import Problem
from coach.practice.models import Stamped
from coach.practice.queries import the_practice


class Refused(ValueError):
    """A rule is against it; `problems` say why, each a sentence to put beside its field."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = list(problems)
        super().__init__(" ".join(problem.sentence for problem in self.problems))


def refuse_if(sentence: str, field: str = "") -> None:
    """Refused with the sentence, if there is one."""
    if sentence:
        raise Refused([Problem(field, sentence)])


def refuse_any(problems: list[Problem]) -> None:
    """Refused with all of them, if there are any."""
    if problems:
        raise Refused(problems)


def today_here() -> date:
    """The date it is where the practice is."""
    return clock.today(the_practice().time_zone)


def lock(row: Stamped) -> None:
    """The row as it is now, held until the transaction ends: two forms cannot both be kept."""
    rows: models.QuerySet[Stamped] = type(row)._default_manager.select_for_update()
    row.refresh_from_db(from_queryset=rows)
