/* Light or dark as the reader chose, before the first paint. The switch itself is in app.js. */
"use strict";
try {
  const chosen = localStorage.getItem("theme");
  if (chosen === "light" || chosen === "dark") document.documentElement.dataset.theme = chosen;
} catch {
  /* A browser that keeps nothing follows the system. */
}
