#!/usr/bin/env python3
"""Writes the vectors again: python3 make.py PATH/TO/plan_house

Jobs, notes and damage are here; plans come from the program. A change in a plan is a change in what the
library promises: read it before it is kept. Standard library only.
"""
import copy
import json
import os
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))


def wall(name="w", width=100, height=34, **more):
    w = {"name": name, "outline": [[0, 0], [width, 0], [width, height], [0, height]],
         "edges": ["base", "corner", "top", "corner"]}
    w.update(more)
    return w


def shape(outline, edges, **more):
    return dict({"name": "w", "outline": outline, "edges": edges}, **more)


def job(*walls, board=None, **more):
    j = {"lapwright": 1, "board": {"width": 8.25, "lengths": [144]}, "walls": list(walls)}
    j["board"].update(board or {})
    j.update(more)
    return j


def window(at, size, **more):
    return dict({"name": "W", "at": at, "size": size}, **more)


FULL = {"mode": "full"}
EVEN = {"mode": "even"}

# name, note, job
PLANS = [
    ("pole-full", "Every exposure the greatest; the last course takes what is left: 33.875 = 4 x 7 + 5.875.", job(wall(), courses=FULL)),
    ("pole-even", "The fewest courses, 5, and their heights within one division, wider ones first: 33.875 is 542 sixteenths: 109 109 108 108 108.", job(wall(), courses=EVEN)),
    ("pole-fitted-plain", "No marks: fewest courses, one gauge, and of the exposures that do it the greatest from below: 7.", job(wall())),
    ("pole-fitted-sill", "A window's sill and head: the lines keep clear of bad strips at both.", job(wall(height=62, openings=[window([30, 20], [40, 24])]))),
    ("pole-fitted-shift", "A start of an inch, and a sill that a line of the greatest exposure lies on: a strip of 0, and the first line stays at the base.", job(wall(height=62, start=[-0.5, 0.5], openings=[window([30, 17.625], [40, 24])]))),
    ("pole-low-wall-even", "On a low wall even heights fall below the least exposure: finding exposure_min.", job(wall(height=8), courses=EVEN)),
    ("pole-single-line", "One course, and no gauge setting.", job(wall(height=6))),
    ("pole-two-walls", "Two walls share a pole; the second, with no start, begins with a ripped course: ripped_start.", job(wall("a"), wall("b", outline=[[0, 10], [80, 10], [80, 34], [0, 34]]))),
    ("pole-two-starts", "Two walls with starts of their own, a line in each.", job(wall("a", start=[-0.5, 0.5]), wall("b", outline=[[0, 13.5], [80, 13.5], [80, 34], [0, 34]], start=[13, 14.5]))),
    ("pole-millimetres", "A grid of whole millimetres: lines are multiples of 1/25.4 in.", {"lapwright": 1, "unit": "mm", "board": {"width": 210, "lengths": [3600], "min_lap": 32}, "courses": {"division": 1, "max_step": 3, "max_exposure": 178, "min_exposure": 150, "min_strip": 38}, "walls": [{"name": "w", "outline": [[0, 0], [2400, 0], [2400, 800], [0, 800]], "edges": ["base", "corner", "top", "corner"]}]}),
    ("pole-as-built", "Two courses are nailed already, off the grid: they stand in the pole, nothing of them is planned.", job(wall(), courses={"lines": [0.03, 6.9]})),
    ("pole-as-built-full", "As built and full: the seam takes the highest grid line that the greatest exposure reaches.", job(wall(), courses={"mode": "full", "lines": [0.03, 6.9]})),
    ("pole-stepped-base", "A base that steps up: the upper part is a mark for the lines, the lower one follows the first.", job(shape([[0, 0], [50, 0], [50, 10], [100, 10], [100, 34], [0, 34]], ["base", "base", "base", "corner", "top", "corner"]))),
    ("base-follows-up", "The base at 1/4 lies in the start and follows the only line in it, up to 1/2.", job(shape([[0, 0.25], [100, 0.25], [100, 34], [0, 34]], ["base", "corner", "top", "corner"], start=[0.25, 0.5]), courses={"division": 0.5, "max_step": 0.5, "mode": "full"})),
    ("length-strings", "Lengths as a carpenter writes them.", job(shape([[0, 0], ["8' 4\"", 0], ["100", "34"], [0, "2 ft 10 in"]], ["base", "corner", "top", "corner"]), board={"width": "8-1/4", "lengths": ["12'"]})),
    ("wall-reversed", "The outline clockwise: edges[i] still belongs to the edge from point i.", job(shape([[0, 34], [100, 34], [100, 0], [0, 0]], ["top", "corner", "base", "corner"]))),
    ("trim-and-gap", "Trim and gap edge by edge.", job(shape([[0, 0], [100, 0], [100, 34], [0, 34]], ["base", {"kind": "corner", "trim": 5.5, "gap": 0}, {"kind": "top", "trim": 1, "gap": 0.25}, {"kind": "wall"}]))),
    ("gable", "Two rakes, and templates for both hands.", job(shape([[0, 0], [100, 0], [100, 20], [50, 45], [0, 20]], ["base", "corner", "rake", "rake", "corner"]))),
    ("shed", "One rake: every piece a length of its own, the step is e run / rise.", job(shape([[0, 0], [96, 0], [96, 52], [0, 28]], ["base", "corner", "rake", "corner"]))),
    ("sloped-base", "Ground that slopes: the first course is cut along it, the starter follows it. Its lowest corner lies a hair under the first grid line: bare_below_first_line.", job(shape([[0, 6], [100, 0], [100, 34], [0, 34]], ["base", "corner", "top", "corner"]))),
    ("lower-roof", "A lower roof meets the wall: two inches clear, square to the slope, and a starter along it.", job(shape([[0, 0], [40, 0], [100, 25], [100, 50], [0, 50]], ["base", "roof", "corner", "top", "corner"]))),
    ("stepped-top", "A top that steps: the board below the lower one is ripped.", job(shape([[0, 0], [100, 0], [100, 50], [50, 50], [50, 34], [0, 34]], ["base", "corner", "top", "corner", "top", "corner"]))),
    ("window-splits", "A window splits the courses that it passes through; the strip under its sill is a filler, the course over its head is notched.", job(wall(height=48, openings=[window([30, 12], [40, 20])]))),
    ("window-in-one-band", "A small opening wholly inside one band leaves a hole: one cut, a closed path, made with a saw.", job(wall(openings=[window([40, 10.5], [2, 2], trim=0.25, gap=0.125)]), courses=FULL)),
    ("window-sill-strip", "The strip under a sill lower than min_leg is split off: a filler.", job(wall(height=48, openings=[window([30, 12.0], [40, 20])]), courses=FULL)),
    ("door", "A door on the base: the base splits, so does the starter.", job(wall(height=48, openings=[window([40, 0], [30, 30], trim={"sill": 0}, gap={"sill": 0})]))),
    ("door-follows", "The base follows the first line down, and the door's sill goes with it.", job(wall(height=48, start=[-0.5, -0.5], openings=[window([40, 0], [30, 30], trim={"sill": 0}, gap={"sill": 0})]))),
    ("vent-diamond", "A diamond vent: its tips are marks, its slopes cuts; no starter on an opening's slopes.", job(wall(height=48, openings=[{"name": "V", "outline": [[50, 12], [62, 24], [50, 36], [38, 24]], "trim": 2.5, "gap": 0.125}]))),
    ("vent-octagon", "An octagon: level head and sill, four slopes.", job(wall(height=48, openings=[{"name": "V", "outline": [[46, 14], [54, 14], [60, 20], [60, 28], [54, 34], [46, 34], [40, 28], [40, 20]], "trim": 2.5, "gap": 0.125}]))),
    ("openings-touch", "Two windows whose trims touch: nothing is left between them.", job(wall(height=48, openings=[window([20, 12], [20, 20], name="L"), window([47, 12], [20, 20], name="R")]))),
    ("openings-near", "Two windows so near that what is left between them is too narrow for a nail: infill.", job(wall(height=48, openings=[window([20, 12], [20, 20], name="L"), window([47.75, 12], [20, 20], name="R")]))),
    ("thin-leg", "Two windows an inch and a half apart over their trims: an upright leg narrower than min_leg, in a wider run.", job(wall(height=48, openings=[window([20, 13.125], [20, 12], name="L"), window([48.75, 13.125], [20, 12], name="R")]), courses=FULL)),
    ("opening-past-trim", "A window whose trim passes the corner's: no piece on that side.", job(wall(height=48, openings=[window([4, 12], [30, 20])]))),
    ("low-last-course", "The top leaves less than min_leg for the last course: low_last_course.", job(wall(height=29.5), courses=FULL)),
    ("no-region", "Trim takes all of it: no_region, and nothing to lay.", job(wall(width=7))),
    ("long-mitre", "A narrow pointed opening: the mitre of its trims reaches further than four times their depth.", job(wall(height=60, openings=[{"name": "V", "outline": [[48, 12], [52, 12], [50, 36]], "trim": 2, "gap": 0.125}]))),
    ("bare-below", "The start begins above the wall's lowest part: what lies below is left bare, and said so.", job(shape([[0, 0], [50, 0], [50, 7], [100, 7], [100, 41], [0, 41]], ["base", "base", "base", "corner", "top", "corner"], start=[6.5, 7.5]))),
    ("joint-one", "A run longer than a board: one joint on a stud, factory ends there, staggered from course to course.", job(wall(width=200, height=20))),
    ("joint-two", "Two joints a course: the board between them whole, or on the grid.", job(wall(width=340, height=14))),
    ("joint-gap", "A gap of an eighth: the joint's x is its middle.", job(wall(width=200, height=14), joints={"gap": 0.125})),
    ("joint-no-factory", "Factory ends not asked for.", job(wall(width=200, height=14), joints={"factory_ends": False})),
    ("joint-as-built", "A joint in a nailed course keeps the next course's away from its stud.", job(wall(width=200, height=28), courses={"lines": [0, 7], "joints_built": [["w", 1, 96.75]]})),
    ("joint-listed-studs", "Studs listed one by one, no spacing: a joint can stand on these alone.", job(wall(width=200, height=14, framing={"spacing": 0, "studs": [70, 102, 134]}))),
    ("joint-stagger-relaxed", "Too few studs to stagger by 32: relaxed, with a finding at its place.", job(wall(width=200, height=21, framing={"spacing": 0, "studs": [90, 110]}))),
    ("boards-two-lengths", "Two stock lengths with prices: pieces that fit the shorter one come from it.", job(wall(width=103), board={"lengths": [96, 144], "prices": [1, 1.4]})),
    ("boards-offcut-on-hand", "An offcut on hand costs nothing and is used first.", job(wall(width=60, height=14), board={"offcuts": [{"length": 61, "factory": [True, False]}]})),
    ("boards-not-turnable", "A board that may not be turned: no piece is.", job(shape([[0, 0], [96, 0], [96, 52], [0, 28]], ["base", "corner", "rake", "corner"]), board={"turnable": False})),
    ("boards-kerf", "Two pieces and a quarter-inch kerf fit one board; beside the rip a kerf leaves too little for the starter, which takes another.", job(wall(width=78.5, height=14), cutting={"kerf": 0.25})),
    ("boards-starter-from-rip", "The ripped last course leaves a strip for the starter.", job(wall(width=100, height=18), courses=FULL)),
    ("nails-no-sheathing", "Sheathing that holds no nails: ends away from studs want backing.", job(wall(width=90, height=14, framing={"spacing": 24, "first": 12}), sheathing={"holds_nails": False})),
    ("nails-members", "Plates and a rim hold nails too.", job(wall(height=14, framing={"members": [[0, 0, 100, 1.5], [0, 12.5, 100, 14]]}))),
    ("nails-spacing", "Eight inches at most: nails in the sheathing between studs, and the share in framing yields.", job(wall(height=14), fasteners={"max_spacing": 8})),
    ("nails-opening-studs", "Pairs of studs beside a window.", job(wall(height=48, openings=[window([32, 12], [36, 20])], framing={"opening_stud": 3}))),
    ("nails-wide-studs", "Studs of 3 1/2 in 24 apart.", job(wall(height=14, framing={"spacing": 24, "stud_width": 3.5}))),
    ("trim-too-thin", "Trim that is not proud of the siding: trim_too_thin.", job(wall(height=14), trim={"thickness": 0.5})),
    ("trim-thick", "Trim that is.", job(wall(height=14), trim={"thickness": 1.25})),
    ("staging-overload", "A lift heavier than its rated bay: staging.", job(wall(width=140, height=62), staging={"lift": 60, "rating": 2, "bay": [60, 60]})),
    ("allowance", "Breakage: a tenth more boards, rounded up, printed apart.", job(wall(height=34), allowance=0.1)),
    ("starter-wider", "A starter of 1 1/2: the first board leans by it.", job(wall(height=14), starter={"width": 1.5})),
    ("wide-boards", "Boards of 12 in with the lap of 1 1/4.", job(wall(height=34), board={"width": 12})),
]

