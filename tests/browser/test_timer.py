"""The timer: exact by one clock, led by keys, without a network once it is open."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from coach.practice.models import User
from coach.practice.permissions import Role
from content.models import ClassDesign, FitnessClass
from content.rules.design import COOL_DOWN, MAIN, Block, Design, Item, Pattern
from tests import factories

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

START = datetime(2026, 12, 3, 9, 0, tzinfo=UTC)
READY = 5
# 0 squat, 40 rest, 60 clam left, 100 rest, 120 clam right, 160 rest, 180 talk, 240 the end.
PLAN = Design(
    (
        Block(
            MAIN, "",
            (Pattern((Item("squat", shows=("sit-to-stand",)), Item("clam", sides="two")), 40, 20),),
        ),
        Block(COOL_DOWN, "", (Pattern((Item("", "Thanks and see you"),), 60, 0),)),
    )
)  # fmt: skip
# What the browser lends out, counted: the lock that keeps the screen awake, sound and speech.
SPY = """
window.told = {locks: 0, beeps: [], spoken: []};
Object.defineProperty(navigator, 'wakeLock', {value: {request: async () => {
  told.locks += 1;
  const lock = new EventTarget();
  lock.release = async () => { told.locks -= 1; lock.dispatchEvent(new Event('release')); };
  return lock;
}}});
const param = () => ({value: 0, setValueAtTime() {}, linearRampToValueAtTime() {}});
window.AudioContext = class {
  get currentTime() { return performance.now() / 1000; }
  resume() {}
  createGain() { return {gain: param(), connect: (to) => to}; }
  createOscillator() {
    const tone = {frequency: param(), connect: (to) => to, disconnect() {}, start(at) {
      tone.row = {at, hz: tone.frequency.value, off: null}; told.beeps.push(tone.row);
    }, stop(at) { if (at === undefined) tone.row.off = true; }};
    return tone;
  }
};
speechSynthesis.speak = (said) => told.spoken.push(said.text);
"""


@pytest.fixture
def una(practice: Any) -> User:
    return factories.person(Role.OWNER, email="una@example.org", name="Una Owner")


@pytest.fixture
def address(practice: Any) -> str:
    item = factories.fitness_class("Standing core", state="outlined", minutes=4)
    ClassDesign.objects.create(item=item, planned=PLAN.stored)
    return reverse("classes:timer", args=[FitnessClass.objects.get().pk])


@pytest.fixture
def timer(window: Callable[..., Page], una: User, address: str) -> Callable[..., Page]:
    """`timer(width=390)`: the timer started, its clock in the test's hand and at 0:00."""

    def open_(*, begun: bool = True, **options: Any) -> Page:
        page = window(user=una, **options)
        page.clock.install(time=START)
        page.add_init_script(SPY)
        page.goto(address)
        page.clock.pause_at(START.replace(minute=1))
        page.locator("#begin").click()
        if begun:
            page.clock.run_for(READY * 1000)
        return page

    return open_


def shown(page: Page) -> tuple[str, str, str, str]:
    """What is left, of what, what is next, and where it stands in the whole."""
    parts = (page.locator(f"#timer [data-show={one}]") for one in ("left", "name", "next", "clock"))
    left, name, then, clock = (one.inner_text() for one in parts)
    return left, name, then, clock


def told(page: Page, what: str) -> Any:
    return page.evaluate(f"() => told.{what}")


def on(page: Page, seconds: float) -> None:
    page.clock.run_for(round(seconds * 1000))


def test_it_counts_each_interval_down_and_shows_what_is_next(timer: Callable[..., Page]) -> None:
    page = timer(begun=False)
    assert shown(page) == ("0:05", "Get ready", "Next: Squat", "0:00 of 4:00")
    on(page, 5)
    assert shown(page) == ("0:40", "Squat", "Next: Clam, left", "0:00 of 4:00")
    expect(page.locator("#timer [data-show=note]")).to_have_text("Easier: Sit to stand")
    on(page, 39)
    assert shown(page) == ("0:01", "Squat", "Next: Clam, left", "0:39 of 4:00")
    on(page, 1)
    assert shown(page) == ("0:20", "Rest", "Next: Clam, left", "0:40 of 4:00")
    on(page, 20)
    assert shown(page) == ("0:40", "Clam, left", "Next: Clam, right", "1:00 of 4:00")
    on(page, 120)
    expect(page.locator("#timer [data-show=block]")).to_have_text("Cool-down")
    assert shown(page) == ("1:00", "Thanks and see you", "", "3:00 of 4:00")
    on(page, 60)
    assert shown(page) == ("0:00", "Done", "", "4:00 of 4:00")
    expect(page.locator("#timer progress")).to_have_js_property("value", 240)


