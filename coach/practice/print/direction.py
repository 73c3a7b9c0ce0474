"""Letters that join, and lines in the order in which they are printed from left to right."""

from __future__ import annotations

import re
import unicodedata
from functools import cache

import arabic_reshaper
from bidi import get_display
from bidi.mirror import MIRRORED

# The library orders a line but doesn't mirror its brackets. So each gets a mark that always stays
# with it (by rules W1 and N0 of UAX 9): where the mark comes out to its left, it is to be mirrored.
_MARK = "\U000e0100"
_BRACKET = re.compile("[" + re.escape("".join(MIRRORED)) + "]")
_MARKED = re.compile(f"{_MARK}({_BRACKET.pattern})|({_BRACKET.pattern}){_MARK}")


def shaped(text: str) -> str:
    """Arabic letters in the forms that join (Unicode presentation forms); all else as it is."""
    return str(_reshaper().reshape(text))


def base_direction(text: str) -> str:
    """The paragraph's direction, "L" or "R", by its first strong letter (UAX 9, P2 and P3)."""
    strong = (unicodedata.bidirectional(char) for char in text)
    return next(("L" if kind == "L" else "R" for kind in strong if kind in {"L", "R", "AL"}), "L")


def as_printed(line: str, base: str) -> str:
    """One line's characters from left to right, brackets mirrored (UAX 9, rules to L2, and L4)."""
    marked = _BRACKET.sub(lambda found: found[0] + _MARK, line.replace(_MARK, ""))
    return _MARKED.sub(_mirrored, str(get_display(marked, base_dir=base)))


def _mirrored(found: re.Match[str]) -> str:
    return str(MIRRORED[found[1]]) if found[1] else found[2]


@cache
def _reshaper() -> arabic_reshaper.ArabicReshaper:
    return arabic_reshaper.ArabicReshaper({"delete_harakat": False})
