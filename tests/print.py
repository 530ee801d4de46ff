"""Prints the demo folders' index.html with headless Chromium, and reads the pages back.
   print.py PLAN_HOUSE ROOT [CHROMIUM]
Checked: every drawing is well-formed XML (xmllint); the pages that the plan asks for are there, in order, on Letter and
on A4, each drawing whole on one page; no word is cut off; nothing is fetched or run; the ruler and the outline of every
template tile measure right on paper to 1/64 in over 6 in."""
import csv
import io
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET

program, root = sys.argv[1:3]
chromium = sys.argv[3] if len(sys.argv) > 3 else shutil.which("chromium") or shutil.which("chromium-browser")
failures = []
SVG = "{http://www.w3.org/2000/svg}"
PAPERS = {"Letter": (612.0, 792.0), "A4": (595.92, 842.88)}


def check(holds, message):
    if not holds:
        failures.append(message)


def run(command, **kwargs):
    done = subprocess.run(command, capture_output=True, **kwargs)
    if done.returncode != 0:
        sys.exit(f"{' '.join(command)}\n{done.stdout.decode(errors='replace')[-2000:]}{done.stderr.decode(errors='replace')[-2000:]}")
    return done.stdout.decode("utf-8")


def print_page(page, pdf, profile):
    command = [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--disable-dev-shm-usage",
               "--user-data-dir=" + profile, "--print-to-pdf=" + pdf, "file://" + page]
    done = subprocess.run(command, capture_output=True, timeout=300)
    if done.returncode != 0 or not os.path.exists(pdf):
        sys.exit(f"chromium cannot print {page}:\n{done.stderr.decode(errors='replace')[-2000:]}")


