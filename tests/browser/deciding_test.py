"""A decision is made and saved."""
import time

from deciding_case import DecidingCase


class DecidingTest(DecidingCase):
    def test_decisions_are_noted_and_saved(self):
        self.open()
        findings = self.data()["findings"]
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
        self.assertEqual(self.saved(), [])
        self.quiet()

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