def test_late_ticks_make_nothing_late(timer: Callable[..., Page]) -> None:
    """A minute in which the page gets no tick at all: the clock alone says where it is."""
    page = timer()
    page.clock.fast_forward(61_000)
    assert shown(page) == ("0:39", "Clam, left", "Next: Clam, right", "1:01 of 4:00")


def test_space_holds_it_for_as_long_as_she_likes(timer: Callable[..., Page]) -> None:
    page = timer()
    on(page, 10)
    page.keyboard.press("Space")
    expect(page.locator("[data-do=pause]")).to_have_text("Go on")
    on(page, 300)
    assert shown(page)[0] == "0:30"
    page.keyboard.press("Space")
    on(page, 4)
    assert shown(page)[0] == "0:26"


def test_arrows_go_forward_and_back_to_the_beginning_of_intervals(
    timer: Callable[..., Page],
) -> None:
    page = timer()
    for wanted in ("Rest", "Clam, left", "Rest"):
        page.keyboard.press("ArrowRight")
        assert shown(page)[1] == wanted
    page.keyboard.press("ArrowLeft")
    assert shown(page)[:2] == ("0:40", "Clam, left")
    on(page, 7)
    page.keyboard.press("ArrowLeft")
    assert shown(page)[:2] == ("0:40", "Clam, left")
    page.keyboard.press("Space")
    page.keyboard.press("ArrowLeft")
    assert shown(page)[:2] == ("0:20", "Rest")
    on(page, 30)
    assert shown(page)[:2] == ("0:20", "Rest")


def test_buttons_do_the_same_and_leave_the_space_bar_to_the_pause(
    timer: Callable[..., Page],
) -> None:
    page = timer(width=390)
    page.locator("[data-do=forward]").click()
    page.locator("[data-do=forward]").click()
    assert shown(page)[1] == "Clam, left"
    page.locator("[data-do=back]").click()
    page.keyboard.press("Space")
    on(page, 60)
    assert shown(page)[:2] == ("0:20", "Rest")


def test_it_begins_anew_after_its_end(timer: Callable[..., Page]) -> None:
    page = timer()
    on(page, 245)
    page.locator("[data-do=pause]").click()
    assert shown(page)[:2] == ("0:05", "Get ready")
    on(page, 6)
    assert shown(page)[:2] == ("0:39", "Squat")


def test_without_a_network_it_counts_on_and_asks_for_nothing(timer: Callable[..., Page]) -> None:
    page = timer(begun=False)
    asked: list[str] = []
    page.context.set_offline(True)
    page.on("request", lambda request: asked.append(request.url))
    on(page, 5 + 60)
    page.keyboard.press("ArrowRight")
    assert shown(page)[:2] == ("0:20", "Rest")
    page.keyboard.press("Escape")
    page.locator("#begin").click()
    on(page, 6)
    assert (shown(page)[1], asked) == ("Squat", [])


def test_the_screen_is_kept_awake_until_she_leaves(timer: Callable[..., Page]) -> None:
    page = timer()
    assert told(page, "locks") == 1
    page.keyboard.press("Space")
    page.keyboard.press("Space")
    assert told(page, "locks") == 1
    page.keyboard.press("Escape")
    expect(page.locator("#timer")).to_be_hidden()
    page.wait_for_timeout(300)  # a lock is let go in its own time
    assert told(page, "locks") == 0
    expect(page.locator("#begin")).to_be_focused()


def test_at_the_end_the_screen_may_sleep(timer: Callable[..., Page]) -> None:
    page = timer()
    on(page, 241)
    assert told(page, "locks") == 0


def beeps(page: Page, since: float) -> list[tuple[float, int]]:
    """What sounded: seconds since then, and pitch."""
    return [
        (round(one["at"] - since, 2), one["hz"])
        for one in told(page, "beeps") if one["off"] is None
    ]  # fmt: skip


def test_beeps_fall_on_their_seconds_however_late_the_ticks(timer: Callable[..., Page]) -> None:
    page = timer(begun=False)
    begun = page.evaluate("() => performance.now() / 1000") + READY
    on(page, 66)
    assert beeps(page, begun) == [
        (-3, 660), (-2, 660), (-1, 660), (0, 990), (40, 495), (57, 660), (58, 660), (59, 660),
        (60, 990),
    ]  # fmt: skip


