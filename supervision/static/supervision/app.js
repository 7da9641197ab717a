/* Ledger Line: what a page does beyond reading and plain forms. Nothing here is needed to read or to send a form.
   Loaded before the page is drawn, so that a chosen theme shows at once; html[data-scripts] says that scripts run.

THE GRID (the episode log). Rows that save by themselves. Most rows are text and become fields when they are entered;
without this script the link in such a row leads to the usage's own page, and a row of fields is a plain form.

  <p data-grid-status …>                     components/grid_status.html: says aloud how saving goes, and holds the words
  <table data-grid>
    <template data-row-model> … </template>  a row of fields for the usage numbered 0; its cells as in a row of text
    <tr data-row data-light data-version="3" id="usage-12"><th><a href="…">1M3</a><td>01:02:14:10<td>…
    <tr data-row id="usage-12">              the id is unique and stays with the row; the empty row for new entries
                                             is <tr data-row data-new id="usage-new">, last of all
      <td><input name="in_point" id="usage-12-in_point" form="usage-12-form" …></td>
                                             names are the same in every row, ids are not: Form(auto_id="usage-12-%s")
      <td><span data-row-status></span>
          <form id="usage-12-form" method="post" action="…" hx-post="…" hx-target="closest tr" hx-swap="outerHTML">
            <input type="hidden" name="version" value="3"><button>Save</button></form></td>

  The answer to hx-post is the row again (status 200), or the row with its errors and all that was typed (422, 409);
  a new row's answer is the saved row followed by a fresh empty row. Its first [data-row] counts.

  Saving   leaving a row that was changed (the empty row: in more than its number), or Enter. Typing goes on meanwhile:
           what was typed after sending is put into the answered row again. A dropped connection leaves the row as
           typed, marked unsaved, and sends it again.
           The empty row stands apart once it is sent ([data-apart]) and leaves the next one in its place, so that
           logging goes on at once, also without a connection; refused, it stays above the empty row until it is mended.
           Until a row is saved its values are also kept in sessionStorage, and come back after a reload.
           Several lines or cells that are pasted go to the page that reads them, by the form [data-paste-rows].
  Keys     Enter, Shift+Enter   save, and go to the same column of the row below, above (in the new row: start the next)
           Up, Down             the same; Ctrl+Up, Ctrl+Down also in lists and long text
           Left, Right          at the edge of the text: the cell before, after
           Ctrl+Enter, Alt+N    to the new row
           Ctrl+D, Alt+Delete   duplicate, remove the row: presses its button [data-duplicate], [data-remove]; a row that
                                stands apart is dropped, also by its button [data-drop]
           Escape               what the cell held when it was entered
  State    tr[data-state] is "unsaved", "saving", "saved", "failed" (sent again by itself) or "refused"
  Order    a row with data-order (a number) goes to its place among the grid's other elements that have one

THE SHEET OF KEYS  <dialog data-keys>, opened by ? outside fields, by Ctrl+/ anywhere and by <button data-keys-open hidden>
THE TABLE BEHIND A PICTURE  t outside fields goes to the first table of the page, from there to the next
THE BOX THAT FINDS  <input data-find>, entered by / outside fields and by Ctrl+K anywhere; what it offers: picker.js
A BUSY FORM  <form data-busy="Reading…"> … <span role="status" data-busy-status></span>  is sent once, and says so
THE THEME SWITCH  <button data-theme-switch hidden data-say-auto data-say-light data-say-dark><span data-theme-name> */
"use strict";
(() => {
  const RETRY_MS = 10000;
  const FIELDS = "input:not([type=hidden]), select, textarea";
  const LISTS = "select, textarea, input[list], input[type=date], input[type=number], [aria-expanded=true]";
  const edits = new WeakMap(); // row → { count, sent, snapshot }: edits made, edits at sending, values at sending
  const entered = new WeakMap(); // field → its value when it was entered
  const rowOf = (element) => element?.closest?.("[data-grid] [data-row]") ?? null;
  const formOf = (row) => row.querySelector("form[hx-post]");
  const sentRow = (element) => (element?.matches("form[hx-post]") ? rowOf(element) : null); // a row being saved, not looked up
  const fieldsOf = (row) => [...row.querySelectorAll(FIELDS)];
  const valueOf = (field) => (field.type === "checkbox" ? field.checked : field.value);
  const setValue = (field, value) => {
    if (field.type === "checkbox") field.checked = value;
    else field.value = value;
  };
  const stateOf = (row) => {
    if (!edits.has(row)) edits.set(row, { count: 0, sent: 0, snapshot: null });
    return edits.get(row);
  };

  /* --- saying how it goes --- */
  const board = () => document.querySelector("[data-grid-status]");
  const words = (state) => board()?.dataset[`say${state[0].toUpperCase()}${state.slice(1)}`] ?? "";
  const time = () => new Date().toLocaleTimeString(document.documentElement.lang, { hour: "2-digit", minute: "2-digit" });

  function say(row, state, told = words(state)) {
    row.dataset.state = state;
    const text = state === "saved" ? `${told} ${time()}` : told;
    const [place, status] = [row.querySelector("[data-row-status]"), board()];
    if (place) place.textContent = text;
    if (!status) return;
    const open = document.querySelectorAll("[data-row]:is([data-state=unsaved], [data-state=saving], [data-state=failed], [data-state=refused])");
    const others = state === "saved" && words("open") ? `${words("open")} ${open.length}` : ` (${open.length})`; // "Saved 17:19 (2)" would be two saved
    status.textContent = state === "unsaved" || state === "saving" || !open.length ? text : text + others;
  }

  /* --- rows of text, which become fields when they are entered --- */
  const asleep = new WeakMap(); // row of fields → its cells as text, for as long as nothing in it was changed
  const textOf = (cell) =>
    cell.querySelector("[data-blank]") ? "" : [...cell.querySelectorAll("bdi")].map((part) => part.textContent).join(" – ") || cell.textContent.trim();

  function fill(field, text) {
    if (field.type === "checkbox") field.checked = text !== "";
    else if (field.matches("select")) field.value = [...field.options].find((option) => option.text === text)?.value ?? "";
    else field.value = text;
  }

  function wake(row) {
    const model = row.closest("[data-grid]")?.querySelector("[data-row-model]");
    if (!model || !("light" in row.dataset)) return row;
    const [id, made, read] = [row.id.replace("usage-", ""), document.createElement("template"), row.rows[0]];
    made.innerHTML = model.innerHTML.replace(/\bu0\b|usage-0\b|\/usages\/0\//g, (found) => found.replace("0", id));
    const cells = made.content.querySelector("tr");
    [...cells.cells].forEach((cell, at) => {
      const [field, text] = [cell.querySelector(FIELDS), textOf(read.cells[at])];
      if (field) fill(field, text);
      else if (cell.matches(".plain")) cell.textContent = text;
    });
    cells.querySelector("[name=version]").value = row.dataset.version;
    for (const named of cells.querySelectorAll("[aria-label$=' 0M0']"))
      named.setAttribute("aria-label", named.getAttribute("aria-label").replace("0M0", textOf(read.cells[0])));
    asleep.set(row, read);
    read.replaceWith(cells);
    delete row.dataset.light;
    row.classList.remove("light");
    window.htmx?.process(cells);
    return row;
  }

  function sleep(row) {
    if (!asleep.has(row) || stateOf(row).count) return;
    row.rows[0].replaceWith(asleep.get(row));
    asleep.delete(row);
    row.dataset.light = "";
    row.classList.add("light");
  }

  /* --- the empty row, which stands apart once it is sent: what is typed from then on is of the next one --- */
  const emptyRow = () => document.querySelector("[data-grid] [data-new]:not([data-apart])");
  let [model, apart] = [null, 0]; // an empty row as the server makes it, the number of the last one that stood apart

  function setApart(row, number) {
    row.dataset.apart = number;
    if (row.dataset.order) row.dataset.order = Number(row.dataset.order) - 1e6 + Number(number); // before the empty row
    for (const element of [row, ...row.querySelectorAll("[id], [form], [aria-describedby]")])
      for (const name of element.getAttributeNames().filter((name) => /^(id|form|aria-describedby)$/.test(name)))
        element.setAttribute(name, element.getAttribute(name).replace(/\bnew\b/, `new${number}`));
    return row;
  }

  function addEmptyRow(sent) {
    const next = model.cloneNode(true);
    dropDraft(sent.id);
    setApart(sent, ++apart);
    keepDraft(sent);
    sent.after(next);
    suggest(next, numberAfter(sent));
    window.htmx.process(next);
    if (sent.contains(document.activeElement)) toNewRow();
  }

  const numberAfter = (row) =>
    row.querySelector("[name=cue_number]")?.value.replace(/\d+(?=\D*$)/, (last) => `${Number(last) + 1}`.padStart(last.length, "0"));

  /* Whether there is more in an empty row than its number, so that to leave it logs it. */
  const begun = (row) =>
    fieldsOf(row).some((field) => field.name !== "cue_number" && valueOf(field) !== valueOf(model.querySelector(`[name="${field.name}"]`)));

  /* The next cue number, in an empty row that nobody has begun. */
  function suggest(row, number) {
    const field = row.querySelector("[name=cue_number]");
    if (!field || stateOf(row).count || field.value === number) return;
    const proposed = row.querySelector("[name=proposed]"); // another is given should somebody take it meanwhile
    for (const place of proposed ? [field, proposed] : [field]) place.value = number ?? "";
    if (field === document.activeElement) focusField(field);
  }

  /* The answer to a row that stands apart: without the empty row after it, which is there already; or, refused, where it
     stands. The focus stays where typing has gone on to. */
  function answerApart(answer, row, saved) {
    if (!saved) {
      setApart(answer.content.querySelector("[data-row]"), row.dataset.apart);
      return;
    }
    model = answer.content.querySelector("[data-new]");
    model.remove();
    const alone = !document.querySelector(`[data-apart]:not(#${row.id})`);
    if (alone) suggest(emptyRow(), model.querySelector("[name=cue_number]")?.value);
  }

  /* --- drafts: what was typed and is not saved yet --- */
  const draftKey = (id) => `draft ${location.pathname} ${id}`;
  const kept = (row) =>
    [...row.querySelectorAll("input, select, textarea")].filter((field) => field.name && field.name !== "csrfmiddlewaretoken");

  function storage(deed) {
    try {
      return deed();
    } catch {
      return null; // A browser that keeps nothing still has the fields themselves, and follows the system's theme.
    }
  }

  function keepDraft(row) {
    const values = Object.fromEntries(kept(row).map((field) => [field.name, valueOf(field)]));
    storage(() => sessionStorage.setItem(draftKey(row.id), JSON.stringify(values)));
  }

  const dropDraft = (id) => storage(() => sessionStorage.removeItem(draftKey(id)));

  /* Rows that stood apart stand there again, to be filled from their drafts. */
  function restoreApart(empty) {
    const [keys, kind] = [storage(() => Object.keys(sessionStorage)) ?? [], draftKey(empty.id)];
    const numbers = keys.filter((key) => key.startsWith(kind)).map((key) => Number(key.slice(kind.length)));
    for (apart of numbers.filter(Boolean).sort((a, b) => a - b)) empty.before(setApart(model.cloneNode(true), apart));
    window.htmx?.process(empty.parentElement);
  }

  function restoreDrafts() {
    const empty = emptyRow();
    if (empty) restoreApart(empty);
    for (const row of document.querySelectorAll("[data-grid] [data-row]")) {
      const values = JSON.parse(storage(() => sessionStorage.getItem(draftKey(row.id))) ?? "null");
      if (!values) continue;
      wake(row);
      const changed = fieldsOf(row).filter((field) => field.name in values && valueOf(field) !== values[field.name]);
      if (!changed.length) {
        dropDraft(row.id);
        continue;
      }
      for (const field of kept(row)) if (field.name in values) setValue(field, values[field.name]);
      stateOf(row).count += 1;
      say(row, "unsaved", words("restored"));
    }
    if (apart) suggest(empty, numberAfter(empty.previousElementSibling));
  }

  /* --- saving --- */
  function save(row) {
    const [state, form] = [stateOf(row), formOf(row)];
    if (!form || row.dataset.state === "saving" || state.count === state.sent) return;
    window.htmx?.process(form); // A row just answered may not have been wired yet, and would leave the page.
    form.requestSubmit();
  }

  function retry() {
    for (const row of document.querySelectorAll("[data-row][data-state=failed]")) {
      stateOf(row).sent = -1;
      save(row);
    }
  }

  function failed(event, again) {
    const row = sentRow(event.detail.elt);
    if (!row) return;
    stateOf(row).sent = -1;
    const [state, told] = again ? ["failed", "failed"] : ["refused", event.detail.xhr?.status === 404 ? "gone" : "rejected"];
    say(row, state, words(told));
    if (again) setTimeout(retry, RETRY_MS);
  }

  /* What was typed after sending, by name: it is newer than the answer. */
  function typedSince(row) {
    const { snapshot } = stateOf(row);
    const changed = fieldsOf(row).filter((field) => snapshot && snapshot[field.name] !== valueOf(field));
    return changed.map((field) => [field.name, valueOf(field)]);
  }

  function beforeRequest(event) {
    const row = sentRow(event.detail.elt);
    if (!row) return;
    const state = Object.assign(stateOf(row), { sent: stateOf(row).count });
    state.snapshot = Object.fromEntries(fieldsOf(row).map((field) => [field.name, valueOf(field)]));
    if (row === emptyRow()) addEmptyRow(row);
    say(row, "saving");
  }

  function beforeSwap(event) {
    const { requestConfig, xhr } = event.detail;
    const row = sentRow(requestConfig?.elt);
    if (!row || !event.detail.shouldSwap) return;
    const answer = document.createElement("template");
    answer.innerHTML = xhr.responseText;
    const answered = answer.content.querySelector("[data-row]");
    if (!answered) {
      event.detail.shouldSwap = false; // Not a row: a page for signing in, most likely. Keep what was typed.
      return failed({ detail: { elt: requestConfig.elt } }, false);
    }
    const saved = xhr.status < 300;
    const focused = row.contains(document.activeElement) ? document.activeElement.name : "";
    if (saved) dropDraft(row.id);
    if ("apart" in row.dataset) {
      answerApart(answer, row, saved);
      event.detail.serverResponse = answer.innerHTML;
    }
    requestConfig.ledger = { id: answered.id, typed: typedSince(row), focused };
  }

  function afterSwap(event) {
    const { requestConfig, xhr } = event.detail;
    const told = requestConfig?.ledger;
    if (!told) return;
    delete requestConfig.ledger;
    const row = document.getElementById(told.id);
    if (!row) return;
    say(row, xhr.status < 300 ? "saved" : "refused");
    if (xhr.status >= 300) keepDraft(row);
    for (const [name, value] of told.typed) {
      const field = row.querySelector(`[name="${name}"]`);
      if (field) setValue(field, value);
    }
    if (told.typed.length) changed(row);
    if (told.focused && !row.contains(document.activeElement)) row.querySelector(`[name="${told.focused}"]`)?.focus();
  }

  /* What a new row is called, so that one that is sent again, since no answer came, is logged once. */
  function nameSending(row) {
    const field = row.querySelector("[name=sending]");
    if (!field || field.value) return;
    const bytes = crypto.getRandomValues(new Uint8Array(16)); // randomUUID is not there where there is no HTTPS
    field.value = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  function changed(row) {
    stateOf(row).count += 1;
    nameSending(row);
    keepDraft(row);
    if (row.dataset.state !== "saving") say(row, "unsaved");
  }

  /* --- keys --- */
  function focusField(field) {
    if (!field) return false;
    field.focus();
    field.select?.();
    return true;
  }

  function toNewRow() {
    const row = emptyRow();
    return row ? focusField(fieldsOf(row)[0]) : false;
  }

  function vertically(field, step) {
    const rows = [...field.closest("[data-grid]").querySelectorAll("[data-row]")];
    const row = rows[rows.indexOf(rowOf(field)) + step];
    return row ? focusField(wake(row).querySelector(`[name="${field.name}"]`) ?? fieldsOf(row)[0]) : false;
  }

  function sideways(field, step) {
    const fields = fieldsOf(rowOf(field));
    return focusField(fields[fields.indexOf(field) + step]);
  }

  function atEdge(field, step) {
    if (field.matches("select, textarea, [type=checkbox], [type=date], [type=number]")) return field.type === "checkbox";
    const { selectionStart, selectionEnd, value } = field;
    if (selectionStart === 0 && selectionEnd === value.length) return true;
    return selectionStart === selectionEnd && selectionStart === (step < 0 ? 0 : value.length);
  }

  function enter(event, field, row) {
    if (event.ctrlKey || event.metaKey) {
      save(row);
      return toNewRow();
    }
    if (field.matches("textarea")) return false;
    const empty = row === emptyRow(); // goes on to the next one by itself
    if (row.dataset.state === "refused") stateOf(row).sent = -1; // Enter means it, also over what another person saved
    save(row);
    if (empty) return true;
    const last = "apart" in row.dataset && row.nextElementSibling === emptyRow(); // once it is mended, logging goes on
    return last && !event.shiftKey ? toNewRow() : vertically(field, event.shiftKey ? -1 : 1) || true;
  }

  function keyed(event, field, row) {
    const free = event.ctrlKey || !field.matches(LISTS);
    const bare = !event.shiftKey && !event.ctrlKey;
    if (event.key === "Enter") return enter(event, field, row);
    if (event.key === "ArrowUp") return free && vertically(field, -1);
    if (event.key === "ArrowDown") return free && vertically(field, 1);
    if (event.key === "ArrowLeft") return bare && atEdge(field, -1) && sideways(field, -1);
    if (event.key === "ArrowRight") return bare && atEdge(field, 1) && sideways(field, 1);
    if (event.key !== "Escape" || !entered.has(field) || entered.get(field) === valueOf(field)) return false;
    setValue(field, entered.get(field));
    changed(row);
    return true;
  }

  function press(row, deed) {
    const button = row?.querySelector(`[data-${deed}]`);
    button?.click();
    return Boolean(button);
  }

  /* A row that stands apart was never logged: there is nothing to take back. */
  function drop(row) {
    if (!row || !("apart" in row.dataset) || row.dataset.state === "saving") return false;
    dropDraft(row.id);
    row.remove();
    board().textContent = ""; // it counted the row
    return toNewRow();
  }

  let backwards = false; // whether Shift+Tab is what moves the focus

  document.addEventListener("keydown", (event) => {
    backwards = event.key === "Tab" && event.shiftKey;
    if (event.isComposing || event.defaultPrevented) return;
    const row = rowOf(event.target);
    if (event.altKey) {
      const done = !event.ctrlKey && (event.code === "KeyN" ? toNewRow() : event.key === "Delete" && (press(row, "remove") || drop(row)));
      if (done) event.preventDefault();
      return;
    }
    if (row && event.ctrlKey && event.code === "KeyD") {
      press(row, "duplicate");
      return event.preventDefault(); // in the empty row too: nobody there means the browser's bookmarks
    }
    if (row && event.target.matches(FIELDS) && keyed(event, event.target, row)) event.preventDefault();
  });

  document.addEventListener("focusin", ({ target }) => {
    const row = rowOf(target);
    if (row && "light" in row.dataset) {
      focusField(fieldsOf(wake(row)).at(backwards ? -1 : 0));
    } else if (row && target.matches(FIELDS)) {
      entered.set(target, valueOf(target));
      const [status, locked] = [board(), words("locked")];
      if (target.readOnly) status.textContent = locked; // keys would be swallowed in silence
      else if (status?.textContent === locked) status.textContent = "";
    }
  });

  /* The mouse: a click on a cell of text goes to its field; a link is left to Ctrl and its like, a selection to copying. */
  const textCell = ({ target, button, ctrlKey, metaKey, shiftKey }) =>
    button || ctrlKey || metaKey || shiftKey ? null : target.closest?.("[data-light] > tr:first-child > *");

  document.addEventListener("mousedown", (event) => {
    if (event.target.matches("a") && textCell(event)) event.preventDefault(); // else the row would wake under the finger
  });

  document.addEventListener("click", (event) => {
    const cell = textCell(event);
    if (!cell || !getSelection().isCollapsed) return;
    event.preventDefault();
    const [row, at] = [rowOf(cell), cell.cellIndex];
    focusField(wake(row).rows[0].cells[at].querySelector(FIELDS) ?? fieldsOf(row)[0]);
  });

  document.addEventListener("click", ({ target }) => target.closest?.("[data-drop]") && drop(rowOf(target)));

  document.addEventListener("paste", (event) => {
    const [form, text] = [document.querySelector("[data-paste-rows]"), event.clipboardData?.getData("text/plain") ?? ""];
    if (!form || !rowOf(event.target) || !/[\t\n]/.test(text.trimEnd())) return;
    event.preventDefault();
    form.elements.text.value = text;
    form.requestSubmit();
  });

  document.addEventListener("focusout", (event) => {
    const row = rowOf(event.target);
    if (!row || !row.isConnected || row.contains(event.relatedTarget)) return;
    if (row !== emptyRow() || begun(row)) save(row);
    if (event.relatedTarget) sleep(row); // a window that loses the focus keeps its row of fields
  });

  document.addEventListener("input", (event) => {
    const row = rowOf(event.target);
    if (row && event.target.matches(FIELDS)) changed(row);
  });

  document.addEventListener("htmx:beforeRequest", beforeRequest);
  document.addEventListener("htmx:beforeSwap", beforeSwap);
  document.addEventListener("htmx:afterSwap", afterSwap);
  for (const lost of ["htmx:sendError", "htmx:timeout"]) document.addEventListener(lost, (event) => failed(event, true));
  document.addEventListener("htmx:responseError", (event) => failed(event, event.detail.xhr.status >= 500));
  window.addEventListener("online", retry);
  window.addEventListener("beforeunload", (event) => {
    if (document.querySelector("[data-row]:is([data-state=unsaved], [data-state=failed])")) event.preventDefault();
  });

  /* --- order: where an answered row belongs --- */
  function place(row) {
    const [order, held] = [Number(row.dataset.order), row.contains(document.activeElement) && document.activeElement];
    const others = [...row.parentElement.querySelectorAll(":scope > [data-order]")].filter((other) => other !== row);
    const next = others.find((other) => Number(other.dataset.order) > order) ?? null;
    if (next === row.nextElementSibling) return;
    row.parentElement.insertBefore(row, next);
    if (held) held.focus();
  }

  document.addEventListener("htmx:load", ({ detail }) => {
    if (detail.elt.matches("[data-grid] [data-order]")) place(detail.elt);
    detail.elt.querySelector("[data-grid] input[autofocus]")?.select(); // a duplicate's in point is typed over
  });

  /* --- keys of every page: the sheet of keys, the box that finds, the table behind a picture --- */
  function nextTable() {
    const tables = [...document.querySelectorAll("main .table-scroll:has(> table)")];
    const at = tables.findIndex((table) => table.contains(document.activeElement));
    const next = tables[(at + 1) % tables.length];
    next?.focus();
    next?.scrollIntoView({ block: "start" });
  }

  document.addEventListener("keydown", (event) => {
    const [sheet, box] = [document.querySelector("[data-keys]"), document.querySelector("[data-find]")];
    const [typing, command] = [event.target.matches("input, select, textarea"), event.ctrlKey || event.metaKey];
    if (event.defaultPrevented || event.altKey || event.isComposing) return;
    if (command ? event.key === "/" : event.key === "?" && !typing) sheet?.open ? sheet.close() : sheet?.showModal();
    else if (command ? event.key === "k" : event.key === "/" && !typing) box && focusField(box);
    else if (event.key === "t" && !command && !typing) nextTable();
    else return;
    event.preventDefault();
  });

  /* --- forms that keep the server busy: said, and not sent twice --- */
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("[data-busy]") || event.defaultPrevented) return;
    if ("sent" in form.dataset) return event.preventDefault();
    busy(form, form.dataset.busy);
  });

  /* A page that comes back out of the browser's memory can be sent again. */
  window.addEventListener("pageshow", () => document.querySelectorAll("form[data-sent]").forEach((form) => busy(form, "")));

  function busy(form, words) {
    form.toggleAttribute("data-sent", Boolean(words));
    form.setAttribute("aria-busy", String(Boolean(words)));
    const status = form.querySelector("[data-busy-status]");
    if (status) status.textContent = words;
  }

  /* --- light and dark --- */
  const root = document.documentElement;

  function setTheme(theme) {
    if (theme === "light" || theme === "dark") root.dataset.theme = theme;
    else delete root.dataset.theme;
  }

  function showTheme(button) {
    const theme = root.dataset.theme ?? "auto";
    button.querySelector("[data-theme-name]").textContent = button.dataset[`say${theme[0].toUpperCase()}${theme.slice(1)}`];
  }

  function nextTheme(button) {
    const next = { light: "dark", dark: "auto" }[root.dataset.theme] ?? "light";
    setTheme(next);
    storage(() => localStorage.setItem("theme", next));
    showTheme(button);
  }

  root.dataset.scripts = "";
  setTheme(storage(() => localStorage.getItem("theme")));
  document.addEventListener("DOMContentLoaded", () => {
    for (const button of document.querySelectorAll("[data-keys-open]")) {
      button.hidden = false;
      button.addEventListener("click", () => document.querySelector("[data-keys]").showModal());
    }
    for (const button of document.querySelectorAll("[data-theme-switch]")) {
      button.hidden = false;
      showTheme(button);
      button.addEventListener("click", () => nextTheme(button));
    }
    model = emptyRow()?.cloneNode(true);
    restoreDrafts();
  });
})();
