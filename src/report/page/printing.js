// For paper: the evidence of findings is opened, and everything drawn at the paper's width, on light ground; afterwards all stands
// as before. Storms and gauges print as they stand: all of them would be hundreds of sheets.
(function () {
  "use strict";
  const PAPER_PIXELS = 660; // what lies between the margins of A4 at 96 pixels an inch, 180 mm, less a rim
  const MOST_OPENED = 100; // about as many sheets
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
    opened = Array.from(document.querySelectorAll("details.finding:not([open])")).slice(0, MOST_OPENED);
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
