/* The picker: a field that offers what its text may mean. Without this script the text is sent as it was typed.

  <table data-picks="/catalogue/songs/"> … <input data-picker aria-label="Song">
  <form data-picks="/find/options/?here=…"> … <input data-picker="empty">     asks also when it is entered and has no text

What is typed is asked of that address (q=) and the answer offered below the field: <li role="option" id="…"> with
data-value, which is put into the field, or with data-href, which is gone to. Down and Up choose, Enter or Tab takes (Tab
goes nowhere else), Escape closes; without a choice the text stays as it was typed. The pattern is the editable combobox
with list autocomplete of the ARIA Authoring Practices Guide. */
"use strict";
(() => {
  const PICK_MS = 120;
  const picks = Object.assign(document.createElement("ul"), { id: "picks", className: "picks", popover: "manual" });
  picks.setAttribute("role", "listbox");
  let [picking, asked, timer] = [null, 0, 0]; // the field whose list is open, the number of the latest question, its delay

  async function ask(field) {
    const [mine, text] = [++asked, field.value.trim()];
    if (!text && field.dataset.picker !== "empty") return closePicks();
    const address = new URL(field.closest("[data-picks]").dataset.picks, location);
    address.searchParams.set("q", text);
    const answer = await fetch(address).catch(() => null);
    const offered = answer?.ok && !answer.redirected ? await answer.text() : "";
    if (!offered || mine !== asked || document.activeElement !== field) return;
    picks.innerHTML = offered;
    picks.setAttribute("aria-label", field.getAttribute("aria-label") ?? field.labels[0]?.textContent ?? "");
    if (!picks.isConnected) (document.querySelector("main") ?? document.body).append(picks);
    picks.showPopover();
    picks.classList.toggle("found", Boolean(picks.querySelector("[data-href]")));
    const box = field.getBoundingClientRect();
    const above = box.bottom + picks.offsetHeight > innerHeight && box.top > picks.offsetHeight;
    picks.style.left = `${Math.max(0, Math.min(box.left, innerWidth - picks.offsetWidth))}px`;
    picks.style.top = `${above ? box.top - picks.offsetHeight : box.bottom}px`;
    picking = field;
    for (const [name, value] of Object.entries({ role: "combobox", "aria-controls": "picks", "aria-expanded": "true" }))
      field.setAttribute(name, value);
    if (text && picks.matches(".found")) choose(1); // so that Enter goes to the best of what was found
  }

  function closePicks() {
    asked += 1; // an answer under way is too late
    clearTimeout(timer);
    if (!picking) return;
    picking.setAttribute("aria-expanded", "false");
    picking.removeAttribute("aria-activedescendant");
    picking = null;
    picks.hidePopover();
  }

  const chosen = () => picks.querySelector("[aria-selected=true]");

  function choose(step) {
    const options = [...picks.querySelectorAll("[role=option]:not([aria-disabled])")];
    const next = options[(options.indexOf(chosen()) + step + options.length) % options.length];
    chosen()?.removeAttribute("aria-selected");
    if (!next) return;
    next.setAttribute("aria-selected", "true");
    next.scrollIntoView({ block: "nearest" });
    picking.setAttribute("aria-activedescendant", next.id);
  }

  function take(option) {
    const field = picking;
    if (option.dataset.href) return location.assign(option.dataset.href);
    field.value = option.dataset.value;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    closePicks();
  }

  document.addEventListener("input", ({ target }) => {
    if (!target.matches("[data-picker]")) return;
    clearTimeout(timer);
    timer = setTimeout(ask, PICK_MS, target);
  });
  document.addEventListener("focusin", ({ target }) => target.matches("[data-picker=empty]") && ask(target));
  document.addEventListener(
    "keydown",
    (event) => {
      if (event.key === "Escape" && event.target !== picking) return closePicks(); // the answer is still under way
      if (event.target !== picking || event.isComposing) return;
      const option = chosen();
      if (event.key === "ArrowDown") choose(1);
      else if (event.key === "ArrowUp") choose(option ? -1 : 0);
      else if (event.key === "Escape") closePicks();
      else if (option && event.key === "Enter") take(option);
      else {
        if (option?.dataset.value && event.key === "Tab") take(option);
        return;
      }
      event.preventDefault();
    },
    true,
  );
  document.addEventListener("mousedown", (event) => {
    const option = event.target.closest?.("#picks [role=option]:not([aria-disabled])");
    if (!option || event.button) return;
    event.preventDefault(); // the field keeps the focus
    take(option);
  });
  for (const gone of ["focusout", "scroll"]) document.addEventListener(gone, ({ target }) => target !== picks && closePicks(), true);
})();