# name, note, job, path of the fault
REFUSED = [
    ("refused-unknown-key", "A typo is refused by name.", job(wall(), bord={}), "bord"),
    ("refused-missing-key", "board.lengths is required.", {"lapwright": 1, "board": {"width": 8.25}, "walls": [wall()]}, "board.lengths"),
    ("refused-negative-size", "A width below nothing.", job(wall(height=48, openings=[window([30, 12], [-36, 20])])), "walls[0].openings[0].size[0]"),
    ("refused-bow-tie", "An outline that crosses itself.", job(shape([[0, 0], [100, 0], [0, 34], [100, 34]], ["base", "corner", "top", "corner"])), "walls[0].outline"),
    ("refused-two-points", "An outline of two points.", job(shape([[0, 0], [100, 0]], ["base", "corner"])), "walls[0].outline"),
    ("refused-opening-outside", "An opening partly outside the wall.", job(wall(openings=[window([90, 5], [30, 10])])), "walls[0].openings[0]"),
    ("refused-openings-overlap", "Two openings over each other.", job(wall(height=48, openings=[window([20, 12], [20, 20], name="L"), window([30, 12], [20, 20], name="R")])), "walls[0].openings[1]"),
    ("refused-edges", "One edge too few.", job(shape([[0, 0], [100, 0], [100, 34], [0, 34]], ["base", "corner", "top"])), "walls[0].edges"),
    ("refused-same-name", "Two walls of one name.", job(wall(), wall()), "walls[1].name"),
    ("refused-start", "A start that no line of the grid meets.", job(wall(start=[0.01, 0.02])), "walls[0].start"),
    ("refused-garbage-length", "A length that is none.", job(shape([[0, 0], ["a lot", 0], [100, 34], [0, 34]], ["base", "corner", "top", "corner"])), "walls[0].outline[1][0]"),
    ("refused-huge", "A length that no house has.", job(wall(width=1e300)), "walls[0].outline[1][0]"),
    ("refused-version", "A version of tomorrow.", dict(job(wall()), lapwright=2), "lapwright"),
    ("refused-nail-line", "The nail's head would show: top_edge + head / 2 is more than min_lap.", job(wall(), fasteners={"top_edge": 1.2}), "fasteners.top_edge"),
    ("refused-short-nail", "A nail that cannot reach the framing by min_penetration.", job(wall(), fasteners={"length": 1.25}), "fasteners.length"),
]


