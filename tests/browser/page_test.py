"""The page for people in a real browser.

usage: page_test.py PAGE FOLDER [WORD...]   PAGE `sample` is the invented one of sample_page.py; FOLDER gets pictures and the
PDF, to be looked at; with WORDs only the tests whose names have one of them

Exit 77 with a sentence where there is no Chromium or no Selenium.
"""
import csv
import io
import json
import pathlib
import re
import shutil
import subprocess
import sys
import time
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import browser  # noqa: E402
import sample_page  # noqa: E402

LOOKS = (pathlib.Path(__file__).parent / "looks.js").read_text()
COLUMNS = ["finding_id", "gauge", "from", "to", "verdict", "shift_minutes", "reason", "by", "on", "evidence_hash"]
WIDTHS = {360: True, 1400: False}  # pixels, and whether as a phone


class PageTest(unittest.TestCase):
    maxDiff = None
    page = folder = window = None

    def open(self, width=1400, scheme="light", part="", details=False):
        """Opens the page and expects a quiet console and no request."""
        window = self.window
        window.size(width, 900, WIDTHS.get(width, False))
        window.scheme(scheme)
        lines, asked = window.open(self.page, part)
        self.assertEqual(lines, [])
        self.assertEqual(asked, [])
        window.run(LOOKS)
        if details:
            window.run("looks.openAll()")
            time.sleep(0.3)
        return window

    def data(self):
        return self.window.run("return JSON.parse(document.getElementById('gaugeloom-data').textContent)")

    def quiet(self):
        self.assertEqual(self.window.console(), [])

    # --- it draws

    def test_the_map_shows_every_gauge_and_the_wettest_storm(self):
        window = self.open()
        data = self.data()
        self.assertEqual(window.run("return document.querySelectorAll('[data-map=network] .mark').length"), len(data["gauges"]))
        with_picture = max(data["storms"], key=lambda storm: storm["mean_mm"])["picture"] is not None
        self.assertEqual(window.run("return document.querySelectorAll('[data-map=network] .leaflet-image-layer').length"), int(with_picture))
        outside = window.run("""const frame = document.querySelector('[data-map=network] .sheet').getBoundingClientRect();
          return Array.from(document.querySelectorAll('[data-map=network] .mark')).filter((mark) => {
            const box = mark.getBoundingClientRect();
            return box.left < frame.left || box.right > frame.right || box.top < frame.top || box.bottom > frame.bottom; }).length""")
        self.assertEqual(outside, 0)

    def test_another_storm_can_be_chosen(self):
        window = self.open()
        data = self.data()
        caption = "return document.querySelector('[data-map=network] figcaption').textContent"
        before = window.run(caption)
        window.run("""const choice = document.querySelector('[data-map=network] select');
          choice.selectedIndex = (choice.selectedIndex + 1) % choice.options.length; choice.dispatchEvent(new Event('change'))""")
        self.assertNotEqual(window.run(caption), before)
        window.run("""const choice = document.querySelector('[data-map=network] select');
          choice.value = ''; choice.dispatchEvent(new Event('change'))""")
        self.assertIn("whole record", window.run(caption))
        self.assertEqual(window.run("return document.querySelectorAll('[data-map=network] .leaflet-image-layer').length"), 0)
        drawn = window.run("""return Array.from(document.querySelectorAll('[data-map=network] .mark'), (mark) =>
          Array.from(mark.classList).find((name) => name.startsWith('q-')).slice(2))""")
        self.assertEqual(drawn, [gauge["quality"] for gauge in data["gauges"]])
        self.quiet()

    def test_charts_draw_when_their_details_open(self):
        window = self.open()
        self.assertEqual(window.run("return document.querySelectorAll('details:not([open]) canvas').length"), 0)
        window.run("looks.openAll()")
        time.sleep(0.5)
        data = self.data()
        with_evidence = sum(finding["evidence"] is not None for finding in data["findings"])
        self.assertGreater(with_evidence, 0)
        for kind in ("hyetograph", "mass"):
            self.assertEqual(window.run(f"return document.querySelectorAll('[data-chart={kind}] canvas').length / 2"), with_evidence)
        blank = window.run("""return Array.from(document.querySelectorAll('.drawing')).filter((frame) =>
          !Array.from(frame.querySelectorAll('canvas')).some(looks.painted)).map((frame) => frame.getAttribute('aria-label'))""")
        self.assertEqual(blank, [])
        self.assertEqual(window.run("return document.querySelectorAll('[data-chart=days] .strip').length"), len(data["gauges"]))
        self.quiet()

    def test_a_chart_says_its_main_numbers(self):
        window = self.open(details=True)
        finding = next(finding for finding in self.data()["findings"] if finding["evidence"])
        total = sum(value or 0 for value in finding["evidence"]["own"])
        row = self.data()["findings"].index(finding)
        says = window.run(f"return document.querySelector('[data-chart=hyetograph][data-finding=\"{row}\"] .drawing').getAttribute('aria-label')")
        self.assertIn(f"the gauge had {total:.1f} mm", says)

    # --- keyboard

    def test_the_tab_key_reaches_every_control_in_reading_order(self):
        window = self.open(details=True)
        window.run("window.expected = looks.stops(); window.reached = []; window.unseen = []; document.activeElement.blur(); scrollTo(0, 0)")
        count = window.run("return expected.length")
        self.assertGreater(count, 20)
        for _ in range(count):
            window.press("Tab")
            window.run("""const at = document.activeElement; reached.push(at); const style = getComputedStyle(at);
              if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) unseen.push(looks.name(at))""")
        self.assertEqual(window.run("return unseen"), [])
        differing = window.run("""const i = expected.findIndex((stop, k) => stop !== reached[k]);
          return i < 0 ? null : 'stop ' + i + ': ' + looks.name(reached[i]) + ' in place of ' + looks.name(expected[i])""")
        self.assertIsNone(differing)

    def test_the_marks_of_the_map_can_be_walked_and_lead_to_the_gauge(self):
        window = self.open()
        window.run("document.querySelector('[data-map=network] .mark[tabindex=\"0\"]').focus()")
        first = window.run("return document.activeElement.getAttribute('aria-label')")
        for key in ("ArrowRight", "ArrowRight"):
            window.press(key)
        walked = window.run("return [document.activeElement.getAttribute('aria-label'), document.activeElement.classList.contains('mark')]")
        self.assertTrue(walked[1])
        self.assertNotEqual(walked[0], first)
        window.press("Enter")
        time.sleep(0.3)
        shown = window.run("return document.querySelector('.leaflet-popup-content').textContent")
        self.assertIn(walked[0].split(",")[0], shown)
        link = "document.querySelector('.leaflet-popup-content a')"
        window.run(link + ".click()")
        time.sleep(0.2)
        opened = window.run("return Array.from(document.querySelectorAll('details[open].gauge h3'), (title) => title.textContent)")
        self.assertEqual(len(opened), 1)
        self.quiet()

    def test_an_address_of_a_finding_opens_it(self):
        window = self.open()
        part = window.run("return document.querySelector('details.finding').id")
        window.run("location.hash = '#' + encodeURIComponent(arguments[0])", part)
        time.sleep(0.2)
        self.assertTrue(window.run("return document.querySelector('details.finding').open"))

    # --- nothing of the input is ever script

    def test_names_are_text(self):
        window = self.open(details=True)
        names = [gauge["name"] for gauge in self.data()["gauges"]]
        for name in sample_page.HOSTILE:
            self.assertIn(name, names)
            self.assertTrue(window.run("return document.body.textContent.includes(arguments[0])", name))
        self.assertIsNone(window.run("return document.getElementById('made')"))
        self.assertEqual(window.run("return document.querySelectorAll('script').length"), 4)
        self.assertEqual(window.run("return document.querySelectorAll('img[src=x], [onerror]').length"), 0)
        labels = window.run("return Array.from(document.querySelectorAll('[data-map=network] .mark'), (mark) => mark.getAttribute('aria-label'))")
        self.assertTrue(any(sample_page.HOSTILE[0] in label for label in labels))

    def test_the_policy_refuses_other_scripts_and_any_request(self):
        window = self.open()
        window.run("const script = document.createElement('script'); script.textContent = 'window.strayed = true'; document.body.append(script)")
        self.assertIsNone(window.run("return window.strayed || null"))
        refused = window.run("return fetch('https://example.org/').then(() => 'fetched', () => 'refused')")
        self.assertEqual(refused, "refused")
        self.assertTrue(any("Content Security Policy" in line for line in window.console()))

    # --- without scripts

    def test_the_tables_are_there_without_scripts(self):
        window = self.window
        window.size(1400)
        try:
            window.scripts(False)
            window.driver.get(pathlib.Path(self.page).resolve().as_uri())
            tree = window.command("Accessibility.getFullAXTree")["nodes"]
        finally:
            window.scripts(True)
        seen = [(node["role"]["value"], node.get("name", {}).get("value", "")) for node in tree if not node["ignored"] and "role" in node]
        roles = [role for role, _ in seen]
        self.assertGreaterEqual(roles.count("table"), 3)
        self.assertFalse({"radio", "textbox", "combobox"} & set(roles))  # no control that would do nothing
        self.assertNotIn("button", roles)

    # --- look

    def test_nothing_sticks_out_at_any_width_or_ground(self):
        for width in WIDTHS:
            for scheme in ("light", "dark"):
                with self.subTest(width=width, scheme=scheme):
                    window = self.open(width, scheme, details=True)
                    wide = window.run("return [document.documentElement.scrollWidth, document.documentElement.clientWidth]")
                    self.assertLessEqual(wide[0], wide[1])
                    self.assertEqual(wide[1], width)
                    self.assertEqual(window.run("return looks.sticksOut()"), [])
                    window.picture(self.folder / f"{width}_{scheme}.png")

    def test_text_and_lines_stand_out_from_their_ground(self):
        for scheme in ("light", "dark"):
            with self.subTest(scheme=scheme):
                window = self.open(1400, scheme, details=True)
                measured = window.run("return looks.faintTexts(4.5)")
                self.assertGreater(measured["count"], 100)
                self.assertEqual(measured["faint"], [])
                self.assertEqual(window.run("return looks.faintShapes(3)"), [])

    def test_the_formula_of_contrast_is_that_of_wcag(self):
        window = self.open()
        ratio = lambda one, other: window.run("return looks.contrast(arguments[0], arguments[1])", one, other)
        self.assertAlmostEqual(ratio([0, 0, 0], [255, 255, 255]), 21, places=6)  # WCAG 2.1: 21:1 is the largest
        self.assertAlmostEqual(ratio([118, 118, 118], [255, 255, 255]), 4.54, places=2)  # by hand from the formula

    def test_markup_is_sound(self):
        window = self.open(details=True)
        self.assertEqual(window.run("return document.documentElement.lang"), "en")
        self.assertTrue(window.run("return document.title"))
        self.assertEqual(window.run("return looks.outline()"), {"first": 1, "wrong": []})
        self.assertEqual(window.run("return looks.markup()"), [])

    def test_every_control_has_a_name(self):
        self.open(details=True)
        nameless = []
        for node in self.window.command("Accessibility.getFullAXTree")["nodes"]:
            focusable = any(entry["name"] == "focusable" and entry["value"].get("value") for entry in node.get("properties", []))
            role = node.get("role", {}).get("value", "")
            if focusable and not node["ignored"] and role != "RootWebArea" and not node.get("name", {}).get("value", "").strip():
                nameless.append(role)
        self.assertEqual(nameless, [])

    def test_controls_are_large_enough_to_hit(self):
        for width in WIDTHS:
            with self.subTest(width=width):
                self.assertEqual(self.open(width, details=True).run("return looks.smallTargets(24)"), [])  # WCAG 2.2, 2.5.8

    def test_it_prints_to_a_clean_pdf(self):
        window = self.open(1400, "dark")
        made = self.folder / "page.pdf"
        data = window.paper(made)
        self.quiet()
        pages = len(re.findall(rb"/Type\s*/Page[^s]", data))
        self.assertGreater(pages, 2)
        self.assertLess(pages, 60)
        self.assertFalse(window.run("return document.documentElement.classList.contains('printing')"))
        self.assertEqual(window.run("return document.querySelectorAll('details.finding[open]').length"), 0)
        if shutil.which("pdftotext"):
            text = subprocess.run(["pdftotext", "-layout", str(made), "-"], capture_output=True, text=True, check=True).stdout
            for title in window.run("return Array.from(document.querySelectorAll('main h2'), (title) => title.textContent)"):
                self.assertIn(title, text)
            self.assertIn("Rain added up", text)
            shown = self.blue(made)
            window.run("const style = document.createElement('style'); style.textContent = 'canvas { visibility: hidden }'; document.head.append(style)")
            window.paper(self.folder / "without_charts.pdf")
            self.assertGreater(shown, 2 * self.blue(self.folder / "without_charts.pdf"))
            self.assertNotIn("Note this decision", text)

    def blue(self, made):
        """How many dots of a coarse print have the colour in which charts draw a gauge; the keys beside them have a few."""
        drawn = subprocess.run(["pdftoppm", "-r", "40", str(made)], capture_output=True, check=True).stdout
        count = 0
        while drawn:
            head, drawn = drawn[:64], drawn
            kind, width, height = re.match(rb"(P6)\n(\d+) (\d+)\n255\n", head).groups()
            begin = len(kind + width + height) + 7
            size = 3 * int(width) * int(height)
            page, drawn = drawn[begin:begin + size], drawn[begin + size:]
            reds, greens, blues = page[0::3], page[1::3], page[2::3]
            count += sum(abs(r - 47) < 24 and abs(g - 85) < 24 and abs(b - 160) < 24 for r, g, b in zip(reds, greens, blues))
        return count

    # --- deciding

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


