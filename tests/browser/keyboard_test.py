"""The page without a mouse."""
import time

from page_case import PageCase


class KeyboardTest(PageCase):
    def test_the_tab_key_reaches_every_control_in_reading_order(self):
        window = self.open()
        window.run("""for (const kind of ['finding', 'storm', 'gauge']) document.querySelector('details.' + kind).open = true""")
        time.sleep(0.3)
        window.run("""window.expected = looks.stops(); window.reached = []; window.unseen = [];
          document.addEventListener('focusin', ({target}) => {
            const style = getComputedStyle(target);
            if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) unseen.push(looks.name(target));
            reached.push(target); });
          document.activeElement.blur(); scrollTo(0, 0)""")
        count = window.run("return expected.length")
        self.assertGreater(count, 100)
        for _ in range(count):
            window.press("Tab")
        self.assertEqual(window.run("return unseen"), [])
        differing = window.run("""const i = expected.findIndex((stop, k) => stop !== reached[k]);
          return i < 0 ? null : 'stop ' + i + ': ' + (reached[i] && looks.name(reached[i])) + ' in place of ' + looks.name(expected[i])""")
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
