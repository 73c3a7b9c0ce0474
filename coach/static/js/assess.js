/* An assessment that is being taken. Every change is kept by the server at once, as a part of its
   own; what could not be sent yet is kept in this browser alone, and erased when the server has it. */
"use strict";

(() => {
  const COPY = "assess:";
  const RETRY_MS = 4000;
  const TYPING_MS = 500;
  const LONGEST_MS = 20000; // an answer that takes longer will not come
  const form = document.getElementById("assess");
  if (!form) return;
  const here = new URL(form.action).pathname;
  const owner = `${COPY}${form.dataset.mine}:`;
  const key = owner + here;
  const saves = form.dataset.saves === "yes";
  const ours = (name) => name && name !== "csrfmiddlewaretoken" && name !== "sure";

  function store(act) {
    try {
      return act(localStorage);
    } catch {
      return null; // a browser may refuse to keep anything
    }
  }

  /* What somebody else left in this browser is none of hers. */
  store((kept) => {
    for (const name of Object.keys(kept))
      if (name.startsWith(COPY) && !name.startsWith(owner)) kept.removeItem(name);
  });

  function values() {
    const found = {};
    for (const [name, value] of new FormData(form)) if (ours(name)) found[name] = String(value);
    return found;
  }

  /* ---- what waits to be sent */
  let pending = store((kept) => JSON.parse(kept.getItem(key) || "{}")) || {};
  let last = values();
  let sending = false;
  let refused = false;
  let finishing = null;
  let timer = 0;

  const begun = () => document.getElementById("kept").dataset.begun === "yes";

  /* Nothing of it may have arrived: the address alone leads back to it, and so does a copy. */
  function settle() {
    if (begun() || Object.keys(pending).length) return false;
    const others = `${owner}${here.split("/").slice(0, -2).join("/")}/`;
    const other = store((kept) => Object.keys(kept).find((name) => name.startsWith(others)));
    if (!other) return false;
    location.replace(other.slice(owner.length));
    return true;
  }
  if (saves && settle()) return;
  if (saves) history.replaceState(history.state, "", here);

  function keep() {
    store((kept) => {
      if (Object.keys(pending).length) kept.setItem(key, JSON.stringify(pending));
      else kept.removeItem(key);
    });
  }

  function say(text) {
    const place = document.getElementById("kept");
    if (place && place.textContent !== text) place.textContent = text;
  }

  const OFFLINE = "No connection: kept on this phone";

  function note() {
    const now = values();
    for (const name of new Set([...Object.keys(now), ...Object.keys(last)])) {
      const value = now[name] ?? "";
      if (value !== (last[name] ?? "")) pending[name] = value;
    }
    last = now;
    if (Object.keys(pending).length) pending = { ...first(), ...pending };
    keep();
  }

  /* ---- the day and how it was taken go with the first part: no answers, but widths need them,
     and what is sent tomorrow was measured today */
  function first() {
    if (begun()) return {};
    const how = {};
    for (const name of ["day", "who", "by", "method", "position", "finger_mm"])
      if (name in last) how[name] = last[name];
    return how;
  }

  async function send() {
    if (!saves || sending || !Object.keys(pending).length) return;
    sending = true;
    const batch = { ...pending };
    const body = new FormData();
    body.append("csrfmiddlewaretoken", form.elements.csrfmiddlewaretoken.value);
    for (const [name, value] of Object.entries(batch)) body.append(name, value);
    let answer = null;
    try {
      answer = await fetch(form.dataset.save, {
        method: "POST",
        body,
        credentials: "same-origin",
        redirect: "manual", // to the page for signing in: nothing was kept
        keepalive: true, // it goes on when she leaves the page
        signal: AbortSignal.timeout(LONGEST_MS),
      });
    } catch {
      answer = null;
    }
    const text = answer && answer.ok ? await answer.text().catch(() => null) : null;
    sending = false;
    if (text === null) {
      failed(answer && answer.ok ? null : answer);
      return;
    }
    apply(text, batch);
    if (refused) return;
    if (Object.keys(pending).length) send();
    else if (finishing) finish();
  }

  function failed(answer) {
    stop();
    if (!answer || answer.status >= 500) {
      say(OFFLINE);
    } else {
      say("Signed out. What you typed stays on this phone: load this page again");
    }
  }

  function stop() {
    finishing = null;
    form.removeAttribute("aria-busy");
  }

  /* Each piece of the answer takes the place of the one of its name. What was refused as a whole
     stays on this phone; what has nowhere to go any more does not. */
  function apply(text, batch) {
    const parts = new DOMParser().parseFromString(text, "text/html").body;
    const no = parts.querySelector("#refused");
    refused = Boolean(no);
    for (const [name, value] of Object.entries(batch))
      if (pending[name] === value && (!no || no.dataset.gone === "yes")) delete pending[name];
    keep();
    for (const part of [...parts.children]) {
      const old = part.id && document.getElementById(part.id);
      if (old) old.replaceWith(document.adoptNode(part));
    }
    if (no) {
      say(no.textContent);
      stop();
    }
    for (const row of form.querySelectorAll(".measure, fieldset, .field"))
      row.classList.toggle("wrong", Boolean(row.querySelector(":scope > .beside .error")));
    way();
  }

  function way() {
    const told = document.getElementById("way");
    if (!told) return;
    form.dataset.unit = told.dataset.unit;
    form.dataset.same = told.dataset.same;
  }

  function changed(wait) {
    note();
    fold();
    refused = false;
    clearTimeout(timer);
    timer = setTimeout(send, wait);
  }

  /* ---- the page */
  function fold() {
    for (const part of form.querySelectorAll("[data-asks]")) {
      const asks = form.elements[part.dataset.asks];
      part.hidden = !part.dataset.when.split(" ").includes(asks ? asks.value : "");
    }
  }

  function put(found) {
    for (const [name, value] of Object.entries(found)) {
      for (const field of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
        if (field.type === "radio" || field.type === "checkbox")
          field.checked = field.value === value;
        else if (field.type !== "hidden") field.value = value;
      }
    }
  }

  function step(button) {
    const field = document.getElementById(button.dataset.of);
    const width = field.name.startsWith("width-") && form.dataset.unit === "fingers";
    const by = Number(button.dataset.step) * (width ? 0.5 : 1);
    const take = field.closest(".measure").querySelector("[data-take]");
    const usable = take && !(take.classList.contains("of-width") && form.dataset.same !== "yes");
    const text = field.value.trim().replace(",", ".").replace("−", "-");
    const now = text === "" ? (usable ? Number(take.dataset.take) : 0) : Number(text);
    if (!Number.isFinite(now)) return;
    field.value = String(Math.round((now + by) * 100) / 100);
    changed(TYPING_MS);
  }

  function take(button) {
    if (button.dataset.of) document.getElementById(button.dataset.of).value = button.dataset.take;
    else put({ [button.dataset.name]: button.dataset.take });
    changed(0);
  }

  let chosen = null;
  form.addEventListener("pointerdown", (event) => {
    const label = event.target.closest("label");
    const radio = label && label.querySelector("input[type=radio]");
    chosen = radio && radio.checked && radio.value ? radio : null;
  });
  form.addEventListener("click", (event) => {
    const button = event.target.closest("button[type=button]");
    if (button && button.dataset.step) step(button);
    else if (button && button.dataset.take !== undefined) take(button);
    else if (event.target === chosen) {
      /* A second tap takes an answer back to "not asked". */
      const none = form.querySelector(`input[name="${CSS.escape(chosen.name)}"][value=""]`);
      if (none) none.checked = true;
      chosen = null;
      changed(0);
    }
  });
  form.addEventListener("input", (event) => {
    if (event.target.type === "radio" || event.target.type === "checkbox") return;
    changed(TYPING_MS);
  });
  form.addEventListener("change", () => changed(0));

  function finish() {
    const button = finishing;
    stop();
    form.dataset.kept = "yes";
    form.requestSubmit(button);
  }

  form.addEventListener("submit", (event) => {
    if (form.dataset.kept || !saves) return;
    note();
    if (!navigator.onLine) {
      event.preventDefault();
      say(OFFLINE);
    } else if (sending || Object.keys(pending).length) {
      event.preventDefault();
      finishing = event.submitter;
      form.setAttribute("aria-busy", "true");
      clearTimeout(timer);
      send();
    }
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted) delete form.dataset.kept;
  });
  const again = () => refused || send();
  addEventListener("pagehide", again);
  addEventListener("online", again);
  addEventListener("offline", () => Object.keys(pending).length && say(OFFLINE));
  setInterval(again, RETRY_MS);

  for (const hidden of form.querySelectorAll("[data-step], [data-take]")) hidden.hidden = false;
  if (saves && Object.keys(pending).length) {
    put(pending);
    last = values();
    say("What was not sent yet is back");
    send();
  } else {
    store((kept) => kept.removeItem(key));
    pending = {};
  }
  fold();
  way();
})();