class TimedResult(unittest.TextTestResult):
    """Says of each test how long it took."""

    def startTest(self, test):
        self.began = time.monotonic()
        super().startTest(test)

    def addSuccess(self, test):
        self.stream.write(f"{time.monotonic() - self.began:.1f} s ")
        super().addSuccess(test)


def main():
    reason = browser.missing()
    if reason:
        print("skipped: " + reason)
        return browser.SKIPPED
    if len(sys.argv) < 3:
        print(__doc__)
        return 2
    folder = pathlib.Path(sys.argv[2]).resolve()
    folder.mkdir(parents=True, exist_ok=True)
    with browser.Browser(folder) as window:
        PageTest.page, PageTest.folder, PageTest.window = sys.argv[1], folder, window
        if PageTest.page == "sample":
            PageTest.page = folder / "sample.html"
            PageTest.page.write_text(sample_page.page(), encoding="utf-8")
        tests = unittest.defaultTestLoader.loadTestsFromTestCase(PageTest)
        if len(sys.argv) > 3:
            tests = unittest.TestSuite(test for test in tests if any(word in test.id() for word in sys.argv[3:]))
        return 0 if unittest.TextTestRunner(verbosity=2, stream=sys.stdout, resultclass=TimedResult).run(tests).wasSuccessful() else 1


if __name__ == "__main__":
    sys.exit(main())
