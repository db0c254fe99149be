"""The whole round: decided on one page, saved, read by the next run, shown on its page."""
import csv
import subprocess

import hostile_network
from deciding_case import COLUMNS, DecidingCase
from page_case import ROOT


class ReplayTest(DecidingCase):
    def replay(self, name, config, rows, last_run):
        """Runs the tool with decisions of `rows` and opens the page it writes."""
        decisions = self.folder / f"{name}_decisions.csv"
        with open(decisions, "w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
        return self.run_again(name, config, decisions, last_run)

    def run_again(self, name, config, decisions, last_run):
        made = subprocess.run([self.tool, "run", "--config", config, "--rehearse=false", "--decisions", decisions, "--last-run", last_run, "--out",
                               self.folder / name],
                              capture_output=True, text=True, timeout=300)
        self.assertEqual(made.returncode, 0, made.stderr)
        self.pages[name] = self.folder / name / "report.html"
        self.page = name
        self.open()
        return self.data()

    def form_says(self, row):
        return self.window.run("""const part = document.querySelector('details.finding[data-finding="' + arguments[0] + '"]');
          part.open = true; part.dispatchEvent(new Event('toggle'));
          return part.querySelector('form [role=status]').textContent""", row)

    def test_each_verdict_comes_back_as_it_was_meant(self):
        config = ROOT / "data/velsarn/run.toml"
        self.page = "demo"
        self.open()
        findings = self.data()["findings"]
        row = {finding["kind"]: i for i, finding in enumerate(findings)}
        accepted, rejected, shifted = (findings[row[kind]] for kind in ("phantom_rain", "stuck", "clock_offset"))
        self.assertEqual(accepted["tier"], "provisional")
        self.decide(row["phantom_rain"], "accept", 'sprinkler, says "the keeper"', "Ada Bo")
        self.decide(row["stuck"], "reject", "a total was spread", "Ada Bo")
        self.decide(row["clock_offset"], "shift", "summer time", "Ada Bo", str(shifted["shift_minutes"]))
        self.assertEqual(len(self.saved()), 3)
        (self.folder / "decisions.csv").rename(self.folder / "first_decisions.csv")

        data = self.run_again("replayed", config, self.folder / "first_decisions.csv", self.folder / "demo")
        self.assertEqual({row["outcome"] for row in data["decisions"]}, {"applied"})
        by_id = {finding["id"]: (i, finding) for i, finding in enumerate(data["findings"])}
        i, now = by_id[accepted["id"]]
        self.assertEqual(now["tier"], "confirmed")
        self.assertIn("Noted: accept, by Ada Bo", self.form_says(i))
        self.assertNotIn(rejected["id"], by_id)
        self.assertNotIn(shifted["id"], by_id)
        listed = self.window.run("return document.querySelector('.decided').textContent")
        for finding in (rejected, shifted):
            self.assertIn(finding["id"], listed)

        # What was saved from this page is what was read: nothing is lost from run to run.
        self.window.run("document.querySelectorAll('.decided button')[0].click()")
        kept = self.saved()
        self.assertEqual(len(kept), 2)
        first = list(csv.DictReader(open(self.folder / "first_decisions.csv", encoding="utf-8", newline="")))
        for saved in kept:
            self.assertIn(saved, first)

    def test_a_decision_on_other_data_is_asked_again(self):
        config = self.folder / "hostile_network/run.toml"
        self.page = "hostile"
        self.open()
        finding = self.data()["findings"][0]
        self.decide(0, "accept", "wasps' nest", "Ada & Bo")
        rows = self.saved()
        self.assertEqual(rows[0]["gauge"], hostile_network.IDS[hostile_network.BLOCKED])
        data = self.replay("hostile_again", config, rows, self.folder / "hostile")
        self.assertEqual([row["outcome"] for row in data["decisions"]], ["applied"])

        rows[0]["evidence_hash"] = "20200101T0000Z-0000000000000000"
        data = self.replay("stale", config, rows, self.folder / "hostile")
        self.assertEqual([row["outcome"] for row in data["decisions"]], ["stale"])
        self.assertIn("decide again", self.form_says(0))
        self.assertEqual(self.saved()[0]["evidence_hash"], "20200101T0000Z-0000000000000000")
        self.decide(0, "reject", "seen", "Ada & Bo")
        self.assertEqual([row["evidence_hash"] for row in self.saved()], [finding["evidence_hash"]])
        self.quiet()
