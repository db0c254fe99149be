// For paper: the evidence of findings and the storms are opened and drawn at the paper's width, on light ground; afterwards
// everything stands as before.
(function () {
  "use strict";
  const PAPER_PIXELS = 660; // what lies between the margins of A4 at 96 pixels an inch, 180 mm, less a rim
  let opened = [];

  function redrawAll() {
    gaugeloom.fitMaps();
    gaugeloom.redraws.forEach((redraw) => redraw());
  }

  function setWidths(pixels) {
    document.querySelectorAll(".sheet, .drawing").forEach((frame) => { frame.style.width = pixels ? pixels + "px" : ""; });
  }

  window.addEventListener("beforeprint", () => {
    document.documentElement.classList.add("printing");
    opened = Array.from(document.querySelectorAll("details.finding:not([open]), details.storm:not([open])"));
    for (const part of opened) {
      part.open = true;
      part.dispatchEvent(new Event("toggle")); // the browser's own comes too late
    }
    setWidths(PAPER_PIXELS);
    redrawAll();
  });
  window.addEventListener("afterprint", () => {
    document.documentElement.classList.remove("printing");
    opened.forEach((part) => { part.open = false; });
    opened = [];
    setWidths(null);
    redrawAll();
  });
})();
