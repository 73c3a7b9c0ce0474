"""`chapters CLASS [--captions FILE] [--json]`: the chapters of a class, planned or by its film."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from coach.management.for_role import add_role, require
from coach.management.practice_database import require_practice
from coach.practice.permissions import Fact
from content.models import FitnessClass
from content.queries.chapters import ClassChapters, chapters_of
from content.queries.filmed import shown
from content.rules.alignment import Aligned, align
from content.rules.captions import Cue, NotCaptions, read_captions
from content.rules.chapters import as_list, filmed_chapters, problems

LONGEST_NUMBER = 19  # digits of the largest id


class Command(BaseCommand):
    help = "Print the chapters of a class: planned, by its kept captions, or aligned to a file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("which", metavar="CLASS", help="its number or its whole title")
        parser.add_argument("--captions", metavar="FILE", help="WebVTT, SRT or text with times")
        parser.add_argument("--json", action="store_true", help="print JSON instead of text")
        add_role(parser)

    def handle(self, *_: Any, which: str, captions: str | None = None, **options: Any) -> None:
        require_practice()
        require(options["role"], Fact.CONTENT)
        item = _class(which)
        cues = _cues(captions) if captions else ()
        found = _aligned(item, cues) if cues else chapters_of(item)
        if not found.chapters:
            raise CommandError(f"“{item.title}” is not designed yet: it has no chapters.")
        if options["json"]:
            told = json.dumps(as_json(item, found), indent=1, ensure_ascii=False)
            self.stdout.write(told)
            return
        if listed := as_list(found.chapters):
            self.stdout.write(listed)
        for one in problems(found.chapters, found.length):
            self.stderr.write(one.reason)
        for title in found.missing:
            self.stderr.write(f"Not found: {title}")


def _class(which: str) -> FitnessClass:
    rows = FitnessClass.objects.filter(title=which)
    if which.isascii() and which.isdigit() and len(which) < LONGEST_NUMBER:
        rows = FitnessClass.objects.filter(pk=int(which)) or rows
    found = list(rows[:2])
    if len(found) != 1:
        words = "There is no class" if not found else "There is more than one class"
        raise CommandError(f"{words} “{which}”: name its number or its whole title.")
    return found[0]


def _cues(path: str) -> tuple[Cue, ...]:
    try:
        return read_captions(Path(path).read_bytes()).cues
    except OSError as error:
        raise CommandError(f"{path} cannot be read: {error.strerror}.") from None
    except NotCaptions as wrong:
        raise CommandError(f"{path}: {wrong}") from None


def _aligned(item: FitnessClass, cues: tuple[Cue, ...]) -> ClassChapters:
    there = shown(item)
    found = align(there.line, there.library, cues)
    length = max(cue.end for cue in cues)
    return ClassChapters(filmed_chapters(found), length, there.line, found)


def as_json(item: FitnessClass, found: ClassChapters) -> dict[str, Any]:
    """The chapters as `--json` prints them: times in seconds, null where not known."""
    return {
        "class": {"id": item.pk, "title": item.title},
        "aligned": found.aligned is not None,
        "chapters": [
            {
                "title": one.title,
                "planned": _seconds(one.planned),
                "start": _seconds(one.start),
                "confidence": one.confidence,
            }
            for one in found.chapters
            if one.start is not None
        ],
        "missing": list(found.missing),
        "overrun": _overrun(found, found.aligned) if found.aligned else [],
    }


def _overrun(found: ClassChapters, aligned: Aligned) -> list[dict[str, Any]]:
    return [
        {
            "block": found.line.blocks[one.block].name,
            "planned": _seconds(one.planned),
            "filmed": _seconds(one.filmed),
        }
        for one in aligned.overrun
    ]


def _seconds(ms: int | None) -> float | None:
    return None if ms is None else round(ms / 1000, 3)
