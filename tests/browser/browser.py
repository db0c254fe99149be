"""Debian's Chromium, headless, driven by the tests: one window with a profile of its own."""
import base64
import json
import pathlib
import shutil
import tempfile

SKIPPED = 77


def missing():
    """What is not installed, as a sentence, or None."""
    for program in ("chromium", "chromedriver"):
        if not shutil.which(program):
            return f"no {program}: install Debian's chromium and chromium-driver"
    try:
        import selenium  # noqa: F401
    except ImportError:
        return "no Selenium for Python: install Debian's python3-selenium"
    return None


class Browser:
    """A window; `with Browser(folder) as browser:` closes it and removes its profile. Downloads land in `folder`."""

    def __init__(self, downloads):
        from selenium import webdriver
        from selenium.webdriver.chrome.options import Options
        from selenium.webdriver.chrome.service import Service
        self.profile = tempfile.mkdtemp(prefix="gaugeloom-browser-")
        options = Options()
        options.binary_location = shutil.which("chromium")
        for argument in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars",
                         f"--user-data-dir={self.profile}"):
            options.add_argument(argument)
        options.add_experimental_option("prefs", {"download.default_directory": str(downloads), "download.prompt_for_download": False})
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        options.set_capability("unhandledPromptBehavior", "ignore")
        self.driver = webdriver.Chrome(service=Service(shutil.which("chromedriver")), options=options)
        self.driver.execute_cdp_cmd("Page.setDownloadBehavior", {"behavior": "allow", "downloadPath": str(downloads)})

    def __enter__(self):
        return self

    def __exit__(self, *failure):
        self.driver.quit()
        shutil.rmtree(self.profile, ignore_errors=True)

    def command(self, name, **parameters):
        return self.driver.execute_cdp_cmd(name, parameters)

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def size(self, width, height=900, phone=False):
        self.command("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=phone)

    def scheme(self, name):
        self.command("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": name}])

    def scripts(self, on):
        self.command("Emulation.setScriptExecutionDisabled", value=not on)

    def open(self, path):
        """Opens a file and returns (lines of the console, addresses asked for besides the file itself)."""
        self.driver.get("about:blank")
        self.driver.get_log("browser"), self.driver.get_log("performance")
        address = pathlib.Path(path).resolve().as_uri()
        self.driver.get(address)
        return self.console(), self.requests(address)

    def console(self):
        return [entry["message"] for entry in self.driver.get_log("browser") if entry["level"] in ("SEVERE", "WARNING")]

    def requests(self, own):
        asked = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                url = message["params"]["request"]["url"]
                if not url.startswith((own, "data:", "about:", "blob:")):
                    asked.append(url)
        return asked

    def press(self, key, shift=False):
        code = {"Tab": 9, "Enter": 13, " ": 32, "ArrowRight": 39, "ArrowDown": 40, "Escape": 27}[key]
        text = {"Enter": "\r", " ": " "}.get(key)
        for kind in ("keyDown", "keyUp"):
            event = {"type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code, "modifiers": 8 if shift else 0}
            if text and kind == "keyDown":
                event["text"] = text
            self.command("Input.dispatchKeyEvent", **event)

    def picture(self, path, most=6000):
        """A PNG of the page from its top, at most so many pixels of it."""
        height = self.run("return document.documentElement.scrollHeight")
        width = self.run("return document.documentElement.clientWidth")
        clip = {"x": 0, "y": 0, "width": width, "height": min(height, most), "scale": 1}
        made = self.command("Page.captureScreenshot", format="png", optimizeForSpeed=True, captureBeyondViewport=True, clip=clip)["data"]
        pathlib.Path(path).write_bytes(base64.b64decode(made))

    def paper(self, path):
        """Prints to PDF as the page's own style of paper says; returns the bytes."""
        made = base64.b64decode(self.command("Page.printToPDF", preferCSSPageSize=True, printBackground=False)["data"])
        pathlib.Path(path).write_bytes(made)
        return made
