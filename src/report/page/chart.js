// What all charts share: times along the bottom in UTC, one look, a line that reads out the numbers under the pointer,
// a text alternative, drawn when first seen and drawn again when the ground changes.
(function () {
  "use strict";
  const { element, colour, instant, redraws } = gaugeloom;
  const seconds = (x) => Math.round(Number(x) / 1000);
  const drawn = [];

  // chart(figure, {title, says, rows, labels, key, readout(row), hint, short, options(), paint(canvas, area, graph)}):
  //   says     the text alternative, with the main numbers
  //   key      [[class, words], ...] explains the lines
  //   readout  the words for row i of `rows`; shown while the pointer is over it
  //   hint     whether to say how to see a spell larger
  //   options  more options of the chart, asked for at each drawing so that colours follow the ground
  function chart(figure, parts) {
    const frame = element("div", { class: "drawing" + (parts.short ? " short" : ""), role: "img", "aria-label": parts.says });
    const readout = element("p", { class: "readout", "aria-hidden": "true" });
    const key = element("ul", { class: "key" });
    const hint = parts.hint && matchMedia("(hover: hover)").matches;
    for (const [name, words] of parts.key || []) key.append(element("li", { class: "k-" + name }, words));
    if (hint) key.append(element("li", { class: "hint on-screen" }, "drag over a spell to see it larger, double click for all"));
    figure.prepend(...[element("h4", {}, parts.title), key, frame, readout]);
    let graph = null;
    const held = { figure };
    held.draw = () => {
      if (graph) graph.destroy();
      frame.replaceChildren();
      graph = held.graph = new Dygraph(frame, parts.rows, Object.assign(common(parts, readout), parts.options ? parts.options() : {}));
    };
    held.draw();
    redraws.push(held.draw);
    drawn.push(held);
    return held;
  }

  function common(parts, readout) {
    const axis = { drawGrid: true, axisLineColor: colour("edge"), gridLineColor: colour("rule"), gridLineWidth: 1 };
    const model = Dygraph.defaultInteractionModel; // without its touch part, which would keep a page from scrolling under a finger
    return {
      labels: parts.labels, labelsUTC: true, legend: "never", pixelRatio: Math.max(2, window.devicePixelRatio || 1), animatedZooms: false,
      axes: { x: axis, y: Object.assign({ axisLabelWidth: 42 }, axis) }, includeZero: true, highlightCircleSize: 3, rightGap: 8,
      interactionModel: { mousedown: model.mousedown, dblclick: model.dblclick },
      highlightCallback: (event, x, points, row) => { readout.textContent = parts.readout(row); },
      unhighlightCallback: () => { readout.textContent = ""; },
      underlayCallback: (canvas, area, graph) => { if (parts.paint) parts.paint(canvas, area, graph); }
    };
  }

  // Paints an upright line at a time, in the colour of calls.
  function uprightAt(canvas, area, graph, time) {
    const x = graph.toDomXCoord(time * 1000);
    if (x < area.x || x > area.x + area.w) return;
    canvas.fillStyle = colour("called");
    canvas.fillRect(x - 1, area.y, 2, area.h);
  }

  // Shades the spell of a finding.
  function shade(canvas, area, graph, from, to) {
    const left = Math.max(area.x, graph.toDomXCoord(from * 1000));
    const right = Math.min(area.x + area.w, to === null ? Infinity : graph.toDomXCoord(to * 1000));
    if (right <= left) return;
    canvas.globalAlpha = 0.55;
    canvas.fillStyle = colour("rule");
    canvas.fillRect(left, area.y, right - left, area.h);
    canvas.globalAlpha = 1;
    canvas.fillStyle = colour("edge");
    for (const x of [left, right]) canvas.fillRect(x, area.y, 1, area.h);
  }

  // Draws every figure of a kind when it is first seen.
  function charts(kind, draw) {
    document.querySelectorAll('figure[data-chart="' + kind + '"]').forEach((figure) => {
      gaugeloom.whenSeen(figure, () => draw(figure, Number(figure.dataset.finding || figure.dataset.gauge)));
    });
  }

  const time = (row) => instant(seconds(row[0]));
  Object.assign(gaugeloom, { chart, charts, uprightAt, shade, chartTime: time, drawnCharts: drawn });
})();
