// The page's scripts share one object, `gaugeloom`: the data, making elements, writing numbers and times.
// Text from the data enters the page by textContent and attributes alone, so that it is never markup.
const gaugeloom = (function () {
  "use strict";
  const data = JSON.parse(document.getElementById("gaugeloom-data").textContent);
  document.documentElement.classList.add("scripts");

  // element("p", {class: "note"}, "text", child, ...); attributes that are null or false are left out.
  function element(name, attributes, ...children) {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes || {}))
      if (value !== null && value !== false) made.setAttribute(key, value === true ? "" : String(value));
    made.append(...children.filter((child) => child !== null));
    return made;
  }

  const given = (value) => value !== null && value !== undefined;
  const millimetres = (value) => (given(value) ? value.toFixed(1) + " mm" : "missing");
  // "2023-06-14 09:00Z" of epoch seconds.
  const instant = (seconds) => new Date(seconds * 1000).toISOString().slice(0, 16).replace("T", " ") + "Z";
  const iso = (seconds) => new Date(seconds * 1000).toISOString().slice(0, 19) + "Z";
  const day = (seconds) => instant(seconds).slice(0, 10);
  const spell = (from, to) => instant(from) + (given(to) ? " to " + instant(to) : ", still lasting");

  // "3 h", "10 min", "2 days" of seconds.
  function duration(seconds) {
    for (const [unit, length] of [["days", 86400], ["h", 3600], ["min", 60]])
      if (seconds >= length && seconds % length === 0) {
        const count = seconds / length;
        return count + " " + (unit === "days" && count === 1 ? "day" : unit);
      }
    return seconds + " s";
  }

  const words = (name) => name.replace(/_/g, " ");
  // Without marks of direction, which would turn round the words beside a name.
  const straight = (text) => text.replace(/[\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, "");
  const gaugeName = (gauge) => straight(gauge.name && gauge.name !== gauge.id ? gauge.name + " (" + gauge.id + ")" : gauge.id);
  const partOf = (kind, row) => document.querySelector('details[data-' + kind + '="' + row + '"]');

  // Opens the details that an address names, and those around them.
  function openTarget() {
    let name = location.hash.slice(1);
    try { name = decodeURIComponent(name); } catch (error) { return; }
    const target = name && document.getElementById(name);
    if (!target) return;
    for (let part = target.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
    target.scrollIntoView();
  }
  window.addEventListener("hashchange", openTarget);

  // Calls `draw` when the figure is first seen: at once, or when the details around it open.
  function whenSeen(figure, draw) {
    const around = figure.closest("details");
    if (!around || around.open) return void draw();
    around.addEventListener("toggle", function opened() {
      if (!around.open) return;
      around.removeEventListener("toggle", opened);
      draw();
    });
  }

  // Says above a table that it goes on beside, while it does.
  function markWide(box) {
    const note = element("p", { class: "more-beside", hidden: true }, "The table goes on to the right: scroll it sideways.");
    box.before(note);
    new ResizeObserver(() => { note.hidden = box.scrollWidth <= box.clientWidth + 1; }).observe(box);
  }

  // What must be done again when the ground changes between light and dark, or for paper.
  const redraws = [];
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => redraws.forEach((redraw) => redraw()));
  const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue("--" + name).trim();

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll(".wide").forEach(markWide);
    openTarget();
  });
  return { data, element, given, millimetres, instant, iso, day, spell, duration, words, gaugeName, partOf, whenSeen, redraws, colour };
})();
