#!/usr/bin/env python3
"""Checks plans against their jobs by general polygon operations, and by none of the library's stages.

    check_plan.py JOB.json PLAN.json
    check_plan.py --program PLAN_HOUSE JOB.json...    plans each job first
    check_plan.py --program PLAN_HOUSE --random RANDOM_JOB FIRST COUNT [JOB.json...]    and those that RANDOM_JOB prints

Needs shapely (1.8 or 2). Region from strips and grown openings by difference; pieces in their visible bands cover
it once; laps; joints on studs, in the window, staggered; every piece cut once, apart by the kerf, inside its
board; every nail inside its piece by its distances. Relaxations that the plan declares are accepted.
"""
import json
import math
import re
import subprocess
import sys
import tempfile

from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import polygonize, unary_union

TOL = 1e-6
DEFAULT = {"base": (0, 0), "corner": (3.5, 0.125), "top": (0, 0.125), "rake": (5.5, 0.125), "roof": (0, 2), "wall": (0, 0.125)}


def length(v, unit="in"):
    if isinstance(v, (int, float)):
        return v / 25.4 if unit == "mm" else float(v)
    t = v.strip()
    m = re.fullmatch(r"([+-]?[\d.]+)\s*mm", t)
    if m:
        return float(m.group(1)) / 25.4
    sign = -1 if t.startswith("-") else 1
    t = t.lstrip("+-")
    feet = 0.0
    m = re.match(r"([\d.]+)\s*('|\u2032|\u2019|ft)\s*-?\s*", t)
    if m:
        feet, t = float(m.group(1)), t[m.end():]
    t = re.sub(r"\s*(\"|\u2033|\u201d|in)$", "", t)
    inches = 0.0
    for part in re.split(r"[\s-]+", t):
        if "/" in part:
            a, b = part.split("/")
            inches += float(a) / float(b)
        elif part:
            inches += float(part)
    return sign * (feet * 12 + inches)


class Job:
    def __init__(self, doc):
        self.doc = doc
        self.unit = doc.get("unit", "in")
        b = doc["board"]
        self.width = self.len(b["width"])
        self.lengths = [self.len(x) for x in b["lengths"]]
        self.min_lap = self.of(b, "min_lap", 1.25)
        self.offcuts = [self.len(o["length"]) for o in b.get("offcuts", [])]
        j = doc.get("joints", {})
        self.gap, self.window = self.of(j, "gap", 0), self.of(j, "window", 0.0625)
        self.stagger = self.of(j, "stagger", 32)
        self.kerf = self.of(doc.get("cutting", {}), "kerf", 0.125)
        f = doc.get("fasteners", {})
        self.end_edge, self.edge = self.of(f, "end_edge", 0.375), self.of(f, "edge", 0.75)
        self.min_leg = self.of(doc.get("cutting", {}), "min_leg", 2)
        self.division = self.of(doc.get("courses", {}), "division", 0.0625)
        self.built = len(doc.get("courses", {}).get("lines", []))

    def len(self, v):
        return length(v, self.unit)

    def of(self, group, key, default):
        return self.len(group[key]) if key in group else default


def strip_quads(ring, depth):
    """What the sides of a counter-clockwise ring take on their left; ends carried on to the mitre."""
    n = len(ring)
    u = []
    for i in range(n):
        (x0, y0), (x1, y1) = ring[i], ring[(i + 1) % n]
        l = math.hypot(x1 - x0, y1 - y0)
        u.append(((x1 - x0) / l, (y1 - y0) / l))
    quads = []
    for i in range(n):
        if depth[i] <= 0:
            continue
        h, j = (i - 1) % n, (i + 1) % n
        nx, ny = -u[i][1] * depth[i], u[i][0] * depth[i]

        def reach(a, b, d_here, d_there):
            turn = u[a][0] * u[b][1] - u[a][1] * u[b][0]
            if abs(turn) < 1e-9:
                return 0.0
            return (d_here * (u[a][0] * u[b][0] + u[a][1] * u[b][1]) - d_there) / turn

        on, back = reach(i, j, depth[i], depth[j]), reach(h, i, depth[i], depth[h])
        p, q = ring[i], ring[j]
        quads.append(filled([p, q, (q[0] + nx + u[i][0] * on, q[1] + ny + u[i][1] * on),
                             (p[0] + nx - u[i][0] * back, p[1] + ny - u[i][1] * back)]))
    return quads


