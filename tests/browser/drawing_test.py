"""The map and the charts draw."""
import time

from page_case import PageCase


class DrawingTest(PageCase):
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
        window.run("document.querySelectorAll('details.finding').forEach((part) => { part.open = true; })")
        window.run("document.querySelectorAll('details.gauge').forEach((part, row) => { part.open = row < 4; })")
        time.sleep(0.5)
        data = self.data()
        with_evidence = sum(finding["evidence"] is not None for finding in data["findings"])
        self.assertGreater(with_evidence, 0)
        for kind in ("hyetograph", "mass"):
            self.assertEqual(window.run(f"return document.querySelectorAll('[data-chart={kind}] canvas').length / 2"), with_evidence)
        blank = window.run("""return Array.from(document.querySelectorAll('.drawing')).filter((frame) =>
          !Array.from(frame.querySelectorAll('canvas')).some(looks.painted)).map((frame) => frame.getAttribute('aria-label'))""")
        self.assertEqual(blank, [])
        self.assertEqual(window.run("return document.querySelectorAll('[data-chart=days] .strip').length"), 4)
        self.quiet()

    def test_a_chart_says_its_main_numbers(self):
        window = self.open(details=2)
        finding = next(finding for finding in self.data()["findings"] if finding["evidence"])
        total = sum(value or 0 for value in finding["evidence"]["own"])
        row = self.data()["findings"].index(finding)
        says = window.run(f"return document.querySelector('[data-chart=hyetograph][data-finding=\"{row}\"] .drawing').getAttribute('aria-label')")
        self.assertIn(f"the gauge had {total:.1f} mm", says)