def test_no_beep_sounds_while_it_is_held_or_switched_off(timer: Callable[..., Page]) -> None:
    page = timer()
    on(page, 38.8)  # the beep at 40 is set already
    page.keyboard.press("Space")
    on(page, 10)
    since = page.evaluate("() => performance.now() / 1000")
    assert [one for one in beeps(page, since) if one[0] > -10] == []
    page.get_by_label("Beeps").uncheck()
    page.locator("[data-do=pause]").click()
    on(page, 25)
    assert [one for one in beeps(page, since) if one[0] > -10] == []


def test_names_are_spoken_only_when_she_wants_it(timer: Callable[..., Page]) -> None:
    page = timer()
    on(page, 61)
    assert told(page, "spoken") == []
    page.get_by_label("Names spoken").check()
    on(page, 120)
    assert told(page, "spoken") == ["Next: Clam, right", "Next: Thanks and see you"]


def test_a_space_on_a_switch_turns_it_and_holds_nothing(timer: Callable[..., Page]) -> None:
    page = timer()
    page.get_by_label("Names spoken").focus()
    page.keyboard.press("Space")
    expect(page.get_by_label("Names spoken")).to_be_checked()
    on(page, 3)
    assert shown(page)[0] == "0:37"


def test_a_browser_without_sound_speech_or_lock_counts_all_the_same(
    window: Callable[..., Page], una: User, address: str
) -> None:
    page = window(user=una)
    page.clock.install(time=START)
    page.add_init_script(
        "for (const one of ['AudioContext', 'speechSynthesis'])"
        " Object.defineProperty(window, one, {value: undefined});"
        "Object.defineProperty(navigator, 'wakeLock', {value: undefined});"
        "Element.prototype.requestFullscreen = undefined;"
    )
    page.goto(address)
    page.clock.pause_at(START.replace(minute=1))
    page.locator("#begin").click()
    on(page, 46)
    assert shown(page)[:2] == ("0:19", "Rest")
    expect(page.get_by_text("Names spoken")).to_be_hidden()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    "size",
    [
        (360, 640),
        (640, 360),
        pytest.param((1280, 800), marks=pytest.mark.endurance),
        pytest.param((2560, 1440), marks=pytest.mark.endurance),
    ],
)
def test_everything_is_on_the_screen_of_every_size(
    window: Callable[..., Page],
    una: User,
    address: str,
    axe: Callable[[Page], list[str]],
    size: tuple[int, int],
    scheme: str,
) -> None:
    page = window(user=una, scheme=scheme)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(address)
    page.locator("#begin").click()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    expect(page.locator("#timer [data-show=name]")).to_have_text("Clam, left")
    over = page.locator("#timer").evaluate(
        "one => [one.scrollWidth - one.clientWidth, one.scrollHeight - one.clientHeight]"
    )
    assert over == [0, 0]
    box = page.locator("#timer [data-show=left]").bounding_box()
    assert box
    assert box["height"] >= 0.3 * min(size)
    assert axe(page) == []


def test_an_hour_of_one_thing_fits_the_width(timer: Callable[..., Page]) -> None:
    hour = Design((Block(MAIN, "", (Pattern((Item("squat"),), 3600, 0),)),))
    ClassDesign.objects.update(planned=hour.stored)
    page = timer(width=360)
    assert shown(page) == ("1:00:00", "Squat", "", "0:00 of 1:00:00")
    left = page.locator("#timer [data-show=left]")
    assert left.evaluate("one => one.scrollWidth - one.clientWidth") == 0
    on(page, 1)
    assert shown(page)[0] == "59:59"
    assert left.evaluate("one => one.scrollWidth - one.clientWidth") == 0


def test_reduced_motion_is_kept_to(timer: Callable[..., Page]) -> None:
    page = timer()
    page.emulate_media(reduced_motion="reduce")
    moving = page.locator("#timer").evaluate(
        "one => [one, ...one.querySelectorAll('*')].filter("
        "each => getComputedStyle(each).transitionDuration !== '0s'"
        " || getComputedStyle(each).animationName !== 'none').length"
    )
    assert moving == 0


def test_without_a_script_the_intervals_are_a_list(
    chromium: Any, live_server: Any, una: User, address: str
) -> None:
    from tests.conftest import sign_in

    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    cookie = sign_in(una).cookies["session"].value
    context.add_cookies([{"name": "session", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(address)
    expect(page.locator("#intervals > li")).to_have_count(7)
    expect(page.locator("#intervals > li").nth(2)).to_contain_text("1:00")
    expect(page.get_by_text("The timer needs JavaScript.")).to_be_visible()
    expect(page.locator("#begin")).to_be_hidden()
    context.close()