def filled(ring):
    """All that a ring runs round, where mitres cross before their depth both parts of it."""
    shape = Polygon(ring)
    if shape.is_valid:
        return shape
    return unary_union(list(polygonize(unary_union(LineString(ring + ring[:1])))))


def ccw(ring, tags):
    a = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(ring, ring[1:] + ring[:1]))
    if a >= 0:
        return ring, tags
    n = len(ring)
    return ring[::-1], [tags[(2 * n - 2 - i) % n] for i in range(n)]


class Wall:
    def __init__(self, job, doc, lines, plan):
        self.name = doc["name"]
        L = job.len
        ring = [(L(x), L(y)) for x, y in doc["outline"]]
        if ring[0] == ring[-1]:
            ring.pop()
        kinds, depth = [], []
        for e in doc["edges"][:len(ring)]:
            e = {"kind": e} if isinstance(e, str) else e
            trim, gap = DEFAULT[e["kind"]]
            kinds.append(e["kind"])
            depth.append((L(e["trim"]) if "trim" in e else trim) + (L(e["gap"]) if "gap" in e else gap))
        ring, tags = ccw(ring, list(zip(kinds, depth)))
        kinds, depth = [t[0] for t in tags], [t[1] for t in tags]
        start = [L(v) for v in doc["start"]] if "start" in doc else None
        line = lines[plan["first_course"]] if lines else 0
        followed = []
        moved = list(ring)
        for i, kind in enumerate(kinds):
            p, q = ring[i], ring[(i + 1) % len(ring)]
            if kind != "base" or p[1] != q[1]:
                continue
            low, high = start if start else (line - job.division, line)
            y = p[1] + depth[i]
            if low - TOL <= y <= high + TOL or (start and low - TOL <= p[1] <= high + TOL):
                to = line - depth[i] if low - TOL <= y <= high + TOL else line
                if plan.get("ripped"):
                    continue
                followed.append((p[1], to))
                n = len(ring)
                # Its corners slide along the neighbours that stay: a roof's line stays where it is.
                for at, beyond in ((i, (i - 1) % n), ((i + 1) % n, (i + 2) % n)):
                    (x0, y0), (x1, y1) = ring[at], ring[beyond]
                    x = x0 if y1 == y0 else x0 + (x1 - x0) * (to - y0) / (y1 - y0)
                    moved[at] = (x, to)
        taken = strip_quads(moved, depth)
        self.openings = []
        for o in doc.get("openings", []):
            if "outline" in o:
                r = [(L(x), L(y)) for x, y in o["outline"]]
                r = r[:-1] if r[0] == r[-1] else r
                trim, gap = L(o.get("trim", 3.5)), o.get("gap")
                r, _ = ccw(r, [0] * len(r))
                d = []
                for i in range(len(r)):
                    dx, dy = r[(i + 1) % len(r)][0] - r[i][0], r[(i + 1) % len(r)][1] - r[i][1]
                    head = -dx >= abs(dy) * (1 - 1e-12) and dx < 0
                    d.append(trim + (L(gap) if gap is not None else 0.25 if head else 0.125))
            else:
                x, y = (L(v) for v in o["at"])
                w, h = (L(v) for v in o["size"])
                r = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
                sides = ("sill", "right", "head", "left")
                t, g = o.get("trim", 3.5), o.get("gap", {})
                one = lambda v, s, default: L(v[s]) if isinstance(v, dict) and s in v else default if isinstance(v, dict) else L(v)
                d = [one(t, s, 3.5) + one(g, s, 0.25 if s == "head" else 0.125) for s in sides]
                for at, to in followed:
                    if abs(y - at) <= TOL:
                        r[0], r[1] = (r[0][0], to), (r[1][0], to)
            grown = unary_union([Polygon(r)] + strip_quads(r[::-1], [d[(2 * len(r) - 2 - i) % len(r)] for i in range(len(r))]))
            self.openings.append(grown)
        self.region = Polygon(moved).difference(unary_union(taken + self.openings))
        f = doc.get("framing", {})
        xs = [p[0] for p in ring]
        spacing, first = job.of(f, "spacing", 16), job.of(f, "first", 0.75)
        width = job.of(f, "stud_width", 1.5)
        self.studs = [(L(x), width) for x in f.get("studs", [])]
        if spacing > 0:
            n = 0
            while first + n * spacing <= max(xs) + TOL:
                self.studs.append((first + n * spacing, width))
                n += 1
            self.studs += [(min(xs) + width / 2, width), (max(xs) - width / 2, width)]
        if f.get("around_openings", True):
            w = job.of(f, "opening_stud", 3.0)
            for o in doc.get("openings", []):
                if "at" in o:
                    self.studs += [(L(o["at"][0]) - w / 2, w), (L(o["at"][0]) + L(o["size"][0]) + w / 2, w)]
        self.members = [[L(v) for v in m] for m in f.get("members", [])]


