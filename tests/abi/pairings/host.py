"""A Python host with one version of the package and a library of any. usage: host.py LIBRARY c|c_next PACKAGE_DIR"""
import os
import sys

library, kind, package = sys.argv[1:]
os.environ["LAPWRIGHT_LIBRARY"] = library
sys.path.insert(0, package)
import lapwright  # noqa: E402

plan = lapwright.plan({
    "lapwright": 1, "board": {"width": 8.25, "lengths": [144]}, "search": {"effort": 0},
    "walls": [{"name": "w", "outline": [[0, 0], [200, 0], [200, 60], [0, 60]], "edges": ["base", "corner", "top", "corner"]}],
})
joints = list(plan.joints)
assert joints
for joint in joints:
    assert 0 <= joint.course < 20 and 0 < joint.x < 200 and abs(joint.x - joint.stud) < 0.07, joint
    if hasattr(joint, "next_column"):
        assert joint.next_column == (joint.x + 1 if kind == "c_next" else 0), joint
assert hasattr(joints[0], "next_column") == ("pairings" in package)
if "pairings" in package:  # a function that only the next library has
    from lapwright import _library

    try:
        assert _library.load().lapw_next_function() == 42 and kind == "c_next"
    except NotImplementedError:
        assert kind == "c"
print(len(joints), "joints")
