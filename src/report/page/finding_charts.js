// The evidence of a finding: rain per step and added up at the gauge and around it, and the score as it grew.
(function () {
  "use strict";
  const { data, element, given, colour, millimetres, instant, duration, chart, charts, chartTime } = gaugeloom;

  const mm = (value) => (given(value) ? value.toFixed(1) : "missing");
  const sum = (values) => values.reduce((total, value) => total + (given(value) ? value : 0), 0);
  const missing = (values) => values.filter((value) => !given(value)).length;
  const date = (seconds) => new Date(seconds * 1000);

  function evidenceOf(figure, row) {
    const finding = data.findings[row];
    if (!finding.evidence) {
      figure.remove();
      return null;
    }
    return finding;
  }

  function paintSpell(finding) {
    return (canvas, area, graph) => {
      gaugeloom.shade(canvas, area, graph, finding.from, finding.to);
      gaugeloom.uprightAt(canvas, area, graph, finding.called);
    };
  }

  const SPELL = [["spell", "the finding"], ["called", "told to someone watching live"]];

  const EXPECTED = [["expected", "expected from its neighbours"]];

  // [least, most] of what the neighbours had in a step, or null.
  function around(evidence, step) {
    const had = evidence.neighbours.map((series) => series[step]).filter(given);
    return had.length ? [Math.min(...had), Math.max(...had)] : null;
  }

  // Least to most of the neighbours, step by step.
  function paintNeighbours(evidence, near) {
    return (canvas, area, graph) => {
      canvas.save();
      canvas.beginPath();
      canvas.rect(area.x, area.y, area.w, area.h);
      canvas.clip();
      canvas.fillStyle = colour("others");
      near.forEach((had, i) => {
        if (!had || had[1] === 0) return;
        const at = (evidence.begin + i * evidence.step_s) * 1000;
        const left = graph.toDomXCoord(at), right = graph.toDomXCoord(at + evidence.step_s * 1000);
        const top = graph.toDomYCoord(had[1]), bottom = Math.max(graph.toDomYCoord(had[0]), top + 2);
        canvas.globalAlpha = 0.4;
        canvas.fillRect(left, top, right - left, bottom - top);
        canvas.globalAlpha = 1;
        canvas.fillRect(left, top, right - left, 1);
        canvas.fillRect(left, bottom - 1, right - left, 1);
      });
      canvas.restore();
    };
  }

  function hyetograph(figure, row) {
    const finding = evidenceOf(figure, row);
    if (!finding) return;
    const evidence = finding.evidence, step = evidence.step_s;
    const near = evidence.own.map((own, i) => around(evidence, i));
    // A step is drawn from its begin, so that a bar covers it; one more row closes the last.
    const rows = evidence.own.map((own, i) => [date(evidence.begin + i * step), near[i] && near[i][1], own, evidence.expected[i]]);
    if (rows.length) rows.push([date(evidence.begin + rows.length * step), ...rows[rows.length - 1].slice(1)]);
    const spell = paintSpell(finding), neighbours = paintNeighbours(evidence, near);
    chart(figure, {
      title: "Rain in each " + duration(step) + ", mm", rows, labels: ["time", "most", "gauge", "expected"], hint: true,
      paint: (canvas, area, graph) => { spell(canvas, area, graph); neighbours(canvas, area, graph); },
      says: "Rain in each " + duration(step) + ": the gauge had " + millimetres(sum(evidence.own)) + " in all, most " +
        millimetres(Math.max(0, ...evidence.own.filter(given))) + "; " + millimetres(sum(evidence.expected)) + " expected; " +
        missing(evidence.own) + " of " + evidence.own.length + " steps missing.",
      key: [["bar", "the gauge"], ...EXPECTED, ...(evidence.neighbours.length ? [["band", "least to most of its neighbours"]] : []), ...SPELL],
      readout: (i) => {
        const at = Math.min(i, evidence.own.length - 1);
        return chartTime(rows[at]) + " on: gauge " + mm(evidence.own[at]) + ", expected " + mm(evidence.expected[at]) + ", neighbours " +
          (near[at] ? mm(near[at][0]) + " to " + mm(near[at][1]) : "missing") + " mm";
      },
      options: () => ({
        stepPlot: true,
        series: {
          most: { color: "transparent", strokeWidth: 0, highlightCircleSize: 0 }, // makes room for the neighbours
          gauge: { color: colour("own"), strokeWidth: 1.75, fillGraph: true, fillAlpha: 0.55 },
          expected: { color: colour("expected"), strokeWidth: 1.75, strokePattern: [5, 3] }
        }
      })
    });
  }

  // Adds up over the steps that are known at the gauge and, where anything is expected, of what is expected, so that no gap
  // opens a distance; null where a step is left out.
  function added(values, known) {
    let total = 0;
    return values.map((value, i) => (given(value) && known[i] ? (total += value) : null));
  }

  function mass(figure, row) {
    const finding = evidenceOf(figure, row);
    if (!finding) return;
    const evidence = finding.evidence;
    const expecting = evidence.expected.some(given);
    const both = expecting && evidence.compared ? evidence.compared : evidence; // of bars known in part, what may be compared
    const known = both.own.map((own, i) => given(own) && (!expecting || given(both.expected[i])));
    const own = added(both.own, known), expected = added(both.expected, known);
    const others = evidence.neighbours.map((series) => added(series, known));
    const ids = finding.neighbours.slice(0, others.length).map((neighbour) => data.gauges[neighbour].id);
    const names = others.map((series, i) => "neighbour " + (i + 1));
    const rows = [[date(evidence.begin), ...others.map(() => 0), expecting ? 0 : null, 0]];
    own.forEach((value, i) => rows.push([date(evidence.begin + (i + 1) * evidence.step_s), ...others.map((series) => series[i]), expected[i], value]));
    const last = (series) => series.reduce((end, value) => (given(value) ? value : end), 0);
    chart(figure, {
      title: "Rain added up, mm", rows, labels: ["time", ...names, "expected", "gauge"], paint: paintSpell(finding),
      says: "Rain added up over the steps known: gauge " + millimetres(last(own)) + (expecting ? ", expected " + millimetres(last(expected)) : "") +
        others.map((series, i) => ", " + ids[i] + " " + millimetres(last(series))).join("") + ".",
      key: [["own", "the gauge"], ...(expecting ? EXPECTED : []), ...(ids.length ? [["others", "each neighbour: " + ids.join(", ")]] : []), ...SPELL],
      readout: (i) => chartTime(rows[i]) + ": gauge " + mm(rows[i][names.length + 2]) + ", expected " + mm(rows[i][names.length + 1]) + " mm",
      options: () => {
        const series = {
          expected: { color: colour("expected"), strokeWidth: 2, strokePattern: [6, 4], connectSeparatedPoints: true }, gauge: { color: colour("own"), strokeWidth: 3 }
        };
        for (const name of names) series[name] = { color: colour("others"), strokeWidth: 1, connectSeparatedPoints: true };
        return { series };
      }
    });
  }

  function score(figure, row) {
    const finding = evidenceOf(figure, row);
    if (!finding) return;
    const grown = finding.evidence.score || [];
    if (!grown.length) return void figure.remove();
    const levels = (finding.levels || []).map((level, i) => ({ level, name: ["provisional", "confirmed"][i] })).filter(({ level }) => given(level));
    const named = ({ level, name }) => name + " from " + level.toFixed(1);
    if (grown.length === 1) {
      const said = "Score " + grown[0][1].toFixed(1) + ", from this spell alone" + (levels.length ? "; " + levels.map(named).join(", ") : "") + ".";
      return void figure.replaceWith(element("p", { class: "score-said" }, said));
    }
    const rows = grown.map(([at, value]) => [date(at), value]);
    const most = Math.max(...grown.map(([, value]) => value));
    const { begin, step_s: step, own } = finding.evidence;
    chart(figure, {
      title: "Score", rows, labels: ["time", "score"], short: true,
      says: "The score grew to " + most.toFixed(1) + "; " + levels.map(named).join(", ") + "; told at " + instant(finding.called) + ".",
      key: [["own", "score"], ...levels.map((level) => ["level " + "k-" + level.name, named(level)]), ...SPELL],
      readout: (i) => chartTime(rows[i]) + ": score " + rows[i][1].toFixed(1),
      paint: (canvas, area, graph) => {
        paintSpell(finding)(canvas, area, graph);
        canvas.strokeStyle = colour("called");
        for (const { level, name } of levels) {
          canvas.setLineDash(name === "confirmed" ? [7, 4] : [2, 3]);
          const y = graph.toDomYCoord(level);
          canvas.beginPath();
          canvas.moveTo(area.x, y);
          canvas.lineTo(area.x + area.w, y);
          canvas.stroke();
        }
        canvas.setLineDash([]);
      },
      options: () => ({
        series: { score: { color: colour("own"), strokeWidth: 2.5, drawPoints: rows.length < 40, pointSize: 2.5 } },
        dateWindow: [begin * 1000, (begin + own.length * step) * 1000], // as the drawings above
        valueRange: [0, 1.1 * Math.max(most, 0.1, ...levels.map(({ level }) => level))]
      })
    });
  }

  charts("hyetograph", hyetograph);
  charts("mass", mass);
  charts("score", score);
})();