def check(job_doc, plan):
    job, wrong = Job(job_doc), []
    lines = plan["pole"]["lines"]
    declared = lambda code, wall, course=None: any(
        f["code"] == code and f.get("wall", wall) == wall and (course is None or f.get("course", course) == course)
        for f in plan["findings"])
    for k in range(job.built, len(lines) - 1):
        lap = job.width - (lines[k + 1] - lines[k])
        if lap < job.min_lap - TOL:
            wrong.append("course %d is lapped by %.4f only" % (k, lap))
    shapes, known = {}, {}
    for doc in job_doc["walls"]:
        found = [w for w in plan["walls"] if w["name"] == doc["name"]]
        if not found:
            wrong.append("wall %s is missing" % doc["name"])
            continue
        w = found[0]
        w["ripped"] = declared("ripped_start", w["name"])
        wall = Wall(job, doc, lines, w)
        if wall.region.is_empty:
            continue
        first = max(w["first_course"], job.built)
        top = wall.region.bounds[3]
        last = max([k for k in range(len(lines)) if lines[k] < top - TOL], default=-1)
        far = 1e6
        region = wall.region.intersection(box(-far, lines[first], far, far))
        if abs(region.area - w["region_area"]) > 1e-6 * region.area + 1e-6:
            wrong.append("%s: region of %.6f, the plan says %.6f" % (w["name"], region.area, w["region_area"]))
        shown = []
        for p in w["pieces"]:
            shape = Polygon(p["outline"], p["holes"])
            shapes[p["id"]] = (shape, p, lines[p["course"]])
            known[p["id"]] = p
            if not shape.is_valid:
                wrong.append("%s is no simple polygon" % p["id"])
                shape = shape.buffer(0)
            k = p["course"]
            high = top + 1 if k >= last else lines[k + 1]
            part = shape.intersection(box(-far, lines[k], far, high))
            shown.append(part)
            out = shape.difference(wall.region.buffer(2e-6, join_style=2)).area
            if out > 1e-4:
                wrong.append("%s: %.6f square inches outside the region" % (p["id"], out))
            if shape.bounds[1] < lines[k] - TOL or shape.bounds[3] > max(lines[k] + job.width, top if k >= last else 0) + TOL:
                wrong.append("%s leaves its course's band" % p["id"])
        covered = unary_union(shown)
        twice = sum(s.area for s in shown) - covered.area
        gaps = sum(job.gap * job.width for _ in w["joints"])
        bare = region.area - covered.area
        if declared("infill", w["name"]):
            # What is too narrow to nail is said, not laid.
            rest = region.difference(covered.buffer(1e-6, join_style=2))
            parts = []
            for k in range(first, last + 1):  # told course by course
                band = rest.intersection(box(-far, lines[k], far, top if k >= last else lines[k + 1]))
                parts += [g for g in getattr(band, "geoms", [band]) if g.area > 1e-4]
            bare -= sum(g.area for g in parts if g.bounds[2] - g.bounds[0] < 2 * job.end_edge)
        if twice > 1e-6 * region.area:
            wrong.append("%s: %.6f square inches are covered twice" % (w["name"], twice))
        if bare > gaps + 1e-6 * region.area + 1e-3:
            wrong.append("%s: %.6f square inches are bare" % (w["name"], bare))
        for p, nails in ((p, p["nails"]) for p in w["pieces"]):
            shape = shapes[p["id"]][0]
            ends, level = [], []
            for ring in [p["outline"]] + p["holes"]:
                for a, b in zip(ring, ring[1:] + ring[:1]):
                    (level if abs(a[1] - b[1]) <= TOL else ends).append(LineString([a, b]))
            height = shape.bounds[3] - shape.bounds[1]
            low = p["filler"] or height < 2 * job.edge - TOL
            if not nails and not any(declared(c, w["name"], p["course"]) for c in ("nail_end", "no_framing_at_end")):
                wrong.append("%s has no nail" % p["id"])
            for nail in nails:
                at = Point(nail["at"])
                if not shape.contains(at):
                    wrong.append("a nail of %s lies outside it" % p["id"])
                    continue
                if min(e.distance(at) for e in ends) < job.end_edge - 4 * TOL:
                    wrong.append("a nail of %s stands too near to an end" % p["id"])
                upright = LineString([(nail["at"][0], shape.bounds[1] - 1), (nail["at"][0], shape.bounds[3] + 1)])
                here = max((g.length for g in getattr(shape.intersection(upright), "geoms", [shape.intersection(upright)])))
                if height < job.min_leg - TOL and here < 2 * job.edge:
                    continue  # where a low piece is too low for its edges it is nailed like a filler
                if not low and min((e.distance(at) for e in level), default=job.edge) < job.edge - 4 * TOL:
                    wrong.append("a nail of %s stands too near to a long edge" % p["id"])
                x, y = nail["at"]
                in_stud = any(abs(x - c) <= s / 2 + 4 * TOL for c, s in wall.studs)
                in_member = any(m[0] - TOL <= x <= m[2] + TOL and m[1] - TOL <= y <= m[3] + TOL for m in wall.members)
                if {"stud": not in_stud, "member": not in_member, "sheathing": in_stud or in_member}[nail["into"]]:
                    wrong.append("a nail of %s at %.3f is not in what the plan says" % (p["id"], x))
        for j in w["joints"]:
            near = [c for c, s in wall.studs if abs(c - j["stud"]) <= 1e-5]
            if not near:
                wrong.append("%s: no stud stands at %.4f" % (w["name"], j["stud"]))
            if abs(j["x"] - j["stud"]) > job.window + 2 * TOL and not declared("joint_stud", w["name"], j["course"]):
                wrong.append("%s: the joint at %.4f is off its stud" % (w["name"], j["x"]))
            for i in w["joints"]:
                if i["course"] == j["course"] - 1 and abs(i["stud"] - j["stud"]) < job.stagger - 4 * TOL and not declared(
                        "joint_stagger", w["name"], j["course"]):
                    wrong.append("%s: joints of courses %d and %d are not staggered" % (w["name"], i["course"], j["course"]))
            ends = [known[q["id"]] for q in w["pieces"] if q["course"] == j["course"]]
            left = [q for q in ends if abs(max(v[0] for v in q["outline"]) - (j["x"] - job.gap / 2)) < 1e-5]
            right = [q for q in ends if abs(min(v[0] for v in q["outline"]) - (j["x"] + job.gap / 2)) < 1e-5]
            if not left or not right:
                wrong.append("%s: no two pieces meet at the joint at %.4f" % (w["name"], j["x"]))
    cut = {}
    strips = {}
    for board in plan["boards"]:
        whole = box(0, 0, board["length"], job.width)
        if not any(abs(board["length"] - l) < 1e-5 for l in job.lengths + job.offcuts):
            wrong.append("board %s is no stock length" % board["id"])
        things = []
        for c in board["cut"]:
            (x, y) = c["at"]
            if "starter" in c:
                things.append((c["starter"], box(x, y, x + c["size"][0], y + c["size"][1])))
                strips[c["starter"]] = strips.get(c["starter"], 0) + c["size"][0]
                continue
            if c["piece"] not in shapes:
                wrong.append("board %s: there is no piece %s" % (board["id"], c["piece"]))
                continue
            shape, p, line = shapes[c["piece"]]
            cut[c["piece"]] = cut.get(c["piece"], 0) + 1
            x0, l = shape.bounds[0], shape.bounds[2] - shape.bounds[0]
            if l > board["length"] + TOL:
                wrong.append("%s is longer than its board" % c["piece"])
            put = lambda v: ((l - (v[0] - x0) if c["turned"] else v[0] - x0) + x,
                             (job.width - (v[1] - line) if c["turned"] else v[1] - line) + y)
            placed = Polygon([put(v) for v in p["outline"]], [[put(v) for v in h] for h in p["holes"]])
            things.append((c["piece"], placed))
            for side, end in (("left", p["left"]), ("right", p["right"])):
                if end["factory"]:
                    at = x if (side == "left") != c["turned"] else x + l
                    if min(abs(at), abs(at - board["length"])) > 1e-5:
                        wrong.append("a factory end of %s lies inside its board" % c["piece"])
        for i, (name, a) in enumerate(things):
            if a.difference(whole.buffer(4 * TOL, join_style=2)).area > 1e-6:
                wrong.append("board %s: %s reaches out of it" % (board["id"], name))
            for other, b in things[:i]:
                if a.intersection(b).area > 1e-5 or a.distance(b) < job.kerf - 1e-5:
                    wrong.append("board %s: %s and %s lie nearer than the kerf" % (board["id"], name, other))
    for i in shapes:
        if cut.get(i, 0) != 1:
            wrong.append("%s is cut %d times" % (i, cut.get(i, 0)))
    for w in plan["walls"]:
        for s in w["starters"]:
            l = math.hypot(s["to"][0] - s["from"][0], s["to"][1] - s["from"][1])
            if abs(strips.get(s["id"], 0) - l) > 1e-4:
                wrong.append("starter %s is cut %.4f long, it is %.4f" % (s["id"], strips.get(s["id"], 0), l))
    if abs(sum(b["price"] for b in plan["boards"]) - plan["order"]["cost"]) > 1e-6:
        wrong.append("the order does not cost what its boards cost")
    if plan["order"]["proven_minimum"] > plan["order"]["cost"] + 1e-6:
        wrong.append("the proven minimum is above the cost")
    return wrong


