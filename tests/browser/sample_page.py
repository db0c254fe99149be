"""A small page with invented gauges and hostile names, in the form that the report writes: for the look and the scripts."""
import html
import json
import math
import pathlib
import re
import struct
import zlib

ROOT = pathlib.Path(__file__).resolve().parents[2]
LIBRARIES = pathlib.Path("/usr/share/javascript")
BEGIN = 1686528000  # 2023-06-12T00:00Z
HOUR = 3600
STEPS = 24 * 14
HOSTILE = ["<script>alert(1)</script>", "</script><img src=x onerror=alert(2)>", '"><b id=made>bold</b>', "Ada & Bo's \u2028 beck"]


def escape(text):
    return html.escape(str(text), quote=True)


def rain(step, share=1.0, shift=0):
    """mm in one hour: three showers a week, the same for all, in whole tips of 0.2 mm."""
    hour = step - shift
    wet = max(0.0, math.sin(hour / 9.0) - 0.6) * (1 + math.sin(hour / 31.0)) * 6 * share
    return round(round(wet / 0.2) * 0.2, 2)


def png(width, height, colour):
    """A palette-free PNG of `colour(x, y)` as a data URL."""
    rows = b"".join(b"\0" + b"".join(bytes(colour(x, y)) for x in range(width)) for y in range(height))

    def chunk(kind, data):
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    data = (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
            + chunk(b"IDAT", zlib.compress(rows, 9)) + chunk(b"IEND", b""))
    import base64
    return "data:image/png;base64," + base64.b64encode(data).decode()


