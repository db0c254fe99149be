"""A small network whose names, ids and area are written to break a page: what `gaugeloom run` makes of it must show them as text."""
import csv
import json
import math
import random

NAMES = ["<script>alert(1)</script>", "</script><img src=x onerror=alert(2)>", '"><b id=made>bold</b>', "Ada & Bo's \u2028 beck",
         "javascript:alert(3)", "--><svg onload=alert(4)>", "{{7*7}}${7*7}", "\u202eevil"]
SHOWN = [name.replace("\u2028", " ").replace("\u202e", "") for name in NAMES]  # white space is a space, marks of direction are left out
IDS = ["K1", "K 2", "<i>K3", "K4&amp;", "K5'\"", "K6%20", "K7#", "K8"]
HOURS = 24 * 35
BLOCKED = 1  # row; from BLOCKED_FROM on it reads nothing
BLOCKED_FROM = 24 * 15


def depth(row, hour, chance):
    """mm in an hour, in tips of 0.2 mm: wet for six hours in twenty, a little different at each gauge."""
    wet = hour % 20 < 6
    shared = 1.5 + math.sin(hour / 7.0) + math.sin(hour / 43.0)
    return round(0.2 * round(max(0.0, shared * (0.8 + 0.4 * chance)) / 0.2), 1) if wet else 0.0


def write(folder):
    """Writes gauges.csv, rain.csv, areas.geojson and run.toml; returns the path of run.toml."""
    folder.mkdir(parents=True, exist_ok=True)
    with open(folder / "gauges.csv", "w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["gauge", "name", "lon", "lat"])
        for row, (gauge, name) in enumerate(zip(IDS, NAMES)):
            rows.writerow([gauge, name, f"{2.6 + 0.07 * (row % 3):.4f}", f"{56.3 + 0.05 * (row // 3):.4f}"])
    chance = random.Random(7)
    with open(folder / "rain.csv", "w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["time", "gauge", "depth_mm"])
        for hour in range(HOURS):
            time = f"2023-06-{1 + hour // 24:02d}" if hour < 720 else f"2023-07-{1 + (hour - 720) // 24:02d}"
            for row, gauge in enumerate(IDS):
                fell = depth(row, hour, chance.random())
                rows.writerow([f"{time}T{hour % 24:02d}:00Z", gauge, 0.0 if row == BLOCKED and hour >= BLOCKED_FROM else fell])
    ring = [[2.6, 56.3], [2.75, 56.3], [2.75, 56.4], [2.6, 56.4], [2.6, 56.3]]
    area = {"type": "Feature", "properties": {"id": "<u>A1", "name": NAMES[0]}, "geometry": {"type": "Polygon", "coordinates": [ring]}}
    (folder / "areas.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": [area]}), encoding="utf-8")
    config = folder / "run.toml"
    config.write_text('gauges = "gauges.csv"\nrain = "rain.csv"\nareas = "areas.geojson"\ncell-m = 1000\n'
                      f"title = '{NAMES[0]}'\n", encoding="utf-8")
    return config
