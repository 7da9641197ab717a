/* The picker: a field that offers what its text may mean. Without this script the text is sent as it was typed.

  <table data-picks="/catalogue/songs/"> … <input data-picker aria-label="Song">

What is typed is asked of that address (?q=) and the answer, <li role="option" id="…" data-value="…">, offered below the
field. Down and Up choose, Enter or Tab takes, Escape closes; without a choice the text stays as it was typed. */
"use strict";
(() => {
  const PICK_MS = 120;
  const picks = Object.assign(document.createElement("ul"), { id: "picks", className: "picks", popover: "manual" });
  picks.setAttribute("role", "listbox");
  let [picking, asked, timer] = [null, 0, 0]; // the field whose list is open, the number of the latest question, its delay

  async function ask(field) {
    const [mine, text] = [++asked, field.value.trim()];
    if (!text) return closePicks();
    const address = field.closest("[data-picks]").dataset.picks;
    const answer = await fetch(`${address}?q=${encodeURIComponent(text)}`).catch(() => null);
    const offered = answer?.ok && !answer.redirected ? await answer.text() : "";
    if (!offered || mine !== asked || document.activeElement !== field) return;
    picks.innerHTML = offered;
    picks.setAttribute("aria-label", field.getAttribute("aria-label") ?? "");
    if (!picks.isConnected) (document.querySelector("main") ?? document.body).append(picks);
    picks.showPopover();
    const box = field.getBoundingClientRect();
    const above = box.bottom + picks.offsetHeight > innerHeight && box.top > picks.offsetHeight;
    picks.style.left = `${Math.max(0, Math.min(box.left, innerWidth - picks.offsetWidth))}px`;
    picks.style.top = `${above ? box.top - picks.offsetHeight : box.bottom}px`;
    picking = field;
    for (const [name, value] of Object.entries({ role: "combobox", "aria-controls": "picks", "aria-expanded": "true" }))
      field.setAttribute(name, value);
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
    const options = [...picks.querySelectorAll("[role=option]")];
    const next = options[(options.indexOf(chosen()) + step + options.length) % options.length];
    chosen()?.removeAttribute("aria-selected");
    if (!next) return;
    next.setAttribute("aria-selected", "true");
    next.scrollIntoView({ block: "nearest" });
    picking.setAttribute("aria-activedescendant", next.id);
  }

  function take(option) {
    const field = picking;
    field.value = option.dataset.value;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    closePicks();
  }

  document.addEventListener("input", ({ target }) => {
    if (!target.matches("[data-picker]")) return;
    clearTimeout(timer);
    timer = setTimeout(ask, PICK_MS, target);
  });
  document.addEventListener(
    "keydown",
    (event) => {
      if (event.target !== picking || event.isComposing) return;
      const option = chosen();
      if (event.key === "ArrowDown") choose(1);
      else if (event.key === "ArrowUp") choose(option ? -1 : 0);
      else if (event.key === "Escape") closePicks();
      else if (option && event.key === "Enter") take(option);
      else {
        if (option && event.key === "Tab") take(option);
        return;
      }
      event.preventDefault();
    },
    true,
  );
  document.addEventListener("mousedown", (event) => {
    const option = event.target.closest?.("#picks [role=option]");
    if (!option) return;
    event.preventDefault(); // the field keeps the focus
    take(option);
  });
  for (const gone of ["focusout", "scroll"]) document.addEventListener(gone, ({ target }) => target !== picks && closePicks(), true);
})();
