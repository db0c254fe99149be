// The page of a gauge: quality over time, totals of months with bounds, double mass curve.
(function () {
  "use strict";
  const { data, element, given, colour, millimetres, day, chart, charts } = gaugeloom;
  const LETTERS = { g: "good", u: "unchecked", e: "estimate", s: "suspect", p: "poor", m: "missing" };
  const SVG = "http://www.w3.org/2000/svg";

  // A line of its own for each quality, so that none is told by colour alone.
  function days(figure, row) {
    const { begin, step_s: step, quality } = data.gauges[row].days;
    const count = (letter) => Array.from(quality).filter((other) => other === letter).length;
    const unit = step === 86400 ? "days" : "spells of " + gaugeloom.duration(step);
    const seen = Object.keys(LETTERS).filter((letter) => quality.includes(letter));
    const says = "Quality of " + quality.length + " " + unit + " from " + day(begin) + ": " +
      seen.map((letter) => LETTERS[letter] + " " + count(letter)).join(", ") + ".";
    const strip = element("div", { class: "strip", role: "img", "aria-label": says });
    for (const letter of seen) {
      const line = document.createElementNS(SVG, "svg");
      line.setAttribute("viewBox", "0 0 " + quality.length + " 1");
      line.setAttribute("preserveAspectRatio", "none");
      for (const run of quality.matchAll(new RegExp(letter + "+", "g"))) {
        const block = document.createElementNS(SVG, "rect");
        for (const [name, value] of [["x", run.index], ["y", 0.1], ["width", run[0].length], ["height", 0.9]]) block.setAttribute(name, value);
        line.append(block);
      }
      strip.append(element("span", { class: "quality q-" + LETTERS[letter] }, LETTERS[letter] + " " + count(letter)), line);
    }
    strip.append(element("span", {}), element("span", { class: "ends" }, element("span", {}, day(begin)),
      element("span", {}, day(begin + quality.length * step))));
    figure.prepend(element("h4", {}, "Quality by " + (step === 86400 ? "day" : gaugeloom.duration(step))), strip);
  }

  const month = (seconds) => day(seconds).slice(0, 7);
  const between = (low, high) => (given(low) && given(high) ? low.toFixed(1) + " to " + high.toFixed(1) + " mm" : "no bounds");
  // A month with a missing step has no total, only what is known of it.
  const totalOf = (total, low) => (given(total) ? millimetres(total) : given(low) ? "at least " + millimetres(low) : "missing");

  // Bars, the estimated share in amber at the top, and a whisker over the bounds.
  function paintMonths(rows, months) {
    return (plot) => {
      const canvas = plot.drawingContext, graph = plot.dygraph, area = plot.plotArea;
      const base = graph.toDomYCoord(0);
      const width = Math.max(3, Math.min(46, (0.6 * area.w) / rows.length));
      plot.points.forEach((point) => {
        if (!given(point.yval) || isNaN(point.yval)) return;
        const [, total, low, high, estimated] = months[point.idx];
        const top = graph.toDomYCoord(total), x = graph.toDomXCoord(point.xval), split = top + (base - top) * estimated;
        canvas.fillStyle = colour("own");
        canvas.fillRect(x - width / 2, split, width, base - split);
        canvas.fillStyle = "#f7b500";
        canvas.fillRect(x - width / 2, top, width, split - top);
        canvas.strokeStyle = colour("ink");
        canvas.strokeRect(x - width / 2, top, width, base - top);
        if (given(low) && high > low) whisker(canvas, x, graph.toDomYCoord(low), graph.toDomYCoord(high), Math.min(6, width / 3));
      });
    };
  }

  function whisker(canvas, x, low, high, reach) {
    canvas.lineWidth = 2;
    canvas.beginPath();
    canvas.moveTo(x, low);
    canvas.lineTo(x, high);
    for (const y of [low, high]) {
      canvas.moveTo(x - reach, y);
      canvas.lineTo(x + reach, y);
    }
    canvas.stroke();
    canvas.lineWidth = 1;
  }

  function months(figure, row) {
    const months = data.gauges[row].months;
    if (!months.length) return void figure.remove();
    const rows = months.map(([, total], i) => [i, total]);
    const says = months.map(([at, total, low, high]) => month(at) + " " + totalOf(total, low) + (given(total) ? " (" + between(low, high) + ")" : ""));
    const most = Math.max(1, ...months.map(([, total, , high]) => Math.max(total || 0, high || 0)));
    chart(figure, {
      title: "Totals of months, mm", rows, labels: ["month", "total"],
      says: "Totals of months: " + (says.length > 24 ? says.slice(-24).join("; ") + " (the last 24)" : says.join("; ")) + ".",
      key: [["bar", "measured"], ["estimate", "estimated"], ["bounds", "90 % band of the estimated"]],
      readout: (i) => {
        const [at, total, low, high, estimated, missing] = months[i];
        return month(at) + ": " + totalOf(total, low) + ", " + between(low, high) + ", " + (100 * estimated).toFixed(0) + " % estimated, " +
          (100 * missing).toFixed(0) + " % missing";
      },
      options: () => ({
        plotter: paintMonths(rows, months), valueRange: [0, 1.08 * most], dateWindow: [-0.6, months.length - 0.4],
        axes: {
          x: {
            drawGrid: false, axisLineColor: colour("edge"),
            ticker: (from, to, pixels) => {
              const every = Math.max(1, Math.ceil(months.length / Math.max(1, Math.floor(pixels / 70))));
              return months.map(([at, total], i) => ({ v: i, label: month(at) + (given(total) ? "" : " \u2013") })).filter((tick, i) => i % every === 0);
            }
          },
          y: { axisLineColor: colour("edge"), gridLineColor: colour("rule"), axisLabelWidth: 42 }
        }
      })
    });
  }

  function doubleMass(figure, row) {
    const points = data.gauges[row].double_mass;
    if (!points.length) return void figure.remove();
    const [beside, own] = points[points.length - 1];
    const rows = [[0, 0], ...points.map(([x, y]) => [x, y])];
    chart(figure, {
      title: "Double mass: the gauge (upwards) against the mean of its neighbours (to the right), mm", rows, labels: ["neighbours", "gauge"],
      says: "Double mass curve to " + millimetres(own) + " at the gauge and " + millimetres(beside) + " around it" +
        (beside > 0 ? ", in all " + (own / beside).toFixed(2) + " to 1." : "."),
      key: [["own", "the gauge"], ["straight", "straight to the end: what an unchanged gauge would follow"]],
      readout: (i) => (i ? day(points[i - 1][2]) : "begin") + ": gauge " + millimetres(rows[i][1]) + ", neighbours " + millimetres(rows[i][0]),
      paint: (canvas, area, graph) => {
        canvas.strokeStyle = colour("expected");
        canvas.setLineDash([6, 4]);
        canvas.beginPath();
        canvas.moveTo(graph.toDomXCoord(0), graph.toDomYCoord(0));
        canvas.lineTo(graph.toDomXCoord(beside), graph.toDomYCoord(own));
        canvas.stroke();
        canvas.setLineDash([]);
      },
      options: () => ({
        series: { gauge: { color: colour("own"), strokeWidth: 2.5, drawPoints: true, pointSize: 3 } },
        dateWindow: [0, 1.02 * Math.max(beside, 1)]
      })
    });
  }

  charts("days", days);
  charts("months", months);
  charts("double_mass", doubleMass);
})();
