"""The page at two widths, on light and dark ground, on paper, without scripts, and to those who cannot see it."""
import re
import shutil
import subprocess
import time

from page_case import WIDTHS, PageCase


class LookTest(PageCase):
    def test_the_tables_are_there_without_scripts(self):
        window = self.window
        window.size(1400)
        try:
            window.scripts(False)
            window.driver.get(self.pages[self.page].as_uri())
            tree = window.command("Accessibility.getFullAXTree")["nodes"]
        finally:
            window.scripts(True)
        seen = [(node["role"]["value"], node.get("name", {}).get("value", "")) for node in tree if not node["ignored"] and "role" in node]
        roles = [role for role, _ in seen]
        self.assertGreaterEqual(roles.count("table"), 3)
        self.assertFalse({"radio", "textbox", "combobox"} & set(roles))  # no control that would do nothing
        self.assertNotIn("button", roles)

    def test_nothing_sticks_out_at_any_width_or_ground(self):
        for width in WIDTHS:
            for scheme in ("light", "dark"):
                with self.subTest(width=width, scheme=scheme):
                    window = self.open(width, scheme, details=2)
                    wide = window.run("return [document.documentElement.scrollWidth, document.documentElement.clientWidth]")
                    self.assertLessEqual(wide[0], wide[1])
                    self.assertEqual(wide[1], width)
                    self.assertEqual(window.run("return looks.sticksOut()"), [])
                    window.picture(self.folder / f"{width}_{scheme}.png")

    def test_text_and_lines_stand_out_from_their_ground(self):
        for scheme in ("light", "dark"):
            with self.subTest(scheme=scheme):
                window = self.open(1400, scheme, details=2)
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
        window = self.open(details=2)
        self.assertEqual(window.run("return document.documentElement.lang"), "en")
        self.assertTrue(window.run("return document.title"))
        self.assertEqual(window.run("return looks.outline()"), {"first": 1, "wrong": []})
        self.assertEqual(window.run("return looks.markup()"), [])

    def test_every_control_has_a_name(self):
        self.open(details=2)
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
                self.assertEqual(self.open(width, details=2).run("return looks.smallTargets(24)"), [])  # WCAG 2.2, 2.5.8

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
            self.assertGreater(self.blue(window), 1000)
            self.assertIn("Rain added up", text)
            self.assertGreaterEqual(text.split("\f")[0].count("Look first"), 5)  # the plan of the day is on the first page
            self.assertNotIn("Note this decision", text)

    def blue(self, window):
        """How many dots of a coarse print have the colour in which charts draw a gauge, when maps and keys are left out."""
        window.run("const style = document.createElement('style'); document.head.append(style); "
                   "style.textContent = '.map, .key, .quality::before { display: none !important }'")
        made = self.folder / "charts.pdf"
        window.paper(made)
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
