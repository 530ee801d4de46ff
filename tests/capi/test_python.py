"""The Python package over the built library: layouts, rows, views, errors, threads.
   test_python.py LIBRARY LAYOUT PACKAGE_DIR JOB"""
import ctypes
import json
import sys
import threading
import unittest

LIBRARY, LAYOUT, PACKAGE, JOB = sys.argv[1:5]
sys.path.insert(0, PACKAGE)
import lapwright  # noqa: E402
from lapwright import _library  # noqa: E402

lapwright.load(LIBRARY)
with open(JOB, encoding="utf-8") as file:
    JOB_TEXT = file.read()


class Layout(unittest.TestCase):
    def test_the_structs_are_those_of_the_header(self):
        got = ""
        for name, struct in _library.STRUCTS.items():
            got += f"{name} {ctypes.sizeof(struct)}\n"
            got += "".join(f"{name}.{f} {getattr(struct, f).offset} {getattr(struct, f).size}\n" for f, _ in struct._fields_)
        with open(LAYOUT, encoding="utf-8") as golden:
            self.assertEqual(got, golden.read())


class Plans(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.plan = lapwright.plan(JOB_TEXT)

    def test_tables_say_what_the_document_says(self):
        document = self.plan.document
        pieces = [p for wall in document["walls"] for p in wall["pieces"]]
        self.assertGreaterEqual(len(pieces), 250)
        self.assertEqual(len(self.plan.pieces), len(pieces))
        for row, piece in zip(self.plan.pieces, pieces):
            self.assertEqual((row.id, row.callout, row.length), (piece["id"], piece["callout"], piece["length"]))
            self.assertEqual(self.plan.outline(row.first_ring) if row.id.endswith("-1") else None,
                             [tuple(p) for p in piece["outline"]] if row.id.endswith("-1") else None)
            self.assertEqual(row.nail_count, len(piece["nails"]))
            self.assertEqual(row.cut_count, len(piece["cuts"]))
        self.assertEqual(len(self.plan.boards), len(document["boards"]))
        self.assertEqual(self.plan.totals[0].cost, document["order"]["cost"])
        self.assertEqual([c.text for c in self.plan.cautions], document["cautions"])
        self.assertEqual([f.code for f in self.plan.findings], [f["code"] for f in document["findings"]])

    def test_rows_outlive_everything_else(self):
        row = lapwright.plan(JOB_TEXT).pieces[0]
        self.assertTrue(row.id)
        self.assertRaises(AttributeError, lambda: row.no_such_field)
        self.assertRaises(IndexError, lambda: self.plan.pieces[len(self.plan.pieces)])

    def test_a_view_without_a_copy(self):
        try:
            import numpy
        except ImportError:
            self.skipTest("no numpy")
        nails = lapwright.plan(JOB_TEXT).nails.array()
        self.assertEqual(len(nails), len(self.plan.nails))
        self.assertEqual(float(nails["x"][5]), self.plan.nails[5].x)
        self.assertTrue(numpy.all(nails["penetration"] >= 0))
        self.assertFalse(nails.flags.writeable)

    def test_drawings_and_sheets(self):
        for svg in (self.plan.elevation(0, studs=True, nails=True), self.plan.pole(), self.plan.card(0), self.plan.board_drawing(0),
                    self.plan.template_page(0, a4=True), self.plan.lap()):
            self.assertTrue(svg.startswith("<svg"))
        self.assertIn(self.plan.pieces[0].id, self.plan.cut_sheet())
        self.assertLess(self.plan.summary().count("\n"), 25)
        self.assertIn("<!DOCTYPE html>", self.plan.page())
        self.assertIn("BOARD 1", self.plan.board_sheet())

    def test_audit(self):
        self.assertEqual([f.message for f in lapwright.audit(JOB_TEXT, self.plan)], [])
        broken = self.plan.document
        broken["order"]["cost"] -= 1
        self.assertIn("order_cost", [f.code for f in lapwright.audit(JOB_TEXT, broken)])

    def test_every_fault_of_a_refused_job(self):
        job = json.loads(JOB_TEXT)
        job["walls"][0]["edges"].pop()
        job["bord"] = 1
        job["board"]["thickness"] = -1
        with self.assertRaises(lapwright.Refused) as caught:
            lapwright.plan(job)
        paths = [fault.path for fault in caught.exception.faults]
        self.assertGreaterEqual(len(paths), 3)
        self.assertIn("bord", paths)
        self.assertIn("board.thickness", paths)
        self.assertEqual(caught.exception.status, 20)
        self.assertEqual(caught.exception.name, "LAPW_E_REFUSED")

    def test_threads_plan_the_same_bytes(self):
        texts = []
        threads = [threading.Thread(target=lambda: texts.append(lapwright.plan(JOB_TEXT).text)) for _ in range(8)]
        for t in threads:
            t.start()
        for t in threads:
            t.join()
        self.assertEqual(set(texts), {self.plan.text})


class OwnModel(unittest.TestCase):
    def test_lengths(self):
        self.assertEqual(lapwright.parse_length("5' 3 7/16\""), 63.4375)
        self.assertEqual(lapwright.format_length(62.375, feet=True), "5' 2 3/8\"")
        self.assertRaises(lapwright.Refused, lapwright.parse_length, "a yard")

    def test_courses(self):
        result = lapwright.lay_courses([lapwright.WallHeights(0, 108, [(36, True), (84, False)], (-0.5, 0.5), "front")])
        lines = [row.height for row in result.lines]
        self.assertEqual(lines, sorted(lines))
        self.assertEqual(result.walls[0].name, "front")
        self.assertRaises(TypeError, lapwright.lay_courses, [], exposur=7)
        self.assertRaises(TypeError, lapwright.lay_courses, [], mode="best")

    def test_lap_rake_cutting(self):
        self.assertAlmostEqual(lapwright.lap_profile(8.25, 0.3125, 7).edge_stand_off, 0.3125 * 8.25 / 7)
        shape = lapwright.rake_template(rise=6, run=12, hand="right")
        self.assertEqual((shape.templates[0].offset, shape.templates[0].hand), (16.5, 1))
        self.assertGreaterEqual(len(shape.outline(shape.templates[0].first_ring)), 3)
        self.assertEqual(lapwright.cut_lengths([(36, 9)], [(120, 1)], 0).totals[0].cost, 3)

    def test_runs(self):
        edges = [lapwright.Edge("base"), lapwright.Edge("corner", 3.5, 0.125), lapwright.Edge("top", 0, 0.125), lapwright.Edge("corner", 3.5, 0.125)]
        window = lapwright.OpeningShape([(60, 20), (96, 20), (96, 40), (60, 40)], [3.5] * 4, [0.125, 0.125, 0.25, 0.125])
        wall = lapwright.WallShape([(0, 0), (192, 0), (192, 56), (0, 56)], edges, [window], (-0.5, 0.5))
        result = lapwright.find_runs(wall, [7.0 * k for k in range(8)])
        visible = 0.0
        for run in result.runs:
            outline = result.outline(run.first_ring)
            low, high = 7.0 * run.course, 7.0 * run.course + 7
            self.assertGreaterEqual(min(y for _, y in outline), low - 1e-6)
            if len(outline) == 4 and max(y for _, y in outline) >= high:
                visible += (run.x_max - run.x_min) * (min(high, 55.875) - low)
        area = (192 - 7.25) * 55.875 - (36 + 7.25) * (20 + 3.625 + 3.75)
        self.assertAlmostEqual(result.walls[0].region_area, area)
        self.assertLess(visible, area)
        self.assertEqual({s.where for s in result.starters}, {0, 1})
        self.assertRaises(TypeError, lapwright.find_runs, wall._replace(outline=wall.outline[:3]), [0])
        with self.assertRaises(lapwright.Refused) as caught:
            lapwright.find_runs(wall._replace(outline=[(0, 0), (192, 56), (192, 0), (0, 56)]), [0.0, 7.0])
        self.assertTrue(caught.exception.path.startswith("wall"))

    def house(self):
        corner = lapwright.Edge("corner", 3.5, 0.125)
        edges = [lapwright.Edge("base"), corner, lapwright.Edge("top", 0, 0.125), corner]
        window = lapwright.OpeningShape([(60, 5), (96, 5), (96, 20), (60, 20)], [3.5] * 4, [0.125, 0.125, 0.25, 0.125], True)
        return lapwright.WallShape([(0, 0), (288, 0), (288, 28), (0, 28)], edges, [window], (-0.5, 0.5), name="south"), [0, 7, 14, 21]

    def test_joints(self):
        wall, lines = self.house()
        result = lapwright.place_joints(wall, lines, [(144, 1)])
        self.assertEqual(len(result.pieces), len(result.runs) + len(result.joints))
        for joint in result.joints:
            run = result.runs[joint.run]
            self.assertEqual(run.course, joint.course)
            self.assertTrue(run.x_min < joint.x < run.x_max)
            self.assertLessEqual(abs(joint.x - joint.stud), 0.0625 + 1e-6)
        self.assertEqual({p.id.split("-")[0] for p in result.pieces}, {"south"})
        with self.assertRaises(lapwright.Refused) as caught:
            lapwright.place_joints(wall._replace(framing=lapwright.Framing(0, around_openings=False)), lines, [(144, 1)])
        self.assertTrue(caught.exception.faults)
        with self.assertRaises(lapwright.Refused) as caught:
            lapwright.place_joints(wall, lines, [(144, 1)], window=-1)
        self.assertEqual(caught.exception.path, "rules.window")
        self.assertRaises(TypeError, lapwright.place_joints, wall, lines, [(144, 1)], windo=1)

    def test_boards(self):
        left = lapwright.BoardPiece([(0, 0), (78, 0), (61.5, 8.25), (0, 8.25)], 0)
        plain = lapwright.BoardPiece([(0, 14), (40, 14), (40, 22.25), (0, 22.25)], 14, left_factory=True)
        result = lapwright.pack_boards([left, plain], [(144, 1)], starters=[lapwright.BoardStarter(100)])
        self.assertEqual(sorted(p.piece for p in result.placements if p.piece >= 0), [0, 1])
        self.assertAlmostEqual(sum(p.width for p in result.placements if p.starter == 0), 100)
        self.assertEqual(sum(line.count for line in result.order), len(result.boards))
        kept = lapwright.pack_boards([plain], [(144, 1)], on_hand=[lapwright.OnHand(41, True)])
        self.assertEqual((kept.boards[0].on_hand, kept.totals[0].cost), (0, 0))
        self.assertRaises(TypeError, lapwright.pack_boards, [], [], starters=[lapwright.BoardStarter(9, where="roofs")])
        with self.assertRaises(lapwright.Refused):
            lapwright.pack_boards([plain], [(30, 1)])

    def test_settled(self):
        wall, lines = self.house()
        north = wall._replace(name="north", framing=lapwright.Framing(first=8, members=[(0, 0, 288, 1.5)]))
        result = lapwright.settle_boards([wall, north], lines, [(144, 1), (192, 1.4)], effort=0.1)
        self.assertEqual(sorted(p.piece for p in result.placements if p.piece >= 0), list(range(len(result.pieces))))
        self.assertEqual([w.name for w in result.walls], ["south", "north"])
        totals = result.totals[0]
        self.assertTrue(0 < totals.proven_minimum <= totals.cost + 1e-9)

    def test_fasteners(self):
        piece = lapwright.NailPiece(0, [(4, 0), (140, 0), (140, 8.25), (4, 8.25)])
        upper = lapwright.NailPiece(1, [(4, 7), (140, 7), (140, 15.25), (4, 15.25)])
        result = lapwright.place_fasteners([piece, upper], [0, 7], (0, 144), framing=lapwright.Framing(members=[(0, 0, 144, 1.5)]))
        self.assertGreater(len(result.nails), 16)
        self.assertEqual({nail.piece for nail in result.nails}, {0, 1})


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
