"""The form of an exercise of the coach's own."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from django import forms

from content.rules.exercises import (
    CORE,
    FOCUSES,
    IMPACT,
    INTENSITIES,
    KIT,
    POSITIONS,
    SIDES,
    STANCES,
    Exercise,
    Wrong,
)

_MARKS = ("breath_holding", "lying_flat", "prone", "still_standing", "heavy")
FLOOR = (("0", "none"), ("1", "a little"), ("2", "some"), ("3", "much"))
BALANCE = (("0", "steady"), ("1", "asks balance"), ("2", "a risk of falling"))


def _choice(label: str, choices: Iterable[tuple[str, str]], **more: Any) -> forms.ChoiceField:
    """A choice with no answer filled in: what is not looked at must not read as none."""
    rows = list(choices)
    if more.get("required", True):
        rows.insert(0, ("", "Choose…"))
        more["error_messages"] = {"required": "Choose one of these."}
    return forms.ChoiceField(label=label, choices=rows, **more)


def _text(label: str, *, longest: int, required: bool = False, hint: str = "") -> forms.CharField:
    return forms.CharField(
        label=label, max_length=longest, required=required, help_text=hint,
        error_messages={"required": "Write something here."},
        widget=forms.TextInput({"autocomplete": "off"}),
    )  # fmt: skip


class ExerciseForm(forms.Form):
    """What an exercise is called and what it asks of the body."""

    name = _text("Name", longest=60, required=True)
    aliases = _text("Also called", longest=200, hint="As spoken; with commas between.")
    position = _choice("Position", POSITIONS.items())
    stance = _choice(
        "Stance", [("", "not standing"), *((k, v) for k, v in STANCES.items() if k)], required=False
    )
    sides = _choice("Sides", SIDES.items())
    focus = _choice("Focus", [(one, one) for one in FOCUSES])
    intensity = _choice("Effort", [(one, one) for one in INTENSITIES])
    impact = _choice("Impact", IMPACT.items())
    core_load = _choice("Load on the middle", CORE.items())
    pelvic_load = _choice("Load on the pelvic floor", FLOOR)
    balance = _choice("Balance", BALANCE)
    breath_holding = forms.BooleanField(label="Tempts to hold the breath", required=False)
    lying_flat = forms.BooleanField(label="Lying flat", required=False)
    prone = forms.BooleanField(label="Lying on the front", required=False)
    still_standing = forms.BooleanField(label="Standing still for long", required=False)
    heavy = forms.BooleanField(label="Heavy", required=False)
    kit = forms.MultipleChoiceField(
        label="Kit", choices=list(KIT.items()), required=False, widget=forms.CheckboxSelectMultiple
    )
    cues = _text("Cues", longest=300, required=True, hint="One to three, with | between.")
    easier = _text("Easier options", longest=300, hint="Names of exercises, with commas between.")

    def __init__(self, *args: Any, known: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.known = known

    @classmethod
    def of(cls, one: Exercise, known: Any) -> dict[str, Any]:
        """What stands in the fields for an exercise that there is."""
        plain = {name: getattr(one, name) for name in cls.base_fields}
        easier = [known[code].name for code in one.easier if code in known]
        return {
            **plain, "aliases": ", ".join(one.aliases), "cues": " | ".join(one.cues),
            "easier": ", ".join(easier), "kit": list(one.kit),
        }  # fmt: skip

    def clean_easier(self) -> list[str]:
        """Codes of the exercises that are named."""
        found, parts = [], _parts(self.cleaned_data["easier"], ",")
        while parts:
            one, used = self._longest(parts)
            if one is None:
                raise forms.ValidationError(f"“{parts[0]}” is not in the list.")
            found.append(one.code)
            parts = parts[used:]
        return found

    def _longest(self, parts: list[str]) -> tuple[Exercise | None, int]:
        """The exercise that most of the parts name together: a name of hers may hold a comma."""
        for used in range(len(parts), 0, -1):
            if one := self.known.named(", ".join(parts[:used])):
                return one, used
        return None, 0

    @property
    def values(self) -> dict[str, Any]:
        """What is kept, when the form is valid."""
        data = self.cleaned_data
        return {
            **data,
            "aliases": _parts(data["aliases"], ","),
            "cues": _parts(data["cues"], "|"),
            "pelvic_load": int(data["pelvic_load"]),
            "balance": int(data["balance"]),
            "kit": list(data["kit"]),
        }

    @property
    def code(self) -> str:
        """The code of a new one, from its name."""
        plain = re.sub(r"[^a-z0-9]+", "-", self.cleaned_data["name"].lower().replace("’", ""))
        return plain.strip("-")[:50] or "own"

    def refuse(self, wrong: Iterable[Wrong]) -> None:
        """Each problem beside its field."""
        for one in wrong:
            self.add_error(one.field if one.field in self.fields else None, one.sentence)


def _parts(text: str, mark: str) -> list[str]:
    return [part.strip() for part in text.split(mark) if part.strip()]
