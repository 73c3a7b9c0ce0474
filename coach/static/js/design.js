/* Exercises of a class are dragged between the lists of the builder; each drop is one step, sent as
   the same form that the buttons send. Without it the buttons up and down do the same. */
"use strict";

(() => {
  const address = document.currentScript.dataset.sortable;
  let asked = null;

  function whenSortable() {
    asked =
      asked ||
      new Promise((then) => {
        const script = document.createElement("script");
        script.src = address;
        script.addEventListener("load", then, { once: true });
        document.head.append(script);
      });
    return asked;
  }

  function prepare() {
    const lists = document.querySelectorAll("#design [data-items]");
    if (!lists.length) return;
    whenSortable().then(() => {
      for (const list of lists) {
        if (list.dataset.ready) continue;
        list.dataset.ready = "yes";
        window.Sortable.create(list, {
          group: "items",
          draggable: "[data-item]",
          handle: ".grip",
          ghostClass: "landing",
          animation: matchMedia("(prefers-reduced-motion: reduce)").matches ? 0 : 120,
          onEnd: dropped,
        });
      }
    });
  }

  function dropped(event) {
    const { item, from, to, oldIndex, newIndex } = event;
    if (from === to && oldIndex === newIndex) return;
    const page = document.getElementById("design");
    const token = page.querySelector("[name=csrfmiddlewaretoken]");
    const place = [...to.querySelectorAll("[data-item]")].indexOf(item);
    window.htmx.ajax("POST", page.dataset.save, {
      target: "#design",
      swap: "outerHTML",
      values: {
        csrfmiddlewaretoken: token.value,
        op: "move_item",
        revision: page.dataset.revision,
        block: from.dataset.block,
        pattern: from.dataset.pattern,
        item: item.dataset.item,
        to_block: to.dataset.block,
        to_pattern: to.dataset.pattern,
        to_item: place,
      },
    });
  }

  document.addEventListener("htmx:load", prepare);
  prepare();
})();
