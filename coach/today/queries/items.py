"""The line that every part of the first page is made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Item:
    """One line: when, what, the one action, a quiet note. `late` sets the day in the late ink.

    `when` is a day or, where no day fits, a word such as "now".
    """

    when: date | str
    what: str
    url: str
    action: str
    note: str = ""
    late: bool = False

    @property
    def day(self) -> date | None:
        return self.when if isinstance(self.when, date) else None
