/* Before the first paint: light or dark as the reader chose (the switch is in app.js), and that scripts run at all. */
"use strict";
document.documentElement.dataset.scripts = "";
try {
  const chosen = localStorage.getItem("theme");
  if (chosen === "light" || chosen === "dark") document.documentElement.dataset.theme = chosen;
} catch {
  /* A browser that keeps nothing follows the system. */
}
