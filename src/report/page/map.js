// The network on a map: gauges by quality, outlines of areas, and beneath them what a storm left.
(function () {
  "use strict";
  const { data, element, given, millimetres, gaugeName, partOf, whenSeen } = gaugeloom;
  const MEANINGS = {
    good: "tested and clean", unchecked: "not testable", suspect: "under a provisional finding", poor: "under a confirmed finding",
    estimate: "replaced or filled", missing: "absent or refused"
  };
  const MARGIN = 24; // pixels between the outermost gauges and the frame

  function popup(row, storm) {
    const gauge = data.gauges[row];
    const part = partOf("gauge", row);
    const total = storm
      ? "This storm: " + millimetres(storm.totals[row]) +
        (given(storm.low[row]) && storm.quality[row] !== "good" ? " (" + storm.low[row].toFixed(1) + " to " + storm.high[row].toFixed(1) + ")" : "")
      : "Whole record: " + millimetres(gauge.total_mm);
    const box = element("div", {}, element("p", {}, element("strong", {}, gaugeName(gauge))),
      element("p", {}, total + ", " + (storm ? storm.quality[row] : gauge.quality)));
    if (given(gauge.visit_rank)) box.append(element("p", {}, "Visit number " + gauge.visit_rank));
    if (part) box.append(element("p", {}, element("a", { href: "#" + encodeURIComponent(part.id) }, "More of this gauge")));
    return box;
  }

  function label(row, storm) {
    const gauge = data.gauges[row];
    return gaugeName(gauge) + ", " + (storm ? storm.quality[row] : gauge.quality) + ", " +
      millimetres(storm ? storm.totals[row] : gauge.total_mm) + (storm ? " in this storm" : " in all");
  }

  // One stop of the tab key for all marks; the arrow keys go to the nearest mark on that side.
  function walk(marks) {
    const elements = marks.map((mark) => mark.getElement());
    elements.forEach((mark, i) => {
      mark.tabIndex = i === 0 ? 0 : -1;
      mark.addEventListener("keydown", (event) => {
        const side = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
        if (!side) return;
        event.preventDefault();
        event.stopPropagation();
        const next = nearest(elements, i, side);
        if (next < 0) return;
        mark.tabIndex = -1;
        elements[next].tabIndex = 0;
        elements[next].focus();
      });
    });
  }

  function nearest(elements, from, [across, down]) {
    const start = elements[from].getBoundingClientRect();
    let best = -1, least = Infinity;
    elements.forEach((other, i) => {
      const box = other.getBoundingClientRect();
      const x = box.left - start.left, y = box.top - start.top;
      const ahead = x * across + y * down, aside = Math.abs(x * down) + Math.abs(y * across);
      if (i !== from && ahead > 0.5 && ahead + 2 * aside < least) {
        best = i;
        least = ahead + 2 * aside;
      }
    });
    return best;
  }

  // Totals right or left of the marks, the wettest and the driest first, as long as they cover no mark and no other total.
  function placeTotals(marks) {
    const drawn = marks.map((mark) => mark.getElement());
    const taken = drawn.map((mark) => mark.getBoundingClientRect());
    const totals = drawn.map((mark) => mark.querySelector(".total")).filter(Boolean).sort((a, b) => b.dataset.mm - a.dataset.mm);
    totals.splice(1, 0, ...totals.splice(-1));
    const meets = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
    const frame = totals.length ? totals[0].closest(".sheet").getBoundingClientRect() : null;
    for (const total of totals) {
      for (const side of ["right", "left", "none"]) {
        total.dataset.side = side;
        if (side === "none") break;
        const box = total.getBoundingClientRect();
        if (box.left < frame.left || box.right > frame.right || taken.some((other) => meets(box, other))) continue;
        taken.push(box);
        break;
      }
    }
  }

  function drawMarks(layer, storm) {
    layer.clearLayers();
    const drawnSize = Math.max(14, Math.min(22, Math.round(140 / Math.sqrt(data.gauges.length))));
    const order = ["good", "unchecked", "estimate", "missing", "suspect", "poor"]; // the rarer ones on top
    const marks = data.gauges.map((gauge, row) => {
      const quality = storm ? storm.quality[row] : gauge.quality;
      const icon = L.divIcon({ className: "mark q-" + (MEANINGS[quality] ? quality : "unchecked"), iconSize: [24, 24] });
      const mark = L.marker(gauge.at, { icon, zIndexOffset: 1000 * order.indexOf(quality) }).addTo(layer);
      mark.bindPopup(() => popup(row, storm), { minWidth: 160, maxWidth: 260 });
      const drawn = mark.getElement();
      drawn.style.backgroundSize = drawnSize + "px";
      drawn.setAttribute("role", "button");
      drawn.setAttribute("aria-label", label(row, storm));
      drawn.setAttribute("title", label(row, storm));
      const mm = storm ? storm.totals[row] : gauge.total_mm;
      if (given(mm)) drawn.append(element("span", { class: "total", "data-mm": mm }, mm.toFixed(mm < 9.95 ? 1 : 0)));
      return mark;
    });
    walk(marks);
    placeTotals(marks);
    return marks;
  }

  function scale(storm) {
    const list = element("ul", { class: "scale", "aria-label": "Colours of the storm total, from mm" });
    for (const part of storm.scale) {
      const colour = element("span", { class: "colour" });
      colour.style.background = part.colour;
      list.append(element("li", {}, colour, String(part.from_mm)));
    }
    list.append(element("li", { class: "end" }, String(storm.scale[storm.scale.length - 1].to_mm)));
    return element("div", { class: "scale-box" }, element("p", {}, "Storm total, mm"), list);
  }

  function legend(storm) {
    const seen = data.gauges.map((gauge, row) => (storm ? storm.quality[row] : gauge.quality));
    const list = element("ul", { class: "legend", "aria-label": "Marks of gauges by quality" });
    for (const [word, meaning] of Object.entries(MEANINGS)) {
      const count = seen.filter((quality) => quality === word).length;
      if (count) list.append(element("li", {}, element("span", { class: "quality q-" + word }, word), ": " + meaning + " (" + count + ")"));
    }
    if (data.areas.length) list.append(element("li", {}, "dashed outline: an area"));
    list.append(element("li", {}, "number: mm" + (storm ? " in the storm" : "") + ", where there is room"));
    return list;
  }

  function drawAreas(map) {
    for (const area of data.areas)
      for (const className of ["halo", "area"]) L.polygon(area.rings, { className, interactive: false, fill: false }).addTo(map);
  }

  function everything() {
    const bounds = L.latLngBounds(data.gauges.map((gauge) => gauge.at));
    data.areas.forEach((area) => area.rings.forEach((ring) => ring.forEach((at) => bounds.extend(at))));
    return bounds.isValid() ? bounds : L.latLngBounds([[0, 0], [1, 1]]);
  }

  function controls(figure, sheet, chosen, show) {
    const box = element("div", { class: "map-controls" });
    if (figure.dataset.map === "network" && data.storms.length) {
      const choice = element("select");
      choice.append(element("option", { value: "" }, "no storm: the whole record"));
      data.storms.forEach((storm, row) => choice.append(element("option", { value: row, selected: storm === chosen },
        gaugeloom.instant(storm.from) + ", " + Math.round((storm.to - storm.from) / 3600) + " h, mean " + millimetres(storm.mean_mm))));
      choice.addEventListener("change", () => show(choice.value === "" ? null : data.storms[Number(choice.value)]));
      box.append(element("label", {}, "Storm shown beneath the gauges", choice));
    }
    const press = (text, act) => {
      const button = element("button", { type: "button" }, text);
      button.addEventListener("click", act);
      box.append(button);
    };
    press("Closer", () => sheet.map.zoomIn());
    press("Wider", () => sheet.map.zoomOut());
    press("Whole network", () => sheet.fit());
    return box;
  }

  function draw(figure) {
    const wettest = data.storms.reduce((best, storm) => (!best || storm.mean_mm > best.mean_mm ? storm : best), null);
    const first = figure.dataset.map === "storm" ? data.storms[Number(figure.dataset.storm)] : wettest;
    const frame = element("div", { class: "sheet", role: "group" });
    const below = element("div", {});
    const sheet = {};
    const caption = element("figcaption", {});
    figure.append(controls(figure, sheet, first, show), frame, below, caption);
    const map = sheet.map = L.map(frame, {
      crs: data.place === "earth" ? L.CRS.EPSG3857 : L.CRS.Simple, attributionControl: false, zoomControl: false, scrollWheelZoom: false,
      dragging: !L.Browser.mobile, zoomSnap: 0, zoomDelta: 0.75, minZoom: data.place === "earth" ? 3 : -16, maxZoom: data.place === "earth" ? 17 : 3,
      zoomAnimation: !matchMedia("(prefers-reduced-motion: reduce)").matches
    });
    sheet.fit = () => map.fitBounds(everything(), { padding: [MARGIN, MARGIN], animate: false });
    sheet.fit();
    map.on("popupopen", ({ popup }) => popup.getElement().querySelector(".leaflet-popup-close-button").setAttribute("aria-label", "Close"));
    drawAreas(map);
    const marks = L.layerGroup().addTo(map);
    L.control.scale({ imperial: false, maxWidth: 140 }).addTo(map);
    figure.gaugeloomMap = sheet;
    let picture = null, drawnMarks = [];
    map.on("zoomend", () => placeTotals(drawnMarks));
    function show(storm) {
      if (picture) picture.remove();
      picture = storm && storm.picture
        ? L.imageOverlay(storm.picture.png, storm.picture.bounds, { alt: "Storm total as coloured areas", zIndex: 1 }).addTo(map) : null;
      if (picture) picture.bringToBack();
      drawnMarks = drawMarks(marks, storm);
      below.replaceChildren(...[picture ? scale(storm) : null, legend(storm)].filter(Boolean));
      const what = storm ? "Storm total, " + gaugeloom.spell(storm.from, storm.to) + ": mean " + millimetres(storm.mean_mm) +
        ", most " + millimetres(storm.max_mm) : "The whole record";
      frame.setAttribute("aria-label", "Map of " + data.gauges.length + " gauges. " + what);
      caption.textContent = what + (picture ? "; colours are estimates between gauges, and end where the gauges support none. " : storm ? "; no picture of this storm is kept. " : ". ");
      caption.append(element("span", { class: "on-screen" },
        "Tab reaches the marks, arrow keys go from one to the next, Enter opens one. The same numbers stand in the tables below."));
    }
    show(first);
    return sheet;
  }

  const drawn = [];
  document.querySelectorAll("figure[data-map]").forEach((figure) => whenSeen(figure, () => drawn.push(draw(figure))));
  gaugeloom.fitMaps = () => drawn.forEach((sheet) => {
    sheet.map.invalidateSize({ pan: false, animate: false });
    sheet.fit();
  });
})();
