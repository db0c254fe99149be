"""What the tests of deciding have in common: filling a form, saving, reading what was saved."""
import csv
import io
import time

from page_case import PageCase

COLUMNS = ["finding_id", "gauge", "from", "to", "verdict", "shift_minutes", "reason", "by", "on", "evidence_hash"]


class DecidingCase(PageCase):
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
