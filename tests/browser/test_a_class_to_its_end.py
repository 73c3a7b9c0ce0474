"""One class to its end, as a coach goes: designed, rewritten for a stage, timed, found, described.

Nothing is written behind her back: all of it is typed and pressed. The lengths are summed by hand
below; the chapter track is read back by webvtt-py, which is not ours (W3C WebVTT, chapters).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from itertools import count, pairwise
from typing import Any

import pytest
import webvtt
from playwright.sync_api import Locator, Page, expect

from coach.practice.models import User
from coach.practice.permissions import Role
from tests import factories

pytestmark = [
    pytest.mark.browser, pytest.mark.endurance, pytest.mark.django_db(transaction=True)
]  # fmt: skip

START = datetime(2026, 12, 3, 9, 0, tzinfo=UTC)
READY = 5
TITLE = "Floor and feet"
LATE_TITLE = "Floor and feet, for later on"
# What is put in each part, with the seconds typed; None: left at 45 and 15.
PARTS = [
    ("Warm-up", None, ["Standing march", "Cat and cow"]),
    ("Main part", (40, 20), ["Squat", "Bridge", "Dead bug arms", "Clam", "Band row"]),
    ("Cool-down", (60, 0), ["Calf stretch at the wall", "Side-lying breath"]),
]
# By hand. Warm-up: 2 of 45 + 15 are 2:00. Main part: the squat 40 + 20, the bridge with seconds of
# its own 60 + 20, the dead bug 40 + 20, the clam on two sides 2 × (40 + 20), the row 40 + 20:
# 60 + 80 + 60 + 120 + 60 are 6:20. Cool-down: the stretch on two sides 2 × 60 and a breath of 60
# are 3:00. 2:00 + 6:20 + 3:00 are 11:20.
LENGTHS = {"Warm-up": "0:00 · 2:00", "Main part": "2:00 · 6:20", "Cool-down": "8:20 · 3:00"}
WHOLE = "11:20"
BEGIN = ["0:00", "1:00", "2:00", "3:00", "4:20", "5:20", "7:20", "8:20", "10:20"]
# Lying flat from 20 weeks on is left out (ACOG Committee Opinion 804, 2020): the bridge and the
# dead bug are on the back, the other seven are not.
ON_THE_BACK = ["Bridge", "Dead bug arms"]
LEFT_OUT = "Band row"  # of the film
NEAR = 10  # seconds
CHATTER = (
    "lovely, keep going",
    "I can hear the rain on the roof this morning",
    "stay with me, no hurry at all",
    "somebody asked me about parking last week",
    "and breathe",
    "have a sip of water if you like",
)


@pytest.fixture
def una(practice: Any) -> User:
    return factories.person(Role.OWNER, email="una@example.org", name="Una Owner")


def test_a_class_goes_from_its_design_to_its_chapters(
    window: Callable[..., Page], una: User
) -> None:
    page = window(user=una)
    add(page)
    design(page)
    rewrite(page)
    planned = time(window(user=una, width=390), page.url)
    said = film(page, planned)
    times = look_at_times(page, said)
    fix(page, times, "2:11.5")
    times = noted(page, planned, "2:11.5")
    chapters = describe(page, times)
    track(page, chapters)


def seconds(clock: str) -> int:
    """Whole seconds of "4:05" or "4:05.5"."""
    minutes, rest = clock.split(":")
    return int(minutes) * 60 + int(rest.partition(".")[0])


def press(page: Page | Locator, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def follow(page: Page, name: str) -> None:
    page.get_by_role("link", name=name, exact=True).click()


def add(page: Page) -> None:
    page.goto("/classes/add/")
    page.get_by_label("Title").fill(TITLE)
    page.get_by_role("radio", name="outlined").check()
    page.get_by_label("Focus").select_option(label="full body")
    page.get_by_label("Length in minutes").fill("11")
    page.get_by_label("Hours still needed").fill("3")
    press(page, "Keep")
    expect(page.get_by_role("heading", name=TITLE)).to_be_visible()


def design(page: Page) -> None:
    """Built part by part; its length is what was summed by hand."""
    follow(page, "Design")
    for part, of_part, exercises in PARTS:
        press(page, part)
        mine = page.get_by_role("region", name=part, exact=True)
        for name in exercises:
            put_in(mine, name)
        if of_part:
            set_seconds(mine, *of_part)
    give_its_own_seconds(page, "Bridge", 60)
    expect(whole(page)).to_have_text(WHOLE)
    for part, words in LENGTHS.items():
        expect(page.get_by_role("heading", name=f"{part} {words}")).to_be_visible()
    assert page.locator(".items .when").all_inner_texts() == BEGIN


def whole(page: Page) -> Locator:
    return page.locator("#design .total .big")


def lines(part: Locator, name: str) -> Locator:
    return part.locator(".items > li").filter(has=part.page.get_by_text(name, exact=True))


def put_in(part: Locator, name: str) -> None:
    part.get_by_role("searchbox").fill(name)
    press(part, "Find")
    press(part, f"Add {name}")
    expect(lines(part, name)).to_be_visible()


def set_seconds(part: Locator, work: int, rest: int) -> None:
    part.get_by_text("seconds and rounds", exact=True).click()
    part.get_by_label("Work", exact=True).fill(str(work))
    part.get_by_label("Rest", exact=True).fill(str(rest))
    press(part, "Keep")
    words = f"{work} s / {rest} s" if rest else f"{work} s"
    expect(part.locator(".how-long")).to_have_text(words)


def give_its_own_seconds(page: Page, name: str, work: int) -> None:
    line = lines(page.locator("#design"), name)
    line.get_by_label(f"Change {name}", exact=True).click()
    line.get_by_label("Its own seconds").fill(str(work))
    press(line, "Keep")
    expect(line.get_by_text(f"{work} s", exact=True)).to_be_visible()


def stage(page: Page) -> Locator:
    """The heading of the third trimester where it is said whom a class suits."""
    return page.get_by_role("heading", name=re.compile("^Trimester 3"))


def rewrite(page: Page) -> None:
    """A version for the third trimester, change by change; it is as long and not excluded."""
    follow(page, "the class")
    follow(page, "Whom it suits")
    expect(stage(page)).to_contain_text("leave out")
    page.get_by_text("2 exercises to look at for trimester 3").click()
    follow(page, "a version for trimester 3")
    expect(page.get_by_role("heading", name="What would change 2")).to_be_visible()
    accept(page)
    expect(page.get_by_text(f"“{LATE_TITLE}” is made")).to_be_visible()
    expect(whole(page)).to_have_text(WHOLE)
    assert page.locator(".items .when").all_inner_texts() == BEGIN
    announce(page)
    follow(page, "the class")
    follow(page, "Whom it suits")
    expect(stage(page)).to_contain_text("nothing against it")
    expect(page.get_by_text(re.compile("to look at for trimester 3"))).to_have_count(0)
    follow(page, LATE_TITLE)


def announce(page: Page) -> None:
    """What the exercises ask for, until nothing is left to look at."""
    expect(page.get_by_text("Seated march asks for chair, which is not announced.")).to_have_count(
        2
    )
    for words in ("a band", "a chair", "a wall", "a mat", "a cushion"):
        page.get_by_label(words, exact=True).check()
    press(page, "Keep")
    expect(page.get_by_text("Nothing stands out.")).to_be_visible()


def accept(page: Page) -> None:
    """One by one: with none it is the same class, and that is said."""
    boxes = [page.get_by_role("checkbox", name=f"{old} becomes") for old in ON_THE_BACK]
    for box in boxes:
        box.uncheck()
    page.get_by_label("Its title").fill(LATE_TITLE)
    press(page, "Make this version")
    expect(page.get_by_role("alert")).to_contain_text("Tick at least one change")
    expect(page.get_by_label("Its title")).to_have_value(LATE_TITLE)
    for box in boxes:
        expect(box).not_to_be_checked()
        box.check()
    press(page, "Make this version")


def time(phone: Page, address: str) -> list[tuple[int, str]]:
    """Ten seconds on her phone, by keys; what is done when, in seconds, as the page lists it."""
    phone.clock.install(time=START)
    phone.goto(address)
    follow(phone, "Timer")
    expect(phone.get_by_role("button", name="Start the timer")).to_be_visible()
    phone.clock.pause_at(START.replace(minute=1))
    phone.get_by_role("button", name="Start the timer").press("Space")
    phone.clock.run_for((READY + 10) * 1000)
    expect(shown(phone, "name")).to_have_text("Standing march, sides in turn")
    expect(shown(phone, "left")).to_have_text("0:35")
    expect(shown(phone, "clock")).to_have_text(f"0:10 of {WHOLE}")
    expect(shown(phone, "next")).to_have_text("Next: Cat and cow")
    phone.keyboard.press("Space")
    expect(phone.get_by_role("button", name="Go on")).to_be_visible()
    phone.clock.run_for(60_000)
    expect(shown(phone, "left")).to_have_text("0:35")
    phone.keyboard.press("Escape")
    return [
        (seconds(line.locator(".when").inner_text()), sided(line.locator(".what").inner_text()))
        for line in phone.locator("#intervals > li:not([data-pause])").all()
    ]


def sided(words: str) -> str:
    """ "Clam, left" with its side, and without what is no side of its own: both in turn."""
    return re.sub(", (alternating|sides in turn)$", "", words)


def shown(page: Page, part: str) -> Locator:
    return page.locator(f"#timer [data-show={part}]")


def spoken(
    planned: list[tuple[int, str]],
    *,
    every: int = 8,
    words: str = "{}, here we go",
    chatter: tuple[str, ...] = CHATTER,
) -> Iterator[tuple[int, str, str]]:
    """When she says what: (second, of which exercise or "", words); each a few seconds late.

    `every`: seconds from one line to the next while an exercise lasts.
    """
    talk, ends = count(), [*(at for at, _ in planned[1:]), seconds(WHOLE)]
    for n, ((at, name), end) in enumerate(zip(planned, ends, strict=True)):
        begun = at + 3 + n % 4
        if name != LEFT_OUT:
            yield begun, name, words.format(name)
        for later in range(begun + every, end, every):
            yield later, "", chatter[next(talk) % len(chatter)]


def film(page: Page, planned: list[tuple[int, str]]) -> dict[str, int]:
    """It is filmed and its captions are pasted; when each exercise was spoken of, in seconds."""
    press(page, "It is filmed now")
    expect(page.get_by_text(f"“{LATE_TITLE}” is filmed.")).to_be_visible()
    follow(page, "Captions")
    said = list(spoken(planned))
    paste(page, said)
    return {name: at for at, name, _ in said if name}


def paste(page: Page, said: list[tuple[int, str, str]]) -> None:
    text = "\n".join(f"{at // 60}:{at % 60:02} {words}" for at, _, words in said)
    page.get_by_label("Or paste the text").fill(text)
    page.get_by_label("Length of the film").fill("11:40")
    press(page, "Find the exercises")
    expect(page.get_by_text("The captions are kept.")).to_be_visible()


def rows(page: Page) -> Locator:
    return page.get_by_role("region", name="When each exercise began").locator("li")


def read_times(page: Page) -> dict[str, str]:
    """What the page says of each: "Clam, left" with its time, or "–"."""
    found = {}
    for row in rows(page).all():
        name = row.locator(".what b").inner_text()
        side = row.locator(".what .quiet").all_inner_texts()
        found[sided(", ".join([name, *side]))] = row.locator(".when").inner_text()
    return found


def look_at_times(page: Page, said: dict[str, int]) -> dict[str, str]:
    """What was spoken of is near where that was; what was not is reported as not found."""
    times = read_times(page)
    assert times[LEFT_OUT] == "–"
    found = {name: seconds(at) for name, at in times.items() if at != "–"}
    assert found.keys() == said.keys()
    far = {name: (at, said[name]) for name, at in found.items() if abs(at - said[name]) > NEAR}
    assert far == {}
    beside = page.get_by_role("region", name="Captions", exact=True)
    expect(beside.get_by_role("heading", name="Not found 1")).to_be_visible()
    expect(beside.locator("ul").first).to_have_text(LEFT_OUT)
    return times


def fix(page: Page, times: dict[str, str], to: str) -> None:
    """One time put right by hand: it stays, and so do those of its neighbours."""
    row = rows(page).filter(has=page.get_by_text("Squat", exact=True))
    row.get_by_label("Put Squat right").click()
    row.get_by_label("Began at").fill(to)
    press(row, "Keep")
    expect(page.get_by_text("Put right; the rest is found anew.")).to_be_visible()
    page.reload()
    expect(row).to_contain_text("put right by hand")
    assert read_times(page) == {**times, "Squat": to}


def noted(page: Page, planned: list[tuple[int, str]], fixed: str) -> dict[str, str]:
    """Captions as she notes them by hand, few words: found too, and what was put right stays."""
    page.get_by_label("It is the same film").check()
    said = list(spoken(planned, every=25, words="{}", chatter=("lovely",)))
    paste(page, said)
    times = look_at_times(page, {name: at for at, name, _ in said if name})
    assert times["Squat"] == fixed
    return times


def describe(page: Page, times: dict[str, str]) -> list[tuple[str, str]]:
    """The description with its chapters, seen while it is typed, and kept; those chapters."""
    follow(page, "the class")
    follow(page, "Text and chapters")
    reads = page.locator("#to-copy")
    expect(reads).to_contain_text("You need: band, chair, wall, mat, cushion.")
    chapters = in_words(reads.inner_text())
    assert chapters == [("0:00", "Welcome"), *of_film(times)]
    assert all(seconds(one) < seconds(two) for (one, _), (two, _) in pairwise(chapters))
    expect(page.get_by_text(f"Not found in the film: {LEFT_OUT}.")).to_be_visible()
    words = page.get_by_label("Words of this class")
    words.fill(words.input_value() + "\nFilmed by the window in {minutes} minutes.")
    expect(reads).to_contain_text("Filmed by the window in 11 minutes.")
    press(page, "Keep these words")
    expect(page.get_by_text("Kept.", exact=True)).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", name="Description your own words")).to_be_visible()
    expect(reads).to_contain_text("Filmed by the window in 11 minutes.")
    assert in_words(reads.inner_text()) == chapters
    return chapters


def in_words(text: str) -> list[tuple[str, str]]:
    """The lines of a description that are chapters."""
    return re.findall(r"^(\d+:\d\d) (.+)$", text, re.MULTILINE)


def of_film(times: dict[str, str]) -> list[tuple[str, str]]:
    """Both sides of an exercise are one chapter, which begins with the first of them."""
    first: dict[str, str] = {}
    for name, at in times.items():
        if at != "–":
            first.setdefault(name.partition(",")[0], at.partition(".")[0])
    return [(at, name) for name, at in first.items()]


def track(page: Page, chapters: list[tuple[str, str]]) -> None:
    """The chapters as a file: the same titles, rising, each ending where the next begins."""
    with page.expect_download() as coming:
        follow(page, "As a track (WebVTT)")
    assert coming.value.suggested_filename == "floor-and-feet-for-later-on-chapters.vtt"
    cues = webvtt.read(str(coming.value.path())).captions
    assert [(at(one.start), one.text) for one in cues] == chapters
    assert all(one.end == two.start for one, two in pairwise(cues))
    assert cues[-1].end == "00:11:40.000"


def at(stamp: str) -> str:
    """ "00:04:05.500" as a list of chapters has it: "4:05"."""
    hours, minutes, rest = stamp.split(":")
    return f"{int(hours) * 60 + int(minutes)}:{rest[:2]}"
