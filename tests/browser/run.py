"""Tests the page for people in a real browser.

usage: run.py TOOL FOLDER [WORD...]    FOLDER gets the pages, pictures of them and the PDF, to be looked at; with WORDs only the
                                       tests whose names have one of them

Exit 77 with a sentence where there is no Chromium or no Selenium.
"""
import pathlib
import subprocess
import sys
import time
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import browser  # noqa: E402
import hostile_network  # noqa: E402
from page_case import ROOT, PageCase  # noqa: E402


class TimedResult(unittest.TextTestResult):
    """Says of each test how long it took."""

    def startTest(self, test):
        self.began = time.monotonic()
        super().startTest(test)

    def addSuccess(self, test):
        self.stream.write(f"{time.monotonic() - self.began:.1f} s ")
        super().addSuccess(test)


def each_test(suite):
    for part in suite:
        if isinstance(part, unittest.TestSuite):
            yield from each_test(part)
        else:
            yield part


def make_pages(tool, folder):
    """Runs the tool on the invented basin and on the hostile network, both at once."""
    configs = {"demo": ROOT / "data/velsarn/run.toml", "hostile": hostile_network.write(folder / "hostile_network")}
    running = {name: subprocess.Popen([tool, "run", "--config", config, "--out", folder / name], stdout=subprocess.PIPE,
                                      stderr=subprocess.STDOUT, text=True) for name, config in configs.items()}
    for name, process in running.items():
        said = process.communicate(timeout=300)[0]
        if process.returncode != 0:
            raise SystemExit(f"gaugeloom run on {configs[name]} failed:\n{said}")
        PageCase.pages[name] = folder / name / "report.html"


def main():
    reason = browser.missing()
    if reason:
        print("skipped: " + reason)
        return browser.SKIPPED
    if len(sys.argv) < 3:
        print(__doc__)
        return 2
    PageCase.tool, PageCase.folder = sys.argv[1], pathlib.Path(sys.argv[2]).resolve()
    PageCase.folder.mkdir(parents=True, exist_ok=True)
    make_pages(PageCase.tool, PageCase.folder)
    with browser.Browser(PageCase.folder) as PageCase.window:
        tests = each_test(unittest.defaultTestLoader.discover(str(pathlib.Path(__file__).parent), "*_test.py"))
        words = sys.argv[3:] or [""]
        chosen = unittest.TestSuite(test for test in tests if any(word in test.id() for word in words))
        result = unittest.TextTestRunner(verbosity=2, stream=sys.stdout, resultclass=TimedResult).run(chosen)
    return 0 if result.wasSuccessful() and result.testsRun > 0 else 1


if __name__ == "__main__":
    sys.exit(main())
