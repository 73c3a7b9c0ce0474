/* The form by link. What is typed is kept by the server at every change; what could not be sent yet
   is kept in this browser alone, and erased when the server has it. */
"use strict";

(() => {
  const COPY = "form:";
  const RETRY_MS = 5000;
  const here = location.pathname;
  const link = here.split("/").slice(0, 3).join("/");
  const form = document.querySelector("form[data-form]");

  function store(act) {
    try {
      return act(localStorage);
    } catch {
      return null; // a browser may refuse to keep anything
    }
  }

  function forget(start) {
    store((kept) => {
      for (const key of Object.keys(kept)) if (key.startsWith(start)) kept.removeItem(key);
    });
  }

  /* The form is closed or received: nothing of it stays in this browser. */
  if (document.querySelector("[data-forget]")) forget(COPY + link + "/");
  if (!form) return;

  const key = COPY + here;
  const told = document.getElementById("kept");
  const saves = form.hasAttribute("hx-post");
  let passing = false;

  function values() {
    const found = {};
    for (const [name, value] of new FormData(form)) {
      const ours = name === "csrfmiddlewaretoken" || name === "go" || name === "key";
      if (!ours && typeof value === "string") found[name] = value;
    }
    return found;
  }

  function say(text) {
    const place = document.getElementById("kept") || told;
    if (place && place.textContent !== text) place.textContent = text;
  }

  function offline() {
    say(
      "No connection. What you typed is kept on this phone and goes on by itself; leave this page open, or come back to it.",
    );
  }

  let last = JSON.stringify(values());

  function copy() {
    const now = JSON.stringify(values());
    if (now === last) return;
    last = now;
    store((kept) => kept.setItem(key, now));
  }

  function put(found) {
    for (const field of form.elements) {
      if (!field.name || field.type === "hidden" || field.type === "file") continue;
      const value = found[field.name];
      if (field.type === "radio") field.checked = field.value === value;
      else if (field.type === "checkbox") field.checked = value !== undefined;
      else if (field.type !== "submit") field.value = value ?? "";
    }
  }

  function unsent() {
    return store((kept) => kept.getItem(key));
  }

  /* Fields that belong to another answer are put away. */
  function fold() {
    for (const part of form.querySelectorAll("[data-asks]")) {
      const asks = form.elements[part.dataset.asks];
      part.hidden = !part.dataset.when.split(" ").includes(asks ? asks.value : "");
    }
  }

  function ownZone() {
    const field = form.querySelector("[data-own-zone]");
    if (!field || field.value) return;
    field.value = Intl.DateTimeFormat().resolvedOptions().timeZone;
    if (field.selectedIndex < 0) field.value = "";
  }

  function retry() {
    if (saves && unsent() !== null) form.dispatchEvent(new CustomEvent("keep"));
  }

  if (saves) {
    const found = unsent();
    if (found !== null && found !== last) {
      put(JSON.parse(found));
      last = found;
      say("What you typed before the connection was lost is back.");
      addEventListener("load", retry);
    } else {
      forget(key);
    }
    let sending = null;
    form.addEventListener("htmx:beforeRequest", () => (sending = JSON.stringify(values())));
    form.addEventListener("htmx:afterRequest", (event) => {
      if (event.detail.successful) {
        if (unsent() === sending) forget(key);
        if (passing) go();
      } else if (event.detail.xhr && event.detail.xhr.status === 404) {
        location.reload(); // closed meanwhile
      }
    });
    for (const lost of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
      form.addEventListener(lost, (event) => {
        event.stopPropagation(); // this page says it in its own words
        passing = false;
        offline();
      });
    }
    addEventListener("online", retry);
    setInterval(retry, RETRY_MS);
  }

  /* Next and Back: first everything typed is kept, then the page changes. */
  let pressed = null;
  function go() {
    passing = false;
    const button = pressed;
    pressed = null;
    form.dataset.kept = "yes";
    form.requestSubmit(button);
  }

  form.addEventListener("submit", (event) => {
    if (form.dataset.kept) return;
    if (!navigator.onLine) {
      event.preventDefault();
      offline();
      return;
    }
    if (saves && unsent() !== null) {
      event.preventDefault();
      pressed = event.submitter;
      passing = true;
      form.dispatchEvent(new CustomEvent("keep"));
    } else if (form.hasAttribute("data-send")) {
      form.dataset.kept = "yes"; // sent once; the key keeps a second time from counting
    }
  });

  for (const kind of ["input", "change"]) {
    form.addEventListener(kind, () => {
      fold();
      if (saves) copy();
    });
  }
  addEventListener("pageshow", (event) => {
    if (event.persisted) delete form.dataset.kept;
  });
  fold();
  ownZone();
})();
