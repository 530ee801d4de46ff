#!/usr/bin/env python3
"""Holds an implementation against the vectors. See README.md. Standard library only.

    python3 run.py --plan 'PROGRAM {job} --plan -' --check 'PROGRAM --check {plan} {job}' [FILE...]

PLAN command: reads the job file, prints a plan document; exit status 2 where it refuses, every path of a fault
on standard error or in an {"errors": ...} document. CHECK command: reads a plan file and a job file, prints
findings, each line beginning with its code, or a JSON list of findings. Either may be left out.
"""
import argparse
import glob
import json
import os
import shlex
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
NEAR = 2e-6  # in: the tolerance of the contract, twice


def near(a, b, by=NEAR):
    return abs(a - b) <= by


def same(a, b, where, wrong, by=NEAR):
    """Numbers within `by`, all else equal."""
    if isinstance(a, bool) or isinstance(b, bool) or not isinstance(a, (int, float)) or not isinstance(b, (int, float)):
        if isinstance(a, dict) and isinstance(b, dict):
            for k in a:
                if k in b:
                    same(a[k], b[k], "%s.%s" % (where, k), wrong, by)
                else:
                    wrong.append("%s.%s is missing" % (where, k))
        elif isinstance(a, list) and isinstance(b, list):
            if len(a) != len(b):
                wrong.append("%s has %d entries, %d expected" % (where, len(b), len(a)))
            else:
                for i, (x, y) in enumerate(zip(a, b)):
                    same(x, y, "%s[%d]" % (where, i), wrong, by)
        elif a != b:
            wrong.append("%s is %r, %r expected" % (where, b, a))
    elif not near(a, b, max(by, by * abs(a))):
        wrong.append("%s is %r, %r expected" % (where, b, a))


def pick(d, keys):
    return {k: d[k] for k in keys if k in d}


def area(ring):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1])) / 2


def by_course(wall):
    """What a course shows whatever its joints: its area, and where it begins and ends."""
    out = {}
    for p in wall["pieces"]:
        c = out.setdefault(str(p["course"]) + ("f" if p["filler"] else ""), {"area": 0, "from": 1e9, "to": -1e9})
        c["area"] += area(p["outline"]) + sum(-abs(area(h)) for h in p["holes"])
        c["from"] = min([c["from"]] + [q[0] for q in p["outline"]])
        c["to"] = max([c["to"]] + [q[0] for q in p["outline"]])
    return out


def compare(want, got, has_joints):
    wrong = []
    same(pick(want["pole"], ["lines", "exposures", "settings", "starter"]), got.get("pole", {}), "pole", wrong)
    for w in want["walls"]:
        found = [g for g in got.get("walls", []) if g.get("name") == w["name"]]
        if not found:
            wrong.append("wall %s is missing" % w["name"])
            continue
        g, where = found[0], "wall " + w["name"]
        try:
            same(pick(w, ["first_course", "last_rip"]), g, where, wrong)
            same({"region_area": w["region_area"]}, g, where, wrong, 1e-6)
            if has_joints:
                same(by_course(w), by_course(g), where + " courses", wrong, 1e-3)
            else:  # no choice is left: piece by piece
                keys = ["id", "course", "filler", "outline", "holes", "length"]
                same([pick(p, keys) for p in w["pieces"]], [pick(p, keys) for p in g["pieces"]], where + ".pieces", wrong)
                same([[p["left"]["meets"], p["right"]["meets"]] for p in w["pieces"]],
                     [[p["left"]["meets"], p["right"]["meets"]] for p in g["pieces"]], where + " ends", wrong)
            span = lambda s: [s["from"], s["to"], s["where"]]
            key = lambda s: (s[0][1], s[0][0])
            same(sorted(map(span, w["starters"]), key=key), sorted(map(span, g["starters"]), key=key), where + ".starters", wrong)
        except (KeyError, TypeError, IndexError) as e:
            wrong.append("%s lacks %s" % (where, e))
    order = got.get("order", {})
    cost, bound = order.get("cost", 0), order.get("proven_minimum", 0)
    if cost < want["order"]["proven_minimum"] - 1e-6:
        wrong.append("costs %r, and nothing costs less than %r" % (cost, want["order"]["proven_minimum"]))
    if bound > want["order"]["cost"] + 1e-6:
        wrong.append("says that nothing costs less than %r, this plan costs %r" % (bound, want["order"]["cost"]))
    codes = lambda p: sorted({f["code"] for f in p.get("findings", []) if f["code"] in ALWAYS})
    if codes(want) != codes(got):
        wrong.append("findings %s, %s expected" % (codes(got), codes(want)))
    return wrong


# Findings in which no choice of joints or boards plays a part.
ALWAYS = {"no_region", "long_mitre", "ripped_start", "bare_below_first_line", "low_last_course", "infill", "thin_leg",
          "trim_too_thin", "exposure_min"}


def write(value):
    f = tempfile.NamedTemporaryFile("w", suffix=".json", delete=False)
    json.dump(value, f)
    f.close()
    return f.name


def call(command, **files):
    names = {k: write(v) for k, v in files.items()}
    words = [w.format(**names) for w in shlex.split(command)]
    try:
        return subprocess.run(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, timeout=120)
    finally:
        for n in names.values():
            os.unlink(n)


def codes_said(text):
    try:
        found = json.loads(text)
        found = found.get("findings", []) if isinstance(found, dict) else found
        return [f["code"] for f in found]
    except ValueError:
        return [line.split()[0] for line in text.splitlines() if line.strip() and not line[0].isdigit()]


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--plan")
    p.add_argument("--check")
    p.add_argument("files", nargs="*")
    a = p.parse_args()
    files = a.files or sorted(glob.glob(os.path.join(HERE, "*.json")))
    run = bad = 0
    for name in files:
        v = json.load(open(name, encoding="utf-8"))
        wrong = []
        did = False
        if "refused" in v and a.plan:
            did = True
            done = call(a.plan, job=v["job"])
            said = done.stderr + done.stdout
            if done.returncode != 2 and '"errors"' not in done.stdout:
                wrong.append("planned, with status %d" % done.returncode)
            wrong += ["names no fault at %s" % path for path in v["refused"] if path not in said]
        elif "findings" in v and a.check:
            did = True
            said = codes_said(call(a.check, job=v["job"], plan=v["plan"]).stdout)
            wrong += ["does not name %s, but %s" % (c, sorted(set(said))) for c in v["findings"] if c not in said]
        elif "plan" in v and "findings" not in v:
            if a.plan:
                did = True
                done = call(a.plan, job=v["job"])
                if done.returncode != 0:
                    wrong.append("not planned, status %d: %s" % (done.returncode, done.stderr.strip()[:300]))
                else:
                    wrong += compare(v["plan"], json.loads(done.stdout), any(w["joints"] for w in v["plan"]["walls"]))
            if a.check:
                did = True
                plan = dict(v["plan"], library="", cautions=["as kept"])
                said = codes_said(call(a.check, job=v["job"], plan=plan).stdout)
                if said:
                    wrong.append("a whole plan is said to break %s" % sorted(set(said)))
        run += did
        bad += bool(wrong)
        for w in wrong[:8]:
            print("%s: %s" % (os.path.basename(name), w))
    print("%d vectors, %d wrong" % (run, bad))
    return 1 if bad or not run else 0


sys.exit(main())
