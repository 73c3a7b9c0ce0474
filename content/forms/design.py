"""What the builder of a class sends: one step at a time, read into a step of the rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from django.http import QueryDict

from content.rules import design_steps as steps
from content.rules.design import KINDS, Design, Item
from content.rules.exercises import Exercise

Step = Callable[[Design], Design]
Library = Mapping[str, Exercise]
NOT_A_NUMBER = "Write whole seconds, like 45, or minutes and seconds, like 1:30."


@dataclass(frozen=True, slots=True)
class Wanted:
    """One step with its words for the trail and for taking it back."""

    step: Step
    what: str


def seconds(text: str) -> int:
    """Seconds from "45" or "1:30"; ValueError with a sentence for anything else."""
    minutes, colon, rest = text.strip().partition(":")
    parts = (minutes, rest) if colon else ("0", minutes)
    if not all(part.isascii() and part.isdigit() and len(part) < 5 for part in parts):
        raise ValueError(NOT_A_NUMBER)
    if colon and int(rest) > 59:
        raise ValueError(NOT_A_NUMBER)
    return int(parts[0]) * 60 + int(parts[1])


def wanted(data: QueryDict, library: Library) -> Wanted:
    """The step that a request asks for; ValueError with a sentence where it cannot be read."""
    reader = _READERS.get(data.get("op", ""))
    if reader is None:
        raise ValueError("There is no such step.")
    return reader(data, library)


def _number(data: QueryDict, name: str) -> int:
    text = data.get(name, "")
    if not (text.lstrip("-").isdigit() and text.isascii() and len(text) < 6):
        raise ValueError(steps.GONE)
    return int(text)


def _b(data: QueryDict) -> int:
    return _number(data, "block")


def _bp(data: QueryDict) -> tuple[int, int]:
    return _b(data), _number(data, "pattern")


def _bpi(data: QueryDict) -> tuple[int, int, int]:
    return (*_bp(data), _number(data, "item"))


def _name(code: str, library: Library) -> str:
    return library[code].name if code in library else code


def _add_block(data: QueryDict, _: Library) -> Wanted:
    kind = data.get("kind", "")
    what = f"added {KINDS.get(kind, 'a part')}"
    return Wanted(partial(steps.add_block, kind=kind), what)


def _duplicate_block(data: QueryDict, _: Library) -> Wanted:
    return Wanted(partial(steps.duplicate_block, b=_b(data)), "doubled a block")


def _remove_block(data: QueryDict, _: Library) -> Wanted:
    return Wanted(partial(steps.remove_block, b=_b(data)), "took out a block")


def _move_block(data: QueryDict, _: Library) -> Wanted:
    step = partial(steps.move_block, b=_b(data), by=_number(data, "by"))
    return Wanted(step, "moved a block")


def _set_block(data: QueryDict, _: Library) -> Wanted:
    values: dict[str, Any] = {
        "kind": data.get("kind", ""), "title": data.get("title", ""),
        "last_rest": data.get("last_rest") == "yes",
        "change": seconds(data.get("change") or "0"),
        "change_after": seconds(data.get("change_after") or "0"),
    }  # fmt: skip
    return Wanted(partial(steps.set_block, b=_b(data), **values), "changed a block")


def _add_pattern(data: QueryDict, _: Library) -> Wanted:
    return Wanted(partial(steps.add_pattern, b=_b(data)), "added a pattern")


def _remove_pattern(data: QueryDict, _: Library) -> Wanted:
    b, p = _bp(data)
    return Wanted(partial(steps.remove_pattern, b=b, p=p), "took out a pattern")


def _set_pattern(data: QueryDict, _: Library) -> Wanted:
    b, p = _bp(data)
    values: dict[str, Any] = {
        name: seconds(data.get(name) or "0") for name in ("work", "rest", "round_rest")
    }
    values["rounds"] = _rounds(data.get("rounds", ""))
    step = partial(steps.set_pattern, b=b, p=p, **values)
    return Wanted(step, "changed the seconds of a pattern")


def _rounds(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 4):
        raise ValueError("Write how many rounds, like 3.")
    return int(text)


def _add_item(data: QueryDict, library: Library) -> Wanted:
    b, p = _bp(data)
    item = Item(data.get("exercise", ""), data.get("label", "").strip())
    if not item.exercise and not item.label:
        raise ValueError("Name an exercise, or say what happens here.")
    step = partial(steps.add_item, b=b, p=p, item=item, library=library)
    return Wanted(step, f"added {_name(item.exercise, library) or item.label}")


def _remove_item(data: QueryDict, _: Library) -> Wanted:
    b, p, i = _bpi(data)
    return Wanted(partial(steps.remove_item, b=b, p=p, i=i), "took out an exercise")


def _move_item(data: QueryDict, _: Library) -> Wanted:
    place = _bpi(data)
    if "by" in data:
        to = (*place[:2], place[2] + _number(data, "by"))
    else:
        to = (_number(data, "to_block"), _number(data, "to_pattern"), _number(data, "to_item"))
    return Wanted(partial(steps.move_item, place=place, to=to), "moved an exercise")


def _set_item(data: QueryDict, library: Library) -> Wanted:
    work = data.get("work", "").strip()
    values: dict[str, Any] = {
        "work": seconds(work) if work else None,
        "sides": data.get("sides", ""),
        "shows": tuple(data.getlist("shows")),
    }
    if "label" in data:
        values["label"] = data.get("label", "").strip()
    step = partial(steps.set_item, place=_bpi(data), library=library, **values)
    return Wanted(step, "changed an exercise")


def _set_class(data: QueryDict, _: Library) -> Wanted:
    promised = data.get("promised", "").strip()
    values: dict[str, Any] = {
        "promised": seconds(promised) if promised else None,
        "no_repeats": data.get("no_repeats") == "yes",
        "kit": tuple(data.getlist("kit")),
    }
    return Wanted(partial(steps.set_class, **values), "changed what is announced")


_READERS: dict[str, Callable[[QueryDict, Library], Wanted]] = {
    "add_block": _add_block, "duplicate_block": _duplicate_block, "remove_block": _remove_block,
    "move_block": _move_block, "set_block": _set_block, "add_pattern": _add_pattern,
    "remove_pattern": _remove_pattern, "set_pattern": _set_pattern, "add_item": _add_item,
    "remove_item": _remove_item, "move_item": _move_item, "set_item": _set_item,
    "set_class": _set_class,
}  # fmt: skip
