"""What a speech recogniser makes of spoken words, and the caption files it writes. Seeded."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random
from textwrap import wrap
from typing import Any

# Sounds that are taken for one another, written as letters: common confusions, no source.
_SOUNDS = (
    ("th", "f"), ("ee", "i"), ("ea", "ee"), ("oo", "u"), ("ck", "g"), ("ph", "v"), ("sh", "ch"),
    ("b", "p"), ("p", "b"), ("d", "t"), ("t", "d"), ("g", "k"), ("v", "f"), ("z", "s"),
    ("m", "n"), ("n", "m"), ("a", "e"), ("e", "i"), ("o", "u"), ("l", "r"),
)  # fmt: skip
_CLASSES = str.maketrans("bdgvzc", "ptkfsk")
_SILENT = str.maketrans("", "", "aeiouyhw'")
_WORD = re.compile(r"[a-z0-9]+(?:'[a-z]+)?")
_SMALL = ("and", "the", "a", "so", "uh", "in", "it", "of")


@dataclass(frozen=True)
class Said:
    """A word and when it is spoken, in milliseconds from the start of the film."""

    word: str
    at: int
    until: int


@cache
def sayings() -> dict[str, Any]:
    """What is said around exercises, and what is misheard."""
    return tomllib.loads((Path(__file__).parent / "spoken_words.toml").read_text("utf-8"))


def recognised(words: Sequence[Said], rng: Random, dropped: float, wrong: float) -> list[Said]:
    """The same with so many of a hundred words dropped and heard wrongly, and some put in."""
    heard: list[Said] = []
    for one in words:
        luck = rng.random()
        if luck < dropped:
            continue
        word = misheard(one.word, rng) if luck < dropped + wrong else one.word
        heard += _spread(word, one)
        if rng.random() < wrong / 8:
            heard.append(Said(rng.choice(_SMALL), one.until, one.until))
    return heard


def misheard(word: str, rng: Random) -> str:
    """Another word, or two, that sound like this one."""
    alike = sayings()["misheard"].get(word)
    if alike and rng.random() < 0.8:
        return str(rng.choice(alike))
    others = [one for one in _alike().get(_skeleton(word), ()) if one != word]
    if others and rng.random() < 0.8:
        return rng.choice(others)
    there = [pair for pair in _SOUNDS if pair[0] in word]
    if there and len(word) > 3:
        return word.replace(*rng.choice(there), 1)
    return rng.choice(_SMALL)


@cache
def _alike() -> dict[str, list[str]]:
    """Every word that is said, and what is heard for it, by its sounds without the vowels."""
    told = sayings()
    texts = [text for kind in told if kind != "misheard" for text in told[kind]]
    texts += [text for heard in told["misheard"].values() for text in heard]
    found: dict[str, list[str]] = {}
    for word in sorted({word for text in texts for word in words_in(text)}):
        found.setdefault(_skeleton(word), []).append(word)
    return found


def _skeleton(word: str) -> str:
    """The first letter's sound and the consonants after it, those that sound alike as one."""
    return word[:1].translate(_CLASSES) + word[1:].translate(_CLASSES | _SILENT)


def words_in(text: str) -> Iterator[str]:
    """As a recogniser writes them: no punctuation, no capitals."""
    plain_text = text.casefold().replace("’", "'").replace("-", " ")
    return (one[0] for one in _WORD.finditer(plain_text))


def _spread(word: str, one: Said) -> Iterator[Said]:
    parts = word.split()
    each = (one.until - one.at) // len(parts)
    for n, part in enumerate(parts):
        yield Said(part, one.at + n * each, one.at + (n + 1) * each)


def lines(words: Sequence[Said], seconds: int) -> Iterator[list[Said]]:
    """Words in lines that each begin so many seconds after the last one, or later in a silence."""
    line: list[Said] = []
    for one in words:
        if line and one.at - line[0].at >= seconds * 1000:
            yield line
            line = []
        line.append(one)
    if line:
        yield line


def _broken(line: Sequence[Said]) -> str:
    return "\n".join(wrap(" ".join(one.word for one in line), 38))


def vtt(words: Sequence[Said], seconds: int) -> bytes:
    """WebVTT, no punctuation, each cue broken over lines."""
    cues = [
        f"{_stamp(one[0].at, '.')} --> {_stamp(_end(one), '.')}\n{_broken(one)}\n"
        for one in lines(words, seconds)
    ]
    return ("WEBVTT\n\n" + "\n".join(cues)).encode()


def srt(words: Sequence[Said], seconds: int) -> bytes:
    """SRT as it is in use, with CRLF."""
    cues = [
        f"{n}\n{_stamp(one[0].at, ',')} --> {_stamp(_end(one), ',')}\n{_broken(one)}\n"
        for n, one in enumerate(lines(words, seconds), 1)
    ]
    return "\n".join(cues).replace("\n", "\r\n").encode()


def plain(words: Sequence[Said], seconds: int, *, bracketed: bool = False) -> bytes:
    """Paragraphs that begin with a time cut down to the second."""
    found = []
    last = 0
    for line in lines(words, seconds):
        begins = line[0].at // 1000
        found += [_timed(at, "[music]", bracketed) for at in range(last + 50, begins, 50)]
        found.append(_timed(begins, _broken(line), bracketed))
        last = begins
    return "\n".join(found).encode()


def _timed(seconds: int, text: str, bracketed: bool) -> str:
    time = _short(seconds)
    return f"{f'[{time}]' if bracketed else time} {text}"


def _end(line: Sequence[Said]) -> int:
    return max(line[-1].until, line[0].at + 1)


def _stamp(ms: int, mark: str) -> str:
    seconds, rest = divmod(ms, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{rest:03}"


def _short(seconds: int) -> str:
    hours = seconds // 3600
    if hours:
        return f"{hours}:{seconds // 60 % 60:02}:{seconds % 60:02}"
    return f"{seconds // 60}:{seconds % 60:02}"
