/* The timer of a class. Where it stands follows from one clock that only goes forward, never from
   counting ticks, so that a late tick makes nothing late. All it needs is in the page. */
"use strict";

(() => {
  const list = document.getElementById("intervals");
  const dialog = document.getElementById("timer");
  const TICK_MS = 50;
  const AHEAD_S = 1.5; // beeps are handed to the sound card so far ahead: a tab behind ticks slowly
  const RESTART_S = 2; // going back later than this begins the same interval again
  const total = Number(list.dataset.seconds);
  const ready = Number(list.dataset.ready);
  const beeps = JSON.parse(list.dataset.beeps);
  const steps = [...list.children].map((line) => ({
    start: Number(line.dataset.start),
    end: Number(line.dataset.end),
    block: line.dataset.block,
    pause: "pause" in line.dataset,
    title: line.querySelector(".what").textContent,
    note: line.querySelector(".note")?.textContent || "",
  }));
  const show = {};
  for (const part of dialog.querySelectorAll("[data-show]")) show[part.dataset.show] = part;
  const buttons = {};
  for (const one of dialog.querySelectorAll("[data-do]")) buttons[one.dataset.do] = one;
  const switches = {};
  for (const one of dialog.querySelectorAll("[data-switch]")) switches[one.dataset.switch] = one;

  let from = 0; // what the clock read when the class was at 0
  let held = null; // where it is held; null: it runs
  let ticking = null;
  let shown = null; // the interval on the screen
  let open = false;

  /* Where the class is, in seconds; before 0 she gets ready. */
  function at() {
    return held === null ? (performance.now() - from) / 1000 : held;
  }

  function stepAt(second) {
    return second < 0 ? -1 : steps.findIndex((one) => second < one.end);
  }

  function words(seconds) {
    const whole = Math.max(0, Math.floor(seconds));
    const two = (number) => String(number).padStart(2, "0");
    const minutes = Math.floor(whole / 60);
    return minutes < 60
      ? `${minutes}:${two(whole % 60)}`
      : `${Math.floor(minutes / 60)}:${two(minutes % 60)}:${two(whole % 60)}`;
  }

  function put(name, text) {
    if (show[name].textContent !== text) show[name].textContent = text;
  }

  function draw() {
    const second = at();
    const over = second >= total;
    const place = over ? steps.length : stepAt(second);
    const step = steps[place];
    const end = step ? step.end : 0;
    // Up to a whole second, so that a number stays for its second and 0 is never seen.
    put("left", over ? words(0) : words(Math.ceil(end - second)));
    dialog.classList.toggle("long", show.left.textContent.length > 5);
    put("clock", `${words(second)} of ${words(total)}`);
    show.progress.value = Math.min(total, Math.max(0, second));
    if (place !== shown) change(place, step, over);
    if (over && held === null) finish();
  }

  function change(place, step, over) {
    const rests = shown !== null && steps[shown]?.pause && place === shown + 1;
    shown = place;
    put("block", step ? step.block : "");
    put("name", step ? step.title : over ? "Done" : "Get ready");
    put("note", step ? step.note : "");
    const next = nextAfter(place);
    put("next", next ? `Next: ${next.title}` : "");
    dialog.classList.toggle("resting", !step || step.pause);
    if (!rests || over) speak(step, next, over);
  }

  /* The next thing that is done; what comes after a pause, while it lasts. */
  function nextAfter(place) {
    return steps.slice(place + 1).find((one) => !one.pause);
  }

  function tick() {
    draw();
    if (held === null) sound(at());
  }

  function run() {
    clearInterval(ticking);
    ticking = setInterval(tick, TICK_MS);
    tick();
  }

  function go(second) {
    quiet();
    if (held === null) from = performance.now() - second * 1000;
    else held = second;
    shown = null;
    draw();
  }

  function hold() {
    held = at();
    clearInterval(ticking);
    quiet();
    tellPause();
  }

  function goOn() {
    const second = held >= total ? -ready : held;
    held = null;
    from = performance.now() - second * 1000;
    wake();
    tellPause();
    run();
  }

  function finish() {
    held = total;
    clearInterval(ticking);
    release();
    buttons.pause.textContent = "Once more";
  }

  function tellPause() {
    buttons.pause.textContent = held === null ? "Pause" : "Go on";
    dialog.classList.toggle("held", held !== null);
  }

  function back() {
    const second = at();
    const place = second >= total ? steps.length : stepAt(second);
    if (place < 0) return go(-ready);
    const late = steps[place] && second - steps[place].start >= RESTART_S;
    const to = late ? place : place - 1;
    go(to < 0 ? -ready : steps[to].start);
    tellPause();
  }

  function forward() {
    const second = at();
    if (second >= total) return;
    const place = stepAt(second);
    go(place < 0 ? 0 : steps[place].end);
  }

  /* Sound: every beep is set for its moment on the sound card's own clock. */
  let audio = null;
  let waiting = []; // beeps that are set and not over

  function loudly() {
    if (audio || !window.AudioContext) return;
    try {
      audio = new AudioContext();
    } catch {
      audio = null; // a machine without sound
    }
  }

  function sound(second) {
    if (!audio || !switches.beeps.checked) return;
    waiting = waiting.filter((one) => one.at + 1 > second);
    for (const [when, hz, lasts] of beeps) {
      const until = when - second;
      const set = waiting.some((one) => one.at === when);
      if (until > -TICK_MS / 500 && until < AHEAD_S && !set) beep(when, Math.max(0, until), hz, lasts);
    }
  }

  function beep(when, until, hz, lasts) {
    const tone = audio.createOscillator();
    const gain = audio.createGain();
    const start = audio.currentTime + until;
    tone.frequency.value = hz;
    gain.gain.setValueAtTime(0, start);
    gain.gain.linearRampToValueAtTime(0.5, start + 0.008);
    gain.gain.setValueAtTime(0.5, start + lasts - 0.008);
    gain.gain.linearRampToValueAtTime(0, start + lasts);
    tone.connect(gain).connect(audio.destination);
    tone.start(start);
    tone.stop(start + lasts);
    waiting.push({ at: when, tone });
  }

  function quiet() {
    for (const one of waiting) one.tone.disconnect();
    for (const one of waiting) one.tone.stop();
    waiting = [];
    if (window.speechSynthesis) speechSynthesis.cancel();
  }

  function speak(step, next, over) {
    if (!window.speechSynthesis || !switches.names.checked || held !== null) return;
    let text = over ? "Done" : next ? `Next: ${next.title}` : "";
    if (step && !step.pause) text = step.title;
    speechSynthesis.cancel();
    if (text) speechSynthesis.speak(new SpeechSynthesisUtterance(text));
  }

  /* The screen stays awake while the timer runs; a browser may refuse, and lets go by itself. */
  let lock = null;
  let asked = false;

  async function wake() {
    if (!navigator.wakeLock || lock || asked || document.hidden) return;
    asked = true;
    try {
      const got = await navigator.wakeLock.request("screen");
      got.addEventListener("release", () => (lock = lock === got ? null : lock));
      lock = got;
      if (!open) release();
    } catch {
      lock = null;
    } finally {
      asked = false;
    }
  }

  function release() {
    if (lock) lock.release();
    lock = null;
  }

  async function fill() {
    try {
      await document.documentElement.requestFullscreen();
      if (!open) unfill();
    } catch {
      return; // without the full screen it fills the window
    }
  }

  function unfill() {
    if (document.fullscreenElement) document.exitFullscreen().catch(() => {});
  }

  function begin() {
    open = true;
    loudly();
    audio?.resume();
    shown = null;
    held = -ready;
    dialog.showModal();
    fill();
    goOn();
  }

  function leave() {
    if (open) dialog.close();
  }

  dialog.addEventListener("close", () => {
    open = false;
    hold();
    release();
    unfill();
  });

  const acts = {
    back,
    forward,
    leave,
    pause: () => (held === null ? hold() : goOn()),
  };

  dialog.addEventListener("click", (event) => {
    const button = event.target.closest("[data-do]");
    if (!button) return;
    acts[button.dataset.do]();
    if (event.detail && open) buttons.pause.focus(); // a press leaves the space bar to the pause
  });

  dialog.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const on = { ArrowLeft: "back", ArrowRight: "forward", " ": "pause" }[event.key];
    if (!on || (on === "pause" && event.target.closest("button, input"))) return;
    event.preventDefault();
    acts[on]();
  });

  switches.beeps.addEventListener("change", () => {
    if (!switches.beeps.checked) quiet();
  });
  switches.names.addEventListener("change", () => {
    if (!switches.names.checked && window.speechSynthesis) speechSynthesis.cancel();
  });
  if (!window.speechSynthesis) switches.names.closest("label").hidden = true;

  /* Escape leaves the full screen before the page hears of it. */
  document.addEventListener("fullscreenchange", () => {
    if (!document.fullscreenElement) leave();
  });
  document.addEventListener("visibilitychange", () => {
    if (open && held === null) wake();
  });
  addEventListener("pagehide", release);
  document.getElementById("begin").addEventListener("click", begin);
})();