def pieces(plan):
    return [p for w in plan["walls"] for p in w["pieces"]]


def lose_piece(p):
    del p["walls"][0]["pieces"][1]


def twice(p):
    p["walls"][0]["pieces"].append(copy.deepcopy(p["walls"][0]["pieces"][0]))


def short_of_trim(p):
    for q in pieces(p)[0]["outline"]:
        if q[0] == 3.625:
            q[0] = 4.125


def shift_joint(p):
    p["walls"][0]["joints"][0]["x"] += 0.5


def set_in(*path):
    def change(p):
        *way, last, value = path
        for k in way:
            p = p[k]
        p[last] = value(p[last]) if callable(value) else value
    return change


def lower_lap(p):
    p["pole"]["lines"] = [y + (0.5 if k > 1 else 0) for k, y in enumerate(p["pole"]["lines"])]


def unmirror(p):
    cut = pieces(p)[0]["cuts"][0]
    cut["back"] = copy.deepcopy(cut["front"])


def drop_end_nail(p):
    n = pieces(p)[0]["nails"]
    pieces(p)[0]["nails"] = [q for q in n if q["at"][0] > 20]


def expose_nail(p):
    for q in pieces(p)[0]["nails"]:
        if q["into"] == "stud":
            q["at"][1] -= 3
            return


