"""What the tests of the page have in common: one window, the pages that the runner made, a quiet console."""
import pathlib
import time
import unittest

LOOKS = (pathlib.Path(__file__).parent / "looks.js").read_text()
ROOT = pathlib.Path(__file__).resolve().parents[2]
WIDTHS = {360: True, 1400: False}  # pixels, and whether as a phone


class PageCase(unittest.TestCase):
    maxDiff = None
    tool = folder = window = None  # set by run.py
    pages = {}  # name -> path
    page = "demo"  # of pages: the one that the tests of a class look at

    def open(self, width=1400, scheme="light", details=0):
        """Opens the page, and the first so many findings, storms and gauges; expects a quiet console and no request."""
        window = self.window
        window.size(width, 900, WIDTHS.get(width, False))
        window.scheme(scheme)
        lines, asked = window.open(self.pages[self.page])
        self.assertEqual(lines, [])
        self.assertEqual(asked, [])
        window.run(LOOKS)
        if details:
            window.run("looks.openSome(arguments[0])", details)
            time.sleep(0.3)
            self.quiet()
        return window

    def data(self):
        return self.window.run("return JSON.parse(document.getElementById('gaugeloom-data').textContent)")

    def quiet(self):
        self.assertEqual(self.window.console(), [])
