"""Where the words for an exercise may have been said, with how well they fit. Pure.

A speech recogniser drops and mishears words, so that words are compared by likeness (RapidFuzz)
and a phrase by how much of it is there, in any order, within a few words. Words that are said all
through the class weigh less.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log

from rapidfuzz import process
from rapidfuzz.distance import Indel

from content.rules.captions import Cue, words_of

LIKE = 0.74  # two words count as the same from here on
UNLIKE = 0.5  # the likeness of two words that says nothing
ALIKE_ALONE = 0.7  # one word that is only alike tells this much of what it does among others
ENOUGH = 0.62  # a phrase counts as said from here on
_LEAST_LIKE_LETTERS = 4  # shorter words have to be the same
_NOTHING: Mapping[str, float] = {}
_SPARE = 2  # words that may stand between those of a phrase
_ONCE_MS = 10_000  # the same name later than this was said once more
_ROUGH = 0.1  # of a caption's length: how far off a word's place in it tells its time
_GO = frozenset({"go", "begin", "start", "off"})
_MARKS = '.,;:!?…“”"()/'
_LITTLE = frozenset(
    ("a", "an", "and", "the", "to", "of", "on", "in", "with", "your", "for", "from", "at", "by",
     "into", "up", "down", "out", "off", "it", "is")
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Place:
    """A time at which something was said, with how well it fits: 0 to 1.

    `at` and `rough`, by how much its place within its caption may mislead, are milliseconds;
    `word`: of all words said, the one that it begins with.
    """

    at: int
    score: float
    rough: int = 0
    word: int = 0


@dataclass(frozen=True, slots=True)
class Phrase:
    """Words that speak of something; `worth`: how sure one is when they are said, 0 to 1."""

    words: tuple[str, ...]
    worth: float


class Heard:
    """All that was said, ready to be asked for phrases."""

    def __init__(self, cues: Sequence[Cue], phrases: Iterable[Phrase]) -> None:
        spoken = [(word, cue) for cue in cues for word in words_of([cue])]
        words = self._words = [word for word, _ in spoken]
        self._rough = [round(_ROUGH * (cue.end - cue.start)) for _, cue in spoken]
        wanted = {word for phrase in phrases for word in phrase.words}
        self._alike = _alike({one.text for one in words}, wanted)
        self._at: defaultdict[str, list[int]] = defaultdict(list)
        for n, one in enumerate(words):
            for word in self._alike.get(one.text, ()):
                self._at[word].append(n)
        self._weight = {word: _weight(len(self._at[word]), len(words)) for word in wanted}

    def places(self, phrases: Iterable[Phrase]) -> list[Place]:
        """Where any of them was said, in order of time; of places close together the best."""
        best: dict[int, float] = {}
        for phrase in phrases:
            for n, score in self._said(phrase):
                best[n] = max(best.get(n, 0.0), score * phrase.worth)
        kept: list[tuple[int, float]] = []
        for n, score in sorted(best.items()):
            if kept and self._is_same(kept[-1][0], n):
                if score > kept[-1][1]:
                    kept[-1] = (n, score)
            else:
                kept.append((n, score))
        return [self._place(n, score) for n, score in kept]

    def _is_same(self, one: int, two: int) -> bool:
        """Whether two places are so close in words and in time that something was said once."""
        apart = self._words[two].at - self._words[one].at
        return two - one <= _SPARE + 1 and apart <= _ONCE_MS

    def goes(self) -> list[Place]:
        """Where "go" and its like were said."""
        return [self._place(n, 1.0) for n, one in enumerate(self._words) if one.text in _GO]

    def _place(self, n: int, score: float) -> Place:
        return Place(self._words[n].at, score, self._rough[n], n)

    def _said(self, phrase: Phrase) -> Iterable[tuple[int, float]]:
        """(index of the word it begins with, how much of it is there and how alike)."""
        whole = sum(self._weight[word] for word in phrase.words)
        reach = len(phrase.words) + _SPARE
        starts = {n for word in phrase.words for n in self._at[word]}
        for n in starts:
            there = self._there(phrase, n, n + reach)
            part = sum(self._weight[word] for word in there) / whole
            score = sum(self._weight[word] * like for word, like in there.items()) / whole
            if len(phrase.words) == 1 and score < 1:
                score *= ALIKE_ALONE
            if part >= ENOUGH and (len(there) > 1 or len(phrase.words) == 1 or part > 0.8):
                yield n, score

    def _there(self, phrase: Phrase, first: int, end: int) -> Mapping[str, float]:
        """The words of a phrase that were said here, with how alike the likest one was."""
        near = [self._alike.get(one.text, _NOTHING) for one in self._words[first:end]]
        likest = ((word, max(one.get(word, 0.0) for one in near)) for word in phrase.words)
        return {word: like for word, like in likest if like}


def _alike(heard: Collection[str], wanted: Collection[str]) -> Mapping[str, Mapping[str, float]]:
    """For each word said, the wanted words that it may stand for, with how alike: 0 to 1."""
    said, asked = sorted(heard), sorted(wanted)
    if not said or not asked:
        return {}
    scores = process.cdist(
        said, asked, scorer=Indel.normalized_similarity, score_cutoff=LIKE, workers=1
    )
    found: dict[str, dict[str, float]] = {}
    for row, word in enumerate(said):
        for n in scores[row].nonzero()[0]:
            if _may_be(word, asked[n]):
                like = (float(scores[row][n]) - UNLIKE) / (1 - UNLIKE)
                found.setdefault(word, {})[asked[n]] = like
    return found


def _may_be(said: str, wanted: str) -> bool:
    if said == wanted:
        return True
    return min(len(said), len(wanted)) >= _LEAST_LIKE_LETTERS


def _weight(times: int, words: int) -> float:
    """A word said rarely tells more; one never said counts as one said once."""
    return log(1 + words / (1 + times))


def phrase(text: str, worth: float) -> Phrase | None:
    """The telling words of a text, all where fewer than two tell; None where it is empty."""
    plain = text.replace("-", " ").replace("–", " ").casefold().replace("’", "'")
    words = list(dict.fromkeys(word for part in plain.split() if (word := part.strip(_MARKS))))
    telling = [word for word in words if word not in _LITTLE]
    kept = telling if len(telling) > 1 else words
    return Phrase(tuple(kept), worth) if kept else None
