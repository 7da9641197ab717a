/* Says that the server is at work, and keeps a form from being sent twice. Without scripts the browser's own sign does.

  <form data-busy="Reading…"> … <button>…</button> <span role="status" data-busy-status></span> */
"use strict";
(() => {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("[data-busy]") || event.defaultPrevented) return;
    if (form.dataset.sent) return event.preventDefault();
    form.dataset.sent = "1";
    form.setAttribute("aria-busy", "true");
    const status = form.querySelector("[data-busy-status]");
    if (status) status.textContent = form.dataset.busy;
  });
  /* A page that comes back out of the browser's memory can be sent again. */
  window.addEventListener("pageshow", () => {
    for (const form of document.querySelectorAll("form[data-sent]")) {
      delete form.dataset.sent;
      form.removeAttribute("aria-busy");
      const status = form.querySelector("[data-busy-status]");
      if (status) status.textContent = "";
    }
  });
})();
