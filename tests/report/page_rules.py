#!/usr/bin/env python3
"""Runs the tool with the given arguments and holds its report.html against rules of HTML that a parser can see: elements
nest, ids are unique, links have their target, tables have a caption and headings with a scope, fields have a label,
headings skip no level, nothing is fetched, the policy names the scripts as they are. usage: page_rules.py TOOL run ..."""
import base64
import hashlib
import html.parser
import json
import pathlib
import re
import subprocess
import sys
import tempfile

VOID = {"meta", "input", "br", "hr", "img", "col"}
BLOCKS = {"div", "p", "ul", "ol", "dl", "table", "section", "details", "figure", "pre", "h1", "h2", "h3", "h4"}
FETCHING = {"src", "srcset", "action", "formaction", "poster", "background", "data"}
MOST_BYTES = 5_000_000


class Page(html.parser.HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.faults, self.open, self.ids, self.links = [], [], [], []
        self.labelled, self.fields, self.scripts, self.headings = set(), [], [], []
        self.policy, self.data = "", ""

    def fault(self, words):
        self.faults.append(f"line {self.getpos()[0]}: {words}")

    def handle_starttag(self, tag, attributes):
        values = dict(attributes)
        if len(values) != len(attributes):
            self.fault(f"<{tag}> has an attribute twice")
        if tag in BLOCKS and "p" in self.open:
            self.fault(f"<{tag}> stands in a <p>")
        for name, value in attributes:
            self.attribute(tag, name, value)
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append((int(tag[1]), self.getpos()[0]))
        if tag == "th" and values.get("scope") not in ("row", "col"):
            self.fault("<th> without a scope")
        if tag == "table":
            self.captions = 0
        if tag == "caption":
            self.captions += 1
        if tag == "label":
            self.labelled.add(values.get("for"))
        if tag in ("input", "select", "textarea") and values.get("type") != "hidden":
            self.fields.append((values.get("id"), "label" in self.open or "aria-label" in values))
        if tag == "script":
            self.scripts.append([values.get("type", ""), ""])
        if tag == "meta" and values.get("http-equiv") == "Content-Security-Policy":
            self.policy = values["content"]
        if tag not in VOID:
            self.open.append(tag)

    def attribute(self, tag, name, value):
        if name == "id":
            self.ids.append(value)
            if not value or re.search(r"\s", value):
                self.fault(f"the id {value!r} has white space")
        if name in ("aria-labelledby", "aria-describedby", "for"):
            self.links += value.split()
        if name == "href":
            if value.startswith("#"):
                self.links.append(value[1:])
            else:
                self.fault(f"<{tag}> leads out of the page: {value}")
        if name in FETCHING and not value.startswith("data:image/png;base64,"):
            self.fault(f"<{tag}> fetches {value}")
        if name.startswith("on") or name == "style":
            self.fault(f"<{tag}> has {name}")

    def handle_endtag(self, tag):
        if not self.open or self.open[-1] != tag:
            self.fault(f"</{tag}> closes {self.open[-1:]}")
            return
        self.open.pop()
        if tag == "table" and self.captions != 1:
            self.fault("a table without its caption")

    def handle_data(self, text):
        if self.open and self.open[-1] == "script":
            self.scripts[-1][1] += text

    def close(self):
        super().close()
        self.faults += [f"<{tag}> is never closed" for tag in self.open]
        self.faults += [f"the id {one} stands twice" for one in sorted({i for i in self.ids if self.ids.count(i) > 1})]
        self.faults += [f"no place named {one}" for one in sorted(set(self.links) - set(self.ids))]
        self.faults += [f"the field {name} has no label" for name, labelled in self.fields
                        if not labelled and name not in self.labelled]
        levels = [level for level, _ in self.headings]
        self.faults += [f"line {line}: h{level} follows h{before}"
                        for (level, line), before in zip(self.headings[1:], levels) if level > before + 1]
        if levels.count(1) != 1:
            self.faults.append(f"{levels.count(1)} headings of the first level")
        self.check_scripts()

    def check_scripts(self):
        own = [text for kind, text in self.scripts if kind == ""]
        for text in own:
            digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
            if f"'sha256-{digest}'" not in self.policy:
                self.faults.append(f"the policy does not name the script that begins {text[:40]!r}")
        if self.policy.count("'sha256-") != len(own):
            self.faults.append("the policy names more scripts than there are")
        data = [text for kind, text in self.scripts if kind == "application/json"]
        if len(data) != 1 or not json.loads(data[0])["gauges"]:
            self.faults.append("no data")


def main():
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([*sys.argv[1:], "--out", folder], check=True, stdout=subprocess.DEVNULL)
        text = (pathlib.Path(folder) / "report.html").read_text(encoding="utf-8")
    page = Page()
    page.feed(text)
    page.close()
    if len(text.encode()) > MOST_BYTES:
        page.faults.append(f"{len(text.encode())} bytes are more than {MOST_BYTES}")
    print("\n".join(page.faults) if page.faults else f"{len(text.encode())} bytes, {len(page.ids)} ids, {len(page.links)} links: no fault")
    return 1 if page.faults else 0


sys.exit(main())