def swap_lines(p):
    y = p["pole"]["lines"]
    y[1], y[2] = y[2], y[1]


def same_board(p):
    for b in p["boards"]:
        cut = [c for c in b["cut"] if "piece" in c]
        if cut:
            p["boards"][0 if b is not p["boards"][0] else 1]["cut"].append(copy.deepcopy(cut[0]))
            return


def misname_cut(p):
    cut = next(c for q in p["walls"][0]["pieces"] for c in q["cuts"] if c["callout"].startswith("square at "))
    cut["callout"] = cut["callout"].replace("square at ", "square at 9", 1)


def no_fence(p):
    t = p["walls"][0]["templates"][0]
    t["outline"] = [[x, max(y, 0)] for x, y in t["outline"]]


def forget(code):
    def change(p):
        p["findings"] = [f for f in p["findings"] if f["code"] != code]
    return change


# name, note, of which plan, damage, codes that must be named
BROKEN = [
    ("broken-piece-lost", "A piece is missing.", "pole-full", lose_piece, ["uncovered"]),
    ("broken-piece-twice", "A piece lies on another.", "pole-full", twice, ["overlap", "piece_id"]),
    ("broken-short-of-trim", "Half an inch is left bare at the corner.", "pole-full", short_of_trim, ["uncovered", "length"]),
    ("broken-callout", "A callout an inch too long.", "pole-full", set_in("walls", 0, "pieces", 0, "callout", "93 3/4"), ["callout"]),
    ("broken-joint-shifted", "The joint is not where the ends meet.", "joint-one", shift_joint, ["joint_gap"]),
    ("broken-lap", "The lap is half an inch too small at one course.", "pole-full", lower_lap, ["lap", "exposure_max"]),
    ("broken-pole-order", "Lines that do not ascend.", "pole-full", swap_lines, ["pole_order"]),
    ("broken-settings", "Gauge settings miscounted.", "pole-full", set_in("pole", "settings", 9), ["settings"]),
    ("broken-mirror", "The back is not the front, mirrored.", "pole-full", unmirror, ["cut_mirror"]),
    ("broken-nail-lost", "The nails of one end are missing.", "pole-full", drop_end_nail, ["nail_end"]),
    ("broken-nail-exposed", "A blind nail in the weather.", "pole-full", expose_nail, ["nail_exposed"]),
    ("broken-cut-twice", "One piece is cut from two boards.", "pole-full", same_board, ["piece_cut"]),
    ("broken-order", "One board too many is ordered.", "pole-full", set_in("order", "boards", 0, "count", lambda n: n + 1), ["order_count"]),
    ("broken-bound", "A bound above the cost of its own boards.", "pole-full", set_in("order", "proven_minimum", 99), ["proven_minimum"]),
    ("broken-nail-count", "Nails miscounted.", "pole-full", set_in("order", "nails", "stud", lambda n: n - 1), ["order_nails"]),
    ("broken-infill-unsaid", "What is too narrow to lay is not said.", "openings-near", forget("infill"), ["infill"]),
    ("broken-ripped-unsaid", "A ripped start is not said.", "pole-two-walls", forget("ripped_start"), ["ripped_start"]),
    ("broken-region", "The region's area is wrong.", "gable", set_in("walls", 0, "region_area", lambda a: a * 1.01), ["region_area"]),
    ("broken-template", "A template counts a use too many.", "gable", set_in("walls", 0, "templates", 0, "uses", lambda n: n + 1), ["template"]),
    ("broken-starter-lost", "The starter is missing.", "pole-full", set_in("walls", 0, "starters", []), ["starter_missing"]),
    ("broken-cut-callout", "A cut is called where none of its corners lies.", "gable", misname_cut, ["callout"]),
    ("broken-template-fence", "A template without the fence that holds it to the board.", "gable", no_fence, ["template"]),
    ("broken-square", "The settings on the square are those of another slope.", "gable", set_in("walls", 0, "templates", 0, "square", [12, 5]), ["template"]),
    ("broken-defaults", "A default taken, and not said.", "pole-full", set_in("defaults_used", []), ["defaults_used"]),
    ("broken-staging", "A lift weighs more than the plan says.", "pole-full", set_in("staging", 0, "weight_lb", lambda w: w / 2), ["staging"]),
]