def main():
    args = sys.argv[1:]
    pairs = []
    if args[:1] == ["--program"]:
        paths, folder = args[2:], tempfile.TemporaryDirectory()
        if paths[:1] == ["--random"]:
            program, first, count = paths[1], int(paths[2]), int(paths[3])
            paths = paths[4:]
            for seed in range(first, first + count):
                paths.append("%s/house-%d.json" % (folder.name, seed))
                with open(paths[-1], "wb") as f:
                    f.write(subprocess.run([program, str(seed)], stdout=subprocess.PIPE, check=True).stdout)
        for path in paths:
            done = subprocess.run([args[1], path, "--plan", "-"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
            if done.returncode == 2:
                print(path, "is refused:", done.stderr.decode().strip().splitlines()[:1])
                continue
            if done.returncode != 0:
                sys.exit("%s: the program failed with %d" % (path, done.returncode))
            pairs.append((path, json.load(open(path)), json.loads(done.stdout)))
    else:
        pairs.append((args[0], json.load(open(args[0])), json.load(open(args[1]))))
    bad = 0
    for path, job, plan in pairs:
        wrong = check(job, plan)
        bad += len(wrong)
        for w in wrong[:20]:
            print("%s: %s" % (path, w))
        print("%s: %d pieces, %d boards, %d wrong" % (path, sum(len(w["pieces"]) for w in plan["walls"]), len(plan["boards"]), len(wrong)))
    return 1 if bad or not pairs else 0


if __name__ == "__main__":
    sys.exit(main())
