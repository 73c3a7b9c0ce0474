/* Small helps on top of pages that work without them. No state is kept in the browser here; what
   an unfinished assessment keeps in it goes when somebody signs out. */
"use strict";

(() => {
  const root = document.documentElement;
  root.classList.add("js");

  /* The dragging library is fetched only by a page that has something to drag. */
  const sortableAddress = document.currentScript.dataset.sortable;
  let sortableAsked = false;
  function whenSortable(then) {
    if (window.Sortable) {
      then();
      return;
    }
    let script = document.getElementById("sortable");
    if (!sortableAsked) {
      sortableAsked = true;
      script = document.createElement("script");
      script.id = "sortable";
      script.src = sortableAddress;
      document.head.append(script);
    }
    script.addEventListener("load", then, { once: true });
  }

  /* A list that uploads are dragged between: <ul data-drag-group="month" data-drag-to="2027-01-12">.
     Dropping an item in another list fills in and sends the item's own form[data-move]: the
     field named "day", or the one that the form names by data-move="…". */
  function sortable(list) {
    if (list.dataset.dragReady) return;
    list.dataset.dragReady = "yes";
    window.Sortable.create(list, {
      group: list.dataset.dragGroup,
      draggable: "[data-drag-id]",
      handle: ".grip",
      sort: false,
      animation: matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : 120,
      ghostClass: "landing",
      chosenClass: "lifted",
      onStart: () => {
        root.classList.add("dragging");
        freeze(list.closest("table"), true);
      },
      onEnd: dropped,
    });
  }

  /* Columns keep their widths while something is dragged: a day must not slip from under it. */
  function freeze(table, still) {
    if (!table) return;
    const heads = [...table.querySelectorAll("thead th")];
    const widths = heads.map((head) => `${head.getBoundingClientRect().width}px`);
    heads.forEach((head, i) => (head.style.width = still ? widths[i] : ""));
    table.style.tableLayout = still ? "fixed" : "";
  }

  function dropped(event) {
    root.classList.remove("dragging");
    freeze(event.from.closest("table"), false);
    const { item, from, to, oldIndex } = event;
    if (from === to) return;
    const form = item.querySelector("form[data-move]");
    const field = form && form.elements[form.dataset.move || "day"];
    const putBack = () => from.insertBefore(item, from.children[oldIndex] || null);
    if (!field || !to.dataset.dragTo) {
      putBack();
      return;
    }
    const before = field.value;
    const undo = () => {
      field.value = before;
      putBack();
    };
    field.value = to.dataset.dragTo;
    form.addEventListener("htmx:responseError", undo, { once: true });
    form.addEventListener("htmx:sendError", undo, { once: true });
    form.requestSubmit();
  }

  /* A secret shown once: <button data-copy="#id-of-the-text" hidden>. */
  async function copy(button) {
    const source = document.querySelector(button.dataset.copy);
    if (!source) return;
    try {
      await navigator.clipboard.writeText(source.textContent.trim());
      button.textContent = "Copied";
    } catch {
      getSelection().selectAllChildren(source);
      button.textContent = "Selected: copy it now";
    }
  }

  /* Only one menu or small form is open at a time; Escape and a press elsewhere close it. */
  function closeMenus(except) {
    for (const menu of document.querySelectorAll("details.more[open], details.move[open]")) {
      if (menu !== except && !menu.contains(except)) menu.open = false;
    }
  }

  function say(text) {
    const place = document.getElementById("messages");
    if (!place) return;
    const line = document.createElement("p");
    line.setAttribute("role", "alert");
    line.className = "late";
    line.textContent = text;
    place.replaceChildren(line);
    place.scrollIntoView({ block: "nearest" });
  }

  function prepare(part) {
    const lists = part.querySelectorAll("[data-drag-group]");
    if (lists.length) whenSortable(() => lists.forEach(sortable));
    part.querySelectorAll("[data-copy][hidden]").forEach((button) => (button.hidden = false));
    const summary = part.querySelector("[data-focus]");
    if (summary) summary.focus();
  }

  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : root;
    closeMenus(target);
    const button = target.closest("[data-copy]");
    if (button) copy(button);
    const print = target.closest("[data-print]");
    if (print) window.print();
  });
  /* A slider says in figures where it stands. */
  document.addEventListener("input", (event) => {
    const out = event.target.type === "range" && event.target.labels[0]?.nextElementSibling;
    if (out instanceof HTMLOutputElement) out.value = `${event.target.value} %`;
  });
  document.addEventListener("submit", (event) => {
    if (!event.target.action.endsWith("/logout/")) return;
    try {
      for (const name of Object.keys(localStorage))
        if (name.startsWith("assess:")) localStorage.removeItem(name);
    } catch {
      return; // a browser that keeps nothing has nothing to erase
    }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    const menu = document.activeElement && document.activeElement.closest("details[open]");
    closeMenus(null);
    if (menu && !menu.open) menu.querySelector("summary").focus();
  });
  document.addEventListener("htmx:responseError", (event) => {
    const status = event.detail.xhr.status;
    say(
      status === 403
        ? "You may not do that, or the page is too old. Load it again."
        : "That went wrong. Load the page again to see what is kept.",
    );
  });
  document.addEventListener("htmx:sendError", () => {
    say("No answer: check your connection, then load the page again to see what is kept.");
  });
  document.addEventListener("htmx:load", (event) => prepare(event.detail.elt));
  document.addEventListener("DOMContentLoaded", () => prepare(document));
})();