def pages_of(pdf):
    """Each page's size and words, a word with its box, from poppler."""
    text = run(["pdftotext", "-bbox", pdf, "-"])
    pages = []
    for width, height, body in re.findall(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', text, re.S):
        words = [(*(float(v) for v in box), word) for *box, word in re.findall(
            r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', body)]
        pages.append((float(width), float(height), words))
    return pages


def unescape(word):
    for a, b in (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&#39;", "'"), ("&amp;", "&")):
        word = word.replace(a, b)
    return word


def words_of(page):
    return [unescape(w[4]) for w in page[2]]


def matrix(text):
    """transform="..." of poppler's SVG: a matrix, or nothing."""
    found = re.match(r"matrix\(([^)]*)\)", text or "")
    return [float(v) for v in re.split(r"[ ,]+", found.group(1).strip())] if found else [1, 0, 0, 1, 0, 0]


def times(m, n):
    return [m[0] * n[0] + m[2] * n[1], m[1] * n[0] + m[3] * n[1], m[0] * n[2] + m[2] * n[3], m[1] * n[2] + m[3] * n[3],
            m[0] * n[4] + m[2] * n[5] + m[4], m[1] * n[4] + m[3] * n[5] + m[5]]


def lines_of(pdf, page, folder):
    """Straight strokes of one page in points of paper: from poppler's own drawing of it."""
    target = os.path.join(folder, "page.svg")
    run(["pdftocairo", "-svg", "-f", str(page), "-l", str(page), pdf, target])
    out = []

    def walk(element, m):
        m = times(m, matrix(element.get("transform")))
        if element.tag == SVG + "path" and element.get("d"):
            points = []
            for token, x, y in re.findall(r"([ML])\s*(-?[\d.]+)[ ,](-?[\d.]+)", element.get("d")):
                x, y = float(x), float(y)
                p = (m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5])
                if token == "L" and points:
                    out.append((points[-1], p))
                points.append(p)
        for child in element:
            if not child.tag.endswith("defs"):
                walk(child, m)

    walk(ET.parse(target).getroot(), [1, 0, 0, 1, 0, 0])
    return out


def measure_tile(pdf, page, folder, name, slopes):
    """The ruler: seven long ticks of equal spacing that span 6 in; the slope's line has the rise it should."""
    lines = lines_of(pdf, page, folder)
    level = [(a, b) for a, b in lines if abs(a[1] - b[1]) < 0.01 and abs(abs(a[0] - b[0]) - 432) < 3]
    if not level:
        failures.append(f"{name}: no ruler of about 6 in")
        return
    (x0, y), (x1, _) = min(level[0]), max(level[0])
    off = abs(x1 - x0 - 432) / 72
    check(off <= 1 / 64, f"{name}: the ruler measures {(x1 - x0) / 72:.4f} in")
    ticks = sorted({round(a[0], 2) for a, b in lines
                    if abs(a[0] - b[0]) < 0.01 and abs(abs(a[1] - b[1]) - 12) < 0.3 and abs(max(a[1], b[1]) - y) < 0.3})
    check(len(ticks) == 7, f"{name}: {len(ticks)} inch ticks on the ruler")
    for i, x in enumerate(ticks):
        check(abs(x - ticks[0] - 72 * i) / 72 <= 1 / 64, f"{name}: inch {i} of the ruler stands at {(x - ticks[0]) / 72:.4f}")
    slanted = [abs((b[1] - a[1]) / (b[0] - a[0])) for a, b in lines if abs(a[0] - b[0]) > 20 and abs(a[1] - b[1]) > 20]
    for s in slanted:
        check(any(abs(s - want) < 1e-3 or abs(s - 1 / want) < 1e-3 for want in slopes), f"{name}: a line of slope {s:.4f}")
    return off


def in_order(name, pages, wanted):
    """Each wanted text begins on a page not before the last one's; returns its page numbers."""
    at, found = 0, []
    for text in wanted:
        key = text.split()
        page = next((p for p in range(at, len(pages)) if has(pages[p], key)), None)
        if page is None:
            failures.append(f"{name}: '{text}' is not on page {at + 1} or later")
            return found
        found.append(page)
        at = page
    return found


def has(words, key):
    return any(words[i:i + len(key)] == key for i in range(len(words) - len(key) + 1))


def check_folder(demo, folder, work):
    page = os.path.join(folder, "index.html")
    with open(page, encoding="utf-8") as file:
        html = file.read()
    with open(os.path.join(folder, "plan.json"), encoding="utf-8") as file:
        plan = json.load(file)
    size = sum(os.path.getsize(os.path.join(folder, f)) for f in os.listdir(folder))
    check(size < 3_000_000, f"{demo}: the folder is {size} bytes")
    # Static: no script, nothing fetched, no name of a host but the namespace.
    check("<script" not in html and "javascript:" not in html and not re.search(r"\son\w+=", html), f"{demo}: a script")
    check(set(re.findall(r"\w+://[^\"' <]*", html)) == {"http://www.w3.org/2000/svg"}, f"{demo}: the page names a host")
    check(not re.search(r"<(img|link|iframe|object|use|image)\b|@import|url\((?!#)", html), f"{demo}: the page fetches")
    drawings = re.findall(r"<svg.*?</svg>", html, re.S)
    for f in os.listdir(folder):
        if f.endswith(".svg"):
            with open(os.path.join(folder, f), encoding="utf-8") as file:
                drawings.append(file.read())
    if shutil.which("xmllint"):
        joined = os.path.join(work, "all.xml")
        with open(joined, "w", encoding="utf-8") as file:
            file.write("<all>" + "".join(drawings) + "</all>")
        run(["xmllint", "--noout", "--huge", joined])
    # CSV: heads, one row a thing, every row as long as its head.
    rows = {}
    for f in os.listdir(folder):
        if f.endswith(".csv"):
            with open(os.path.join(folder, f), newline="", encoding="utf-8") as file:
                rows[f] = list(csv.DictReader(io.StringIO(file.read(), newline=""), restkey="more"))
            check(rows[f] or f == "findings.csv", f"{demo}: {f} is empty")
            check(all("more" not in r and None not in r.values() for r in rows[f]), f"{demo}: ragged {f}")
    pieces = [p for wall in plan["walls"] for p in wall["pieces"]]
    check(len(rows["pieces.csv"]) == len(pieces), f"{demo}: {len(rows['pieces.csv'])} rows of pieces")
    check(len(rows["cut-sheet.csv"]) == sum(len(p["cuts"]) for p in pieces), f"{demo}: rows of cuts")
    check(len(rows["nails.csv"]) == sum(len(p["nails"]) for p in pieces), f"{demo}: rows of nails")
    check(len(rows["pole.csv"]) == len(plan["pole"]["lines"]), f"{demo}: rows of the pole")
    check(len(rows["staging.csv"]) == len(plan["staging"]), f"{demo}: rows of the staging")
    check(len(rows["findings.csv"]) == len(plan["findings"]), f"{demo}: rows of the findings")
    check(len(rows["board-sheet.csv"]) == sum(len(b["cut"]) + len(b["offcuts"]) for b in plan["boards"]), f"{demo}: rows of boards")
    unit = "mm" if "length (mm)" in rows["pieces.csv"][0] else "in"
    for row, piece in zip(rows["pieces.csv"], pieces):
        inches = float(row[f"length ({unit})"]) / (25.4 if unit == "mm" else 1)
        check(row["piece"] == piece["id"] and abs(inches - piece["length"]) < 0.001, f"{demo}: pieces.csv has {row}")
    # The stack: a piece goes up with the last board that it and all before it are cut from.
    board_of = {c["piece"]: b["id"] for b in plan["boards"] for c in b["cut"] if "piece" in c}
    ready = 0
    for row in rows["pieces.csv"]:
        ready = max(ready, board_of[row["piece"]])
        check(row["board"] == str(board_of[row["piece"]]) and row["goes up after board"] == str(ready),
              f"{demo}: {row['piece']} goes up after {row['goes up after board']}, not {ready}")
    if not chromium:
        return
    tiles = [(float(w), t) for w, t in re.findall(
        r'<svg[^>]* width="([\d.]+)in"[^>]*>\s*<title>(Rake template[^<]*)</title>', html)]
    slopes = [rise / run for rise, run in {(t["rise"], t["run"]) for wall in plan["walls"] for t in wall["templates"]}]
    elevations = re.findall(r'<svg[^>]* width="([\d.]+)in" height="([\d.]+)in"[^>]*>\s*<title>Elevation of wall ([^<]*)</title>', html)
    poles = len(re.findall(r"<title>Story pole</title>", html))
    for paper, (width, height) in PAPERS.items():
        copy = os.path.join(work, paper + ".html")
        with open(copy, "w", encoding="utf-8") as file:
            file.write(html.replace("@page{", "@page{size:" + paper + ";", 1).replace("size:landscape", f"size:{paper} landscape", 1))
        pdf = os.path.join(work, paper + ".pdf")
        print_page(copy, pdf, os.path.join(work, "profile"))
        pages = pages_of(pdf)
        name = f"{demo} on {paper}"
        words = [words_of(p) for p in pages]
        # Paper: turned for wide elevations alone; no page empty; no word beyond the margins that printers keep.
        for n, (w, h, of) in enumerate(pages):
            check(min(abs(w - width) + abs(h - height), abs(h - width) + abs(w - height)) < 2, f"{name}: page {n + 1} is {w} x {h}")
            check(bool(of), f"{name}: page {n + 1} is empty")
            for x0, y0, x1, y1, word in of:
                check(x0 > 30 and y0 > 30 and x1 < w - 30 and y1 < h - 30, f"{name}: page {n + 1}: '{word}' at {x0} {y0} is cut off")
        turned = [n for n, (w, h, _) in enumerate(pages) if w > h]
        check(len(turned) == sum(float(w) > float(h) for w, h, _ in elevations), f"{name}: {len(turned)} pages turned")
        # What must stand where: every sheet's words in the order of printing.
        wanted = ["Order"] + ["Story pole"] * min(1, poles) + ["The lean of a lapped board, half size"]
        wanted += [f"Wall {wall}, seen from outside" for _, _, wall in elevations]
        wanted += ["Cut cards, in hanging order"] + [p["id"] for p in pieces] + ["Boards, in cutting order"]
        wanted += [f"Board {b['id']}" for b in plan["boards"]] + ["Cutting and hanging, side by side", "Rake templates"]
        wanted += [f"{title}. Page" for _, title in tiles]
        wanted += ["Staging, edges and stations", "Findings", "Cautions"]
        found = in_order(name, words, wanted)
        if len(found) != len(wanted):
            continue
        at = dict(zip(wanted, found))
        # A sheet has its page to itself.
        for _, _, wall in elevations:
            check(sum(has(w, f"Wall {wall}, seen from outside".split()) for w in words) == 1, f"{name}: wall {wall} is on two pages")
        tile_pages = [n for n, w in enumerate(words) if has(w, "Check the print:".split())]
        check(len(tile_pages) == len(tiles), f"{name}: {len(tile_pages)} template pages, not {len(tiles)}")
        # A card is whole on its page: the last words of the card before the next one's title.
        for piece in pieces:
            n = at[piece["id"]]
            check(has(words[n], ["FACE", "UP"]) and has(words[n], ["scale."]), f"{name}: card {piece['id']} is torn")
        first, last = at["Cut cards, in hanging order"], at["Boards, in cutting order"]
        cards = sum(w.count("FACE") for w in words[first:last])
        check(cards == len(pieces), f"{name}: {cards} cards, not {len(pieces)}")
        check(all(w.count("FACE") == w.count("scale.") for w in words[first:last]), f"{name}: a card is torn over two pages")
        fixed = 1 + poles + 1 + len(elevations) + len(tiles)
        rest = len(pages) - fixed
        check(len(pages) == found[-1] + 1 and rest > 0, f"{name}: {len(pages)} pages; the cautions are on page {found[-1] + 1}")
        worst = 0
        for n in tile_pages:
            worst = max(worst, measure_tile(pdf, n + 1, work, f"{name}, page {n + 1}", slopes) or 0)
        print(f"{name}: {len(pages)} pages, {cards} cards, {len(tiles)} template pages, rulers off by {worst:.5f} in at most")


with tempfile.TemporaryDirectory() as work:
    for demo in ("cottage", "tower"):
        folder = os.path.join(work, demo)
        summary = run([program, os.path.join(root, "examples", demo + ".json"), "--out", folder])
        check(summary.count("\n") < 25, f"{demo}: the summary has {summary.count(chr(10))} lines")
        check_folder(demo, folder, work)
if not chromium:
    print("chromium is missing: nothing was printed (install Debian's chromium)")
for tool in ("pdftotext", "pdftocairo"):
    if chromium and not shutil.which(tool):
        sys.exit(f"{tool} is missing: install poppler-utils")
print("\n".join(failures[:40]) or "both demo folders hold")
sys.exit(1 if failures else 0)
