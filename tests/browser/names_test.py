"""Nothing of the input is ever script: a network whose names, ids and area are written to break the page."""
import time

import hostile_network
from page_case import PageCase


class NamesTest(PageCase):
    page = "hostile"

    def test_names_are_text(self):
        window = self.open(details=8)
        gauges = self.data()["gauges"]
        self.assertEqual([gauge["name"] for gauge in gauges], hostile_network.NAMES)
        self.assertEqual([gauge["id"] for gauge in gauges], hostile_network.IDS)
        for text in hostile_network.SHOWN + hostile_network.IDS:
            self.assertTrue(window.run("return document.querySelector('main').textContent.includes(arguments[0])", text), text)
        self.assertIsNone(window.run("return document.getElementById('made')"))
        self.assertEqual(window.run("return document.querySelectorAll('script').length"), 4)
        self.assertEqual(window.run("return document.querySelectorAll('img[src=x], [onerror], [onload], a[href^=javascript]').length"), 0)
        self.assertEqual(window.run("return looks.markup()"), [])

    def test_the_map_and_the_form_name_gauges_as_text(self):
        window = self.open(details=8)
        labels = window.run("return Array.from(document.querySelectorAll('[data-map=network] .mark'), (mark) => mark.getAttribute('aria-label'))")
        for name, gauge, label in zip(hostile_network.NAMES, hostile_network.IDS, labels):
            self.assertTrue(label.startswith(name.replace("\u202e", "") + f" ({gauge}), "), label)
        for row in range(len(labels)):
            window.run("document.querySelectorAll('[data-map=network] .mark')[arguments[0]].click()", row)
            time.sleep(0.05)
            self.assertIn(labels[row].split(" (")[0], window.run("return Array.from(document.querySelectorAll('[data-map=network] .leaflet-popup-content')).pop().textContent"))
        legend = window.run("return document.querySelector('details.finding form legend').textContent")
        self.assertIn(hostile_network.NAMES[hostile_network.BLOCKED], legend)
        self.quiet()

    def test_the_title_is_text(self):
        self.assertEqual(self.open().run("return document.title"), hostile_network.NAMES[0])
        self.assertEqual(self.window.run("return document.querySelector('h1').textContent"), hostile_network.NAMES[0])

    def test_the_policy_refuses_other_scripts_and_any_request(self):
        window = self.open()
        window.run("const script = document.createElement('script'); script.textContent = 'window.strayed = true'; document.body.append(script)")
        self.assertIsNone(window.run("return window.strayed || null"))
        refused = window.run("return fetch('https://example.org/').then(() => 'fetched', () => 'refused')")
        self.assertEqual(refused, "refused")
        self.assertTrue(any("Content Security Policy" in line for line in window.console()))