def compact(value, indent=0):
    """JSON with short things on one line."""
    line = json.dumps(value, ensure_ascii=False)
    if len(line) + indent <= 110 or not isinstance(value, (dict, list)) or not value:
        return line
    pad = " " * (indent + 1)
    if isinstance(value, dict):
        inner = [pad + json.dumps(k) + ": " + compact(v, indent + 1) for k, v in value.items()]
        return "{\n" + ",\n".join(inner) + "\n" + " " * indent + "}"
    return "[\n" + ",\n".join(pad + compact(v, indent + 1) for v in value) + "\n" + " " * indent + "]"


def run(program, the_job):
    with tempfile.NamedTemporaryFile("w", suffix=".json", delete=False) as f:
        json.dump(the_job, f)
    done = subprocess.run([program, f.name, "--plan", "-"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    os.unlink(f.name)
    return done


def main():
    program = sys.argv[1]
    for old in os.listdir(HERE):
        if old.endswith(".json"):
            os.unlink(os.path.join(HERE, old))
    made = {}
    number = 0

    def keep(name, vector):
        nonlocal number
        number += 1
        with open(os.path.join(HERE, "%03d-%s.json" % (number, name)), "w") as f:
            f.write(compact(vector) + "\n")

    for name, note, the_job in PLANS:
        done = run(program, the_job)
        if done.returncode != 0:
            print(name, "REFUSED", done.stderr)
            continue
        plan = json.loads(done.stdout)
        for key in ("library", "cautions"):
            plan.pop(key, None)
        plan = dict(lapwright=1, **{k: v for k, v in plan.items() if k != "lapwright"})
        made[name] = (the_job, plan)
        keep(name, {"note": note, "job": the_job, "plan": plan})
    for name, note, the_job, path in REFUSED:
        done = run(program, the_job)
        if done.returncode != 2 or path not in done.stderr:
            print(name, "NOT REFUSED AT", path, done.returncode, done.stderr)
        keep(name, {"note": note, "job": the_job, "refused": [path]})
    for name, note, base, damage, codes in BROKEN:
        if base not in made:
            continue
        the_job, plan = made[base]
        plan = copy.deepcopy(plan)
        damage(plan)
        keep(name, {"note": note, "job": the_job, "plan": plan, "findings": codes})
    print(number, "vectors")


main()
