"""What was before: each ending in a block of its own, as she tells it; nothing is pressed for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from clients.forms.fields import day_field, text_field
from clients.forms.intake import StepForm, ago_problem
from clients.rules.intake_words import RATHER
from clients.rules.pregnancies import MODES, SURGICAL, TEARS
from clients.rules.words import DELIVERED, LOST
from coach.scheduling.dates import GestationalAge

MOST_BLOCKS = 8
_EITHER, _DELIVERED, _LOST = (DELIVERED, LOST), (DELIVERED,), (LOST,)
# Each field of a block, with the kinds that it belongs to.
_WHEN = {
    "kind": (),
    "ended": _EITHER,
    "about": _EITHER,
    "mode": _DELIVERED,
    "tear": _DELIVERED,
    "weeks": _LOST,
    "surgical": _LOST,
}


@dataclass(frozen=True, slots=True)
class Shown:
    """A field of a block; `when`: the answers to `asks` that it belongs to, for the script."""

    field: BoundField
    asks: str
    when: str


@dataclass(frozen=True, slots=True)
class Block:
    """One ending as the page shows it."""

    title: str
    fields: list[Shown]


class BeforeForm(StepForm):
    """Blocks e0, e1, …: kind, day or about when, and what belongs to that kind.

    `latest`: the kind that the first block is, where she has said so on an earlier screen.
    """

    def __init__(self, *args: Any, blocks: int, latest: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.blocks, self.latest = max(1, min(blocks, MOST_BLOCKS)), latest
        for at in range(self.blocks):
            self._add(f"e{at}-", latest if at == 0 else "")

    def _add(self, start: str, kind: str) -> None:
        words, own = self.words, self.fields
        if not kind:
            kinds = [("", "nothing to add"), *words.kinds]
            own[f"{start}kind"] = forms.ChoiceField(label="What", required=False, choices=kinds)
        own[f"{start}ended"] = day_field("On which day?")
        own[f"{start}about"] = text_field(
            "Or about when", longest=60, hint="If you don’t know the day: a month, a year."
        )
        own[f"{start}mode"] = _choice(words.mode, MODES)
        own[f"{start}tear"] = _choice("A tear or a cut, as you were told", TEARS)
        own[f"{start}weeks"] = text_field(
            "In which week?", longest=10, hint="Weeks and days as you were told, like 9w0d."
        )
        own[f"{start}surgical"] = _choice("Was there an operation?", SURGICAL)

    def kind_of(self, at: int) -> str:
        """The kind of a block as answered: DELIVERED, LOST, TELL or ""."""
        if at == 0 and self.latest:
            return self.latest
        return str(self.cleaned_data.get(f"e{at}-kind") or "")

    @property
    def shown(self) -> list[Block]:
        """The blocks; where the kind is said, without the fields of the other kind."""
        return [self._block(at) for at in range(self.blocks)]

    @property
    def may_add(self) -> bool:
        """Whether there is room for another block."""
        return self.blocks < MOST_BLOCKS

    def _block(self, at: int) -> Block:
        title = self.words.latest if at == 0 else self.words.earlier
        fixed = self.latest if at == 0 else ""
        names = [name for name, kinds in _WHEN.items() if (fixed in kinds if fixed else True)]
        return Block(
            title,
            [
                Shown(
                    self[f"e{at}-{name}"],
                    "" if fixed or not _WHEN[name] else f"e{at}-kind",
                    " ".join(_WHEN[name]),
                )
                for name in names
            ],
        )

    def clean(self) -> dict[str, Any]:
        """Days that have come, weeks that read as such; what belongs to another kind is dropped."""
        data = self.cleaned_data
        for at in range(self.blocks):
            start, kind = f"e{at}-", self.kind_of(at)
            for name, kinds in _WHEN.items():
                if kinds and kind not in kinds:
                    data[f"{start}{name}"] = None
                    self.errors.pop(f"{start}{name}", None)
            if problem := ago_problem(data.get(f"{start}ended"), self.today):
                self.add_error(f"{start}ended", problem)
            self._check_weeks(f"{start}weeks")
        return data

    def _check_weeks(self, name: str) -> None:
        if text := self.cleaned_data.get(name):
            try:
                self.cleaned_data[name] = str(GestationalAge.parse(text))
            except ValueError as wrong:
                self.add_error(name, str(wrong))

    @property
    def told(self) -> dict[str, Any]:
        """ "blocks": for each ending that she names, its kind and what she says of it."""
        flat = super().told
        found = []
        for at in range(self.blocks):
            if kind := self.kind_of(at):
                own = {n: flat[f"e{at}-{n}"] for n in _WHEN if f"e{at}-{n}" in flat}
                found.append({**own, "kind": kind})
        return {"blocks": found} if found else {}


def _choice(label: str, choices: dict[str, str]) -> forms.ChoiceField:
    options = [("", "I don’t know"), *choices.items(), ("tell", RATHER)]
    return forms.ChoiceField(label=label, required=False, choices=options)
