"""A decision is made, saved, and replayed by the next run."""
import csv
import io
import time

from page_case import PageCase

COLUMNS = ["finding_id", "gauge", "from", "to", "verdict", "shift_minutes", "reason", "by", "on", "evidence_hash"]


class DecidingTest(PageCase):
    page = "sample"

    def decide(self, row, verdict, reason, by, minutes=None):
        """Fills the form of a finding, presses its button and returns what the form says."""
        return self.window.run("""const [row, verdict, reason, by, minutes] = arguments;
          const part = document.querySelector('details.finding[data-finding="' + row + '"]');
          part.open = true; part.dispatchEvent(new Event('toggle'));
          const form = part.querySelector('form');
          if (verdict) form.querySelector('input[value=' + verdict + ']').click();
          if (minutes !== null) form.elements.minutes.value = minutes;
          form.elements.reason.value = reason; form.elements.by.value = by;
          form.querySelector('button[type=submit]').click();
          return form.querySelector('[role=status]').textContent""", row, verdict, reason, by, minutes)

    def saved(self):
        """Presses the bar's button and returns the rows of what came down."""
        path = self.folder / "decisions.csv"
        path.unlink(missing_ok=True)
        self.window.run("document.querySelector('.bar button').click()")
        until = time.monotonic() + 10
        while not path.exists() and time.monotonic() < until:
            time.sleep(0.05)
        time.sleep(0.1)
        text = path.read_text(encoding="utf-8")
        rows = list(csv.DictReader(io.StringIO(text, newline="")))
        self.assertEqual(text.splitlines()[0].split(","), COLUMNS)
        return rows

    def leaving_warns(self):
        return self.window.run("const leave = new Event('beforeunload', {cancelable: true}); window.dispatchEvent(leave); return leave.defaultPrevented")

    def test_decisions_are_noted_and_saved(self):
        self.open()
        findings = self.data()["findings"]
        held = len({row["finding_id"] for row in self.data()["decisions"]} - {findings[0]["id"]})
        self.assertFalse(self.leaving_warns())
        self.assertIn("Noted", self.decide(0, "shift", 'moved; "an hour", she said', "Ada Bo", "-60"))
        self.assertTrue(self.leaving_warns())
        row = {row["finding_id"]: row for row in self.saved()}[findings[0]["id"]]
        self.assertFalse(self.leaving_warns())
        self.assertEqual((row["verdict"], row["shift_minutes"], row["reason"], row["by"]), ("shift", "-60", 'moved; "an hour", she said', "Ada Bo"))
        self.assertEqual(row["evidence_hash"], findings[0]["evidence_hash"])
        self.assertEqual(row["on"], time.strftime("%Y-%m-%d", time.gmtime()))
        self.assertRegex(row["from"], r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$")
        self.decide(0, "reject", "seen on site", "Ada Bo")
        self.assertEqual({row["finding_id"]: row for row in self.saved()}[findings[0]["id"]]["verdict"], "reject")
        self.window.run("document.querySelector('details.finding form button[type=button]').click()")
        self.assertEqual(len(self.saved()), held)
        self.quiet()

    def test_an_earlier_decision_without_a_finding_can_be_taken_down(self):
        self.open()
        ids = {finding["id"] for finding in self.data()["findings"]}
        gone = [row["finding_id"] for row in self.data()["decisions"] if row["finding_id"] not in ids]
        buttons = "document.querySelectorAll('.decided button')"
        self.assertEqual(self.window.run(f"return {buttons}.length"), len(gone))
        self.window.run(f"{buttons}[0].click()")
        left = [row["finding_id"] for row in self.saved()]
        self.assertNotIn(gone[0], left)
        self.assertEqual(len(left), len(self.data()["decisions"]) - 1)

    def test_what_lacks_or_would_be_a_formula_is_not_noted(self):
        self.open()
        self.assertIn("Choose", self.decide(0, None, "a reason", "Ada"))
        self.assertIn("reason", self.decide(0, "accept", " ", "Ada"))
        self.assertIn("name", self.decide(0, "accept", "a reason", ""))
        for minutes in ("0", "", "1.5", "7"):
            self.assertIn("minutes", self.decide(0, "shift", "a reason", "Ada", minutes))
        for text in ("=1+1", "+1", "-leaves", "@home"):
            self.assertIn("formula", self.decide(0, "accept", text, "Ada"))
            self.assertIn("formula", self.decide(0, "accept", "a reason", text))
        self.assertFalse(self.leaving_warns())
