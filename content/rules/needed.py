"""What the roster will need, as a table of stages and weeks, and what stands out in words. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clients.rules.needs import ByDay, Needs
from coach.scheduling.planner.words import count, joined, number, sentence, stage_name
from coach.scheduling.values import SERVABLE_STAGES, Stage
from content.rules.pace import ago

NO, HALF, FULL = "no", "half", "full"  # codes of models.Enquiries


def as_clients(enquiries: int, weight: str) -> int:
    """How many clients so many enquiries are taken for; two as one, rounded up, at half weight."""
    return {NO: 0, HALF: -(-enquiries // 2), FULL: enquiries}[weight]


@dataclass(frozen=True, slots=True)
class Cell:
    """A stage in an ISO 8601 week, on its Monday. `enquiries` at their weight, beside clients."""

    monday: date
    clients: int
    ready: int
    enquiries: int

    @property
    def number(self) -> int:
        """The number of the week."""
        return self.monday.isocalendar().week

    @property
    def week(self) -> str:
        """The week as ISO 8601 writes it: "2026-W53"."""
        year, week, _ = self.monday.isocalendar()
        return f"{year}-W{week:02}"

    @property
    def empty(self) -> bool:
        """Whether nobody is expected."""
        return not (self.clients or self.enquiries)


@dataclass(frozen=True, slots=True)
class Row:
    """A stage with its weeks; how many classes suit it, and days since one of those came out."""

    stage: Stage
    finished: int
    making: int
    since: int | None
    cells: tuple[Cell, ...]

    @property
    def name(self) -> str:
        """ "Trimester 3"."""
        return _capital(self.stage.label)

    @property
    def suit_words(self) -> str:
        """ "2 finished classes suit", "no finished class suits"."""
        if self.finished > 1:
            return f"{self.finished} finished classes suit"
        return f"{self.finished or 'no'} finished class suits"

    @property
    def ago(self) -> str:
        """When a class for it last came out."""
        return ago(self.since)

    @property
    def empty(self) -> bool:
        """Whether nobody is expected in any week."""
        return all(cell.empty for cell in self.cells)

    @property
    def unserved(self) -> bool:
        """Whether clients are expected and no finished class suits them."""
        return not self.finished and any(cell.clients for cell in self.cells)


def rows(
    found: Needs,
    *,
    weeks: Sequence[date],
    weight: str,
    finished: Mapping[Stage, int],
    making: Mapping[Stage, int],
    since: Mapping[Stage, int | None],
) -> tuple[Row, ...]:
    """A row for every servable stage, in their order; `weeks` are Mondays."""
    return tuple(
        Row(
            stage=stage,
            finished=finished.get(stage, 0),
            making=making.get(stage, 0),
            since=since.get(stage),
            cells=tuple(_cell(found, monday, stage, weight) for monday in weeks),
        )
        for stage in SERVABLE_STAGES
    )


def _cell(found: Needs, monday: date, stage: Stage, weight: str) -> Cell:
    return Cell(
        monday=monday,
        clients=_at(found.by_day, monday, stage),
        ready=_at(found.ready, monday, stage),
        enquiries=as_clients(_at(found.enquiries, monday, stage), weight),
    )


def _at(counted: ByDay, day: date, stage: Stage) -> int:
    return counted.get(day, {}).get(stage, 0)


def unserved_in_words(row: Row) -> str:
    """ "Trimester 3: three clients from week 52, no finished class suits them. …": what would."""
    most = max(cell.clients for cell in row.cells)
    whom = "them" if most > 1 else "her"
    said = f"{_capital(stage_name(row.stage))}: {_when(row.cells)}, no finished class suits {whom}."
    if not row.making:
        return f"{said} Nothing in the making does either: outline one."
    return f"{said} {sentence(number(row.making) + ' in the making ' + _does(row.making))}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _does(n: int) -> str:
    return "does" if n == 1 else "do"


def _when(cells: Sequence[Cell]) -> str:
    """Who is expected from when to when: "one client from week 50, three from week 52"."""
    held = [place for place, cell in enumerate(cells) if cell.clients]
    first, last = cells[held[0]], cells[held[-1]]
    top = max(cells, key=lambda cell: cell.clients)
    if first is last and last is not cells[-1]:
        return f"{count(first.clients, 'client')} in week {first.number}"
    said = f"{count(first.clients, 'client')} from week {first.number}"
    if top.clients > first.clients:
        said += f", {number(top.clients)} from week {top.number}"
    return said if last is cells[-1] else f"{said} until week {last.number}"


def nobody_in_words(found: Sequence[Row]) -> str:
    """The stages left out of the table, in a line; "" for none."""
    names = [stage_name(row.stage) for row in found if row.empty]
    return f"Nobody is expected {_at_stages(names)}." if names else ""


def _at_stages(names: Sequence[str]) -> str:
    return f"at these stages: {joined(names)}" if len(names) > 1 else f"at {names[0]}"


def apart_in_words(found: Needs) -> str:
    """ "Not counted: one on hold, two paused." In the order of what matters most; "" for nobody."""
    parts = (
        (found.on_hold, "on hold"),
        (found.past_due, "past the due date"),
        (found.quiet, "quiet"),
        (found.paused, "paused"),
        (found.unknown, "with a stage not known"),
    )
    told = [f"{number(n)} {words}" for n, words in parts if n]
    return f"Not counted: {joined(told)}." if told else ""


_WEIGHTS = {
    NO: "",
    HALF: "After a plus: open enquiries by what they told, two as one client.",
    FULL: "After a plus: open enquiries by what they told.",
}


def enquiries_in_words(found: Needs, weight: str) -> str:
    """How enquiries stand in the table, and how many of them can't; "" where none counts."""
    asked = any(row for row in found.enquiries.values())
    parts = [_WEIGHTS[weight]] if asked else []
    if found.enquiries_unknown and weight != NO:
        told = count(found.enquiries_unknown, "open enquiry", "open enquiries")
        parts.append(sentence(f"{told} told no stage"))
    return " ".join(part for part in parts if part)