def gauges():
    words = ["good", "poor", "suspect", "good", "estimate", "missing", "unchecked", "good"]
    names = ["Quaraskel", "Zelmimoth", HOSTILE[0], HOSTILE[1], "Ildrohyth", HOSTILE[2], HOSTILE[3], "Thorvumsett"]
    letters = {"good": "g", "poor": "p", "suspect": "s", "estimate": "e", "missing": "m", "unchecked": "u"}
    made = []
    for row, (word, name) in enumerate(zip(words, names)):
        total = [101.2, 43.6, 98.4, 120.0, 99.1, None, 104.8, 110.4][row]
        made.append({
            "id": f"K{row + 1:02d}", "name": name, "at": [56.3 + 0.09 * (row % 3), 2.6 + 0.17 * (row // 3) + 0.03 * row],
            "quality": word, "total_mm": total, "share_missing": 1.0 if total is None else 0.0,
            "share_estimated": 0.25 if word == "estimate" else 0.0, "visit_rank": {1: 1, 2: 2}.get(row),
            "days": {"begin": BEGIN, "step_s": 86400, "quality": "gggu" + letters[word] * 6 + ("gegm" if row != 5 else "mmmm")},
            "months": [[1685577600, None if total is None else total, None if total is None else total - 4,
                        None if total is None else total + 5, 0.25, 0.0], [1688169600, None, None, None, 0.0, 1.0]],
            "double_mass": [[9.0 * k, 8.0 * k + (3 if k > 4 else 0) * (k - 4), BEGIN + k * 86400] for k in range(12)]})
    return made


def finding(row, kind, tier, begin, end, own, decision=None):
    neighbours = [other for other in range(8) if other != row and other != 5][:4]
    steps = range(STEPS)
    expected = [round(sum(rain(s, 0.8 + 0.1 * n) for n in range(4)) / 4, 2) for s in steps]
    grown, score = [], 0.0
    for s in range(begin, min(end or STEPS, STEPS)):
        score = max(0.0, score + expected[s] - (own[s] or 0))
        grown.append([BEGIN + (s + 1) * HOUR, round(score, 2)])
    called = next((time for time, value in grown if value >= 5), grown[-1][0])
    gauge = f"K{row + 1:02d}"
    return {
        "id": f"{gauge}-{kind}-{begin}", "gauge": row, "kind": kind, "tier": tier, "from": BEGIN + begin * HOUR,
        "to": None if end is None else BEGIN + end * HOUR, "called": called, "score": grown[-1][1],
        "observed_mm": round(sum(v or 0 for v in own[begin:end]), 2), "expected_mm": round(sum(expected[begin:end]), 2),
        "shift_minutes": 60 if kind == "clock_offset" else None, "neighbours": neighbours,
        "reason": f"Not a tip while rain was expected from its neighbours. Wet around it: {HOSTILE[0]} (K03) at 5.0 km.",
        "innocent": "The counter or its link was dead and zeros were stored in place of missing values.",
        "evidence_hash": f"{row:02d}abcdef{begin:04d}", "decision": decision, "levels": [5.0, 10.0],
        "evidence": {"begin": BEGIN, "step_s": HOUR, "own": own, "expected": expected,
                     "neighbours": [[rain(s, 0.8 + 0.1 * n) for s in steps] for n in range(4)], "score": grown}}


def data():
    blocked = [0.0 if 100 <= s < 260 else (None if 40 <= s < 48 else rain(s, 0.9)) for s in range(STEPS)]
    findings = [finding(1, "blocked", "confirmed", 100, 260, blocked),
                finding(2, "clock_offset", "provisional", 48, None, [rain(s, 0.95, 1) for s in range(STEPS)],
                        {"verdict": "accept", "by": "Ada", "on": "2023-06-20"})]
    ramp = ["#fee9d9", "#e0b2c4", "#a587c9", "#5f60b7", "#264680", "#022440"]
    scale = [{"from_mm": 10 * k, "to_mm": 10 * k + 10, "colour": ramp[k]} for k in range(6)]

    def pixel(x, y):
        share = min(5, int((x + y) / 36))
        return tuple(int(ramp[share][1 + 2 * c:3 + 2 * c], 16) for c in range(3))

    storms = []
    for number in range(2):
        begin = BEGIN + number * 5 * 86400
        storms.append({"id": f"2023061{2 + 5 * number}T0000Z", "from": begin, "to": begin + 40 * HOUR, "mean_mm": 31.5 - 20 * number,
                       "max_mm": 65.8 - 30 * number,
                       "picture": {"png": png(120, 90, pixel), "bounds": [[56.2, 2.5], [56.6, 3.4]]} if number == 0 else None,
                       "scale": scale, "totals": [None if g == 5 else round(10 + 6 * g - 4 * number, 2) for g in range(8)],
                       "low": [None if g == 5 else 9 + 6 * g for g in range(8)], "high": [None if g == 5 else 12 + 6 * g for g in range(8)],
                       "quality": ["good", "estimate", "suspect", "good", "good", "missing", "unchecked", "good"]})
    decided = {"finding_id": findings[1]["id"], "gauge": "K03", "from": "2023-06-14T00:00:00Z", "to": "", "verdict": "accept",
               "shift_minutes": "", "reason": "seen, \"yes\"", "by": "Ada", "on": "2023-06-20",
               "evidence_hash": findings[1]["evidence_hash"], "outcome": "applied", "why": ""}
    rejected = dict(decided, finding_id="K04-blocked-20230613T0000Z", gauge="K04", verdict="reject", reason="seen \u00b7 on site")
    return {"title": HOSTILE[0], "version": "0.1.0", "step_s": 600, "from": BEGIN, "to": BEGIN + STEPS * HOUR, "place": "earth",
            "gauges": gauges(), "findings": findings, "storms": storms,
            "areas": [{"id": "C1", "name": "Nether <b>Vels</b>", "rings": [[[56.28, 2.62], [56.5, 2.7], [56.45, 3.1], [56.3, 3.0], [56.28, 2.62]]]}],
            "decisions": [decided, rejected]}


def when(seconds):
    import datetime
    return "" if seconds is None else datetime.datetime.fromtimestamp(seconds, datetime.timezone.utc).strftime("%Y-%m-%d %H:%MZ")


def mm(value):
    return "" if value is None else f"{value:.1f}"


def table(label, heads, rows):
    head = "".join(f'<th scope="col"{" class=n" if name.endswith("mm") else ""}>{name}</th>' for name in heads)
    body = "".join("<tr>" + "".join(cells) + "</tr>" for cells in rows)
    return (f'<div class="wide" tabindex="0" role="region" aria-label="Table: {label}"><table><caption>{label}</caption>'
            f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>")


def quality(word):
    return f'<span class="quality q-{word}">{word}</span>'


def chart(kind, what, row, caption):
    return f'<figure class="needs-scripts chart" data-chart="{kind}" data-{what}="{row}"><figcaption>{caption}</figcaption></figure>'


def page():
    d = data()
    found, seen = d["findings"], d["gauges"]

    def name(row):
        return f'{escape(seen[row]["name"])} ({seen[row]["id"]})'

    parts = {
        "act": ("What to act on today", "<ol class='visits'>" + "".join(
            f'<li><h3>{name(f["gauge"])}: {f["kind"].replace("_", " ")} <span class="tier t-{f["tier"]}">{f["tier"]}</span></h3>'
            f'<p>{escape(f["reason"])}</p><p>Look first: the funnel and its outlet.</p>'
            f'<p><a href="#finding-{f["id"]}">Evidence</a></p></li>' for f in found) + "</ol>"),
        "new": ("Decisions", '<div class="needs-scripts decided"></div>'),
        "map": ("The network on a map", '<figure class="needs-scripts map" data-map="network"></figure>'),
        "findings": ("Findings", table("findings", ["Finding", "Gauge", "Tier", "From", "To", "Observed, mm", "Expected, mm", "Reason"], [
            [f'<th scope="row"><a href="#finding-{f["id"]}">{f["kind"].replace("_", " ")}</a></th>', f'<td>{name(f["gauge"])}</td>',
             f'<td><span class="tier t-{f["tier"]}">{f["tier"]}</span></td>', f'<td class="when">{when(f["from"])}</td>',
             f'<td class="when">{when(f["to"]) or "still lasting"}</td>', f'<td class="n">{mm(f["observed_mm"])}</td>',
             f'<td class="n">{mm(f["expected_mm"])}</td>', f'<td class="words">{escape(f["reason"])}</td>'] for f in found])
            + "".join(
            f'<details id="finding-{f["id"]}" class="finding" data-finding="{row}"><summary><h3>{name(f["gauge"])}: {f["kind"].replace("_", " ")}</h3>'
            f'<span>{f["tier"]}, read {mm(f["observed_mm"])} mm, expected {mm(f["expected_mm"])} mm</span></summary>'
            f'<p>{escape(f["reason"])}</p><p><strong>Innocent explanation:</strong> {escape(f["innocent"])}</p>'
            + chart("hyetograph", "finding", row, "Rain per step. Each bar: 1 h.") + chart("mass", "finding", row, "Rain added up.")
            + chart("score", "finding", row, "The score as it grew.")
            + f'<div class="needs-scripts decide" data-finding="{row}"></div><noscript><p>Decide in a CSV.</p></noscript></details>'
            for row, f in enumerate(found))),
        "storms": ("Storms", table("storms", ["Storm", "From", "To", "Mean, mm", "Most, mm"], [
            [f'<th scope="row">{s["id"]}</th>', f'<td class="when">{when(s["from"])}</td>', f'<td class="when">{when(s["to"])}</td>',
             f'<td class="n">{mm(s["mean_mm"])}</td>', f'<td class="n">{mm(s["max_mm"])}</td>'] for s in d["storms"]]) + "".join(
            f'<details id="storm-{s["id"]}" class="storm" data-storm="{row}"><summary><h3>{s["id"]}</h3></summary>'
            f'<figure class="needs-scripts map" data-map="storm" data-storm="{row}"></figure></details>' for row, s in enumerate(d["storms"]))),
        "gauges": ("Gauges", table("gauges", ["Gauge", "Name", "Quality", "Total, mm"], [
            [f'<th scope="row"><a href="#gauge-{g["id"]}">{g["id"]}</a></th>', f'<td>{escape(g["name"])}</td>', f'<td>{quality(g["quality"])}</td>',
             f'<td class="n">{mm(g["total_mm"])}</td>'] for g in seen]) + "".join(
            f'<details id="gauge-{g["id"]}" class="gauge" data-gauge="{row}"><summary><h3>{name(row)}</h3></summary>'
            + chart("days", "gauge", row, "Quality by day.") + chart("months", "gauge", row, "Totals by month.")
            + chart("double_mass", "gauge", row, "Double mass.") + "</details>" for row, g in enumerate(seen))),
    }
    sections = "".join(f'<section id="{key}" aria-labelledby="{key}-title"><h2 id="{key}-title">{number} {title}</h2>{body}</section>'
                       for number, (key, (title, body)) in enumerate(parts.items(), 1))
    contents = "".join(f'<li><a href="#{key}">{title}</a></li>' for key, (title, _) in parts.items())
    text = json.dumps(d, ensure_ascii=False)
    for mark, code in (("&", "\\u0026"), ("<", "\\u003c"), (">", "\\u003e"), ("\u2028", "\\u2028")):
        text = text.replace(mark, code)
    files = re.findall(r"\w+\.(?:css|js)", (ROOT / "src/report/page/page.cmake").read_text())
    read = lambda kind: "\n".join((ROOT / "src/report/page" / f).read_text() for f in files if f.endswith(kind))
    style = (LIBRARIES / "leaflet/leaflet.css").read_text() + (LIBRARIES / "dygraphs/dygraph.min.css").read_text() + read(".css")
    scripts = [(LIBRARIES / "leaflet/leaflet.min.js").read_text(), (LIBRARIES / "dygraphs/dygraph.min.js").read_text(), read(".js")]
    scripts = [s.replace("//# sourceMappingURL", "// ") for s in scripts]
    import base64, hashlib
    hashes = " ".join("'sha256-" + base64.b64encode(hashlib.sha256(s.encode()).digest()).decode() + "'" for s in scripts)
    policy = f"default-src 'none'; script-src {hashes}; style-src 'unsafe-inline'; img-src data:; connect-src 'none'; base-uri 'none'; form-action 'none'"
    return (f'<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
            f'<meta http-equiv="Content-Security-Policy" content="{policy}"><title>{escape(d["title"])}</title><style>{style}</style></head><body>'
            f'<a class="skip" href="#act">Skip to what to act on today</a><header id="head"><h1>{escape(d["title"])}</h1>'
            f'<p class="lede">Rain from {when(d["from"])} to {when(d["to"])}, 8 gauges, 2 findings.</p>'
            f'<ul class="cautions"><li>An estimate is not a measurement.</li></ul></header>'
            f'<nav id="contents" aria-label="Contents"><h2>Contents</h2><ol>{contents}</ol></nav><main>{sections}</main><footer><p>gaugeloom 0.1.0</p></footer>'
            f'<script type="application/json" id="gaugeloom-data">{text}</script>'
            + "".join(f"<script>{s}</script>" for s in scripts) + "</body></html>")


if __name__ == "__main__":
    import sys
    pathlib.Path(sys.argv[1]).write_text(page(), encoding="utf-8")
