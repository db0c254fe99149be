// The reviewer's word: a form in each finding, and a bar that saves all decisions as the CSV that `gaugeloom run --decisions` reads.
(function () {
  "use strict";
  const { data, element, given, iso, gaugeName, words } = gaugeloom;
  const COLUMNS = ["finding_id", "gauge", "from", "to", "verdict", "shift_minutes", "reason", "by", "on", "evidence_hash"];
  const VERDICTS = [
    ["accept", "Accept: the finding is right"],
    ["reject", "Reject: what the gauge read stands"],
    ["shift", "Shift: the rain is right, but stamped at the wrong time"]
  ];
  const decided = new Map(); // finding id -> row of the CSV, as strings
  let unsaved = 0, reviewer = "", forms = 0;

  // Earlier decisions are carried on, also those that do not hold now: who takes one down says so.
  const earlier = data.decisions || [];
  for (const row of earlier) decided.set(row.finding_id, COLUMNS.reduce((kept, name) => Object.assign(kept, { [name]: row[name] }), {}));
  const stale = new Set(earlier.filter((row) => row.outcome === "stale").map((row) => row.finding_id));

  // A cell that begins so would be run as a formula when the file is opened in a spreadsheet.
  const likeFormula = (text) => /^[=+\-@\t\r]/.test(text);
  const inShort = (row) => row.verdict + (row.verdict === "shift" ? " by " + row.shift_minutes + " minutes" : "") + ", by " + row.by + " on " + row.on;
  const cell = (text) => (/^[ \t]|[ \t]$|[",\r\n]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text);

  function csv() {
    const lines = [COLUMNS, ...Array.from(decided.values(), (row) => COLUMNS.map((name) => row[name]))];
    return lines.map((line) => line.map(cell).join(",")).join("\n") + "\n";
  }

  // What keeps a decision from being noted, as a sentence, or "".
  function problem(verdict, minutes, reason, by) {
    if (!verdict) return "Choose accept, reject or shift.";
    if (verdict === "shift" && (!/^-?\d+$/.test(minutes) || Number(minutes) === 0 || (Number(minutes) * 60) % data.step_s !== 0))
      return "Give the shift in minutes, not 0, in whole steps of " + gaugeloom.duration(data.step_s) + ".";
    if (!reason) return "Give a reason: whoever reads this in years has nothing else.";
    if (!by) return "Give your name.";
    for (const [text, name] of [[reason, "A reason"], [by, "A name"]])
      if (likeFormula(text)) return name + " must not begin with = + - @: a spreadsheet would run it as a formula.";
    return "";
  }

  function rowOf(finding, verdict, minutes, reason, by) {
    return {
      finding_id: finding.id, gauge: data.gauges[finding.gauge].id, from: iso(finding.from), to: given(finding.to) ? iso(finding.to) : "",
      verdict, shift_minutes: verdict === "shift" ? minutes : "", reason, by, on: new Date().toISOString().slice(0, 10),
      evidence_hash: finding.evidence_hash || ""
    };
  }

  function field(form, name, label, attributes, hint) {
    const id = "decide-" + forms + "-" + name;
    const input = element("input", Object.assign({ id, name, autocomplete: "off" }, attributes));
    if (hint) input.setAttribute("aria-describedby", id + "-hint");
    const box = element("div", { class: "field" + (attributes.type === "number" ? " narrow" : "") }, element("label", { for: id }, label), input,
      hint ? element("span", { class: "hint", id: id + "-hint" }, hint) : null);
    form.append(box);
    return { box, input };
  }

  function choices(form, finding) {
    const group = element("fieldset", {}, element("legend", {}, "Your decision on " + gaugeName(data.gauges[finding.gauge]) + ", " + words(finding.kind)));
    const radios = VERDICTS.map(([verdict, label]) => {
      const id = "decide-" + forms + "-" + verdict;
      const radio = element("input", { type: "radio", name: "verdict", value: verdict, id });
      group.append(element("div", { class: "choice" }, radio, element("label", { for: id }, label)));
      return radio;
    });
    form.append(group);
    return { chosen: () => (radios.find((radio) => radio.checked) || { value: "" }).value, radios };
  }

  function build(place) {
    const finding = data.findings[Number(place.dataset.finding)];
    forms += 1;
    const form = element("form", { novalidate: true });
    const verdict = choices(form, finding);
    const minutes = field(form, "minutes", "Shift, minutes", { type: "number", step: "1", value: finding.shift_minutes || "" },
      "how much too late its rain is stamped; below 0: too early");
    const reason = field(form, "reason", "Reason", { type: "text", maxlength: "500" });
    const by = field(form, "by", "Your name", { type: "text", maxlength: "100" });
    const take = element("button", { type: "button" }, "Take down this decision");
    const status = element("p", { role: "status" });
    form.append(element("div", { class: "buttons" }, element("button", { type: "submit", class: "main" }, "Note this decision"), take), status);
    place.append(form);

    function show(message, wrong) {
      status.textContent = message;
      status.className = wrong ? "wrong" : "";
    }
    function refresh() {
      minutes.box.hidden = verdict.chosen() !== "shift";
      take.hidden = !decided.has(finding.id);
      if (!by.input.value) by.input.value = reviewer;
    }
    function fill() {
      const row = decided.get(finding.id);
      if (!row) return;
      if (stale.has(finding.id)) return show("Decided before, on other data: " + inShort(row) + ". Please decide again.", true);
      verdict.radios.forEach((radio) => { radio.checked = radio.value === row.verdict; });
      if (row.verdict === "shift") minutes.input.value = row.shift_minutes;
      reason.input.value = row.reason;
      by.input.value = row.by;
      show("Noted: " + inShort(row) + ".");
    }
    verdict.radios.forEach((radio) => radio.addEventListener("change", refresh));
    by.input.addEventListener("focus", refresh);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const said = [verdict.chosen(), minutes.input.value.trim(), reason.input.value.trim(), by.input.value.trim()];
      const wrong = problem(...said);
      if (wrong) return show(wrong, true);
      reviewer = said[3];
      stale.delete(finding.id);
      decided.set(finding.id, rowOf(finding, ...said));
      changed();
      fill();
      refresh();
    });
    take.addEventListener("click", () => {
      decided.delete(finding.id);
      verdict.radios.forEach((radio) => { radio.checked = false; });
      reason.input.value = "";
      changed();
      refresh();
      show("Taken down.");
      verdict.radios[0].focus();
    });
    fill();
    refresh();
  }

  // Earlier decisions whose finding is not on the page: what was rejected or shifted is no finding any more.
  function buildEarlier(place) {
    const shown = new Set(data.findings.map((finding) => finding.id));
    const gone = earlier.filter((row) => !shown.has(row.finding_id));
    if (!gone.length) return;
    const list = element("ul", { class: "earlier" });
    for (const row of gone) {
      const take = element("button", { type: "button" }, "Take down");
      const line = element("li", {}, element("span", {}, row.finding_id + ": " + inShort(row) + ". " + row.reason), take);
      take.addEventListener("click", () => {
        decided.delete(row.finding_id);
        take.replaceWith(element("strong", {}, "Taken down."));
        changed();
      });
      list.append(line);
    }
    place.append(element("p", {}, "Earlier decisions whose findings are not below; all of them are saved again with new ones:"), list);
  }

  const count = element("p", { role: "status" });
  const save = element("button", { type: "button", class: "main" }, "Save decisions");
  const bar = element("section", { class: "bar", "aria-label": "Decisions", hidden: true }, count, save);
  document.body.append(bar);

  function changed() {
    unsaved += 1;
    bar.hidden = false;
    count.textContent = (decided.size === 1 ? "1 decision noted" : decided.size + " decisions noted") + ", not saved yet.";
  }
  save.addEventListener("click", () => {
    const address = URL.createObjectURL(new Blob([csv()], { type: "text/csv;charset=utf-8" }));
    const link = element("a", { href: address, download: "decisions.csv" });
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 1000);
    unsaved = 0;
    count.textContent = "Saved as decisions.csv: the next run reads it by --decisions decisions.csv.";
  });
  window.addEventListener("beforeunload", (event) => {
    if (unsaved) event.preventDefault();
  });
  document.querySelectorAll(".decided").forEach(buildEarlier);
  document.querySelectorAll(".decide").forEach((place) => gaugeloom.whenSeen(place, () => build(place)));
})();
