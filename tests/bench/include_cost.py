"""What it costs to include the entry header, or each public one, as CPU milliseconds and beside <vector> in the same run,
best of several: with the bodies compiled in the library, and header-only.   include_cost.py [COMPILER [ROUNDS [all]]]"""
import glob
import os
import re
import resource
import subprocess
import sys
import tempfile

compiler = sys.argv[1] if len(sys.argv) > 1 else "g++"
rounds = int(sys.argv[2]) if len(sys.argv) > 2 else 5
root = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
include = os.path.join(root, "include")


def cost(text, *options, best_of=rounds):
    best = float("inf")
    with tempfile.NamedTemporaryFile("w", suffix=".cpp") as file:
        file.write(text)
        file.flush()
        for _ in range(best_of):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            subprocess.run([compiler, "-std=c++17", "-fsyntax-only", "-I", include, *options, file.name], check=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            best = min(best, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return best * 1000


def floor():
    """The standard headers alone, and with as many vectors and optional members as the public types have, of structs that
    hold nothing: below this no header can come that gives plans as plain values."""
    needs = "#include <exception>\n#include <optional>\n#include <string>\n#include <vector>\n"
    public = "".join(open(p).read() for p in glob.glob(os.path.join(include, "lapwright", "*.hpp")))
    members = sorted({t for t in re.findall(r"std::((?:vector|optional)<[A-Z]\w*>)", public)})
    empty = "".join(f"struct A{i} {{}}; struct B{i} {{ std::{m[:m.index('<')]}<A{i}> v; }};\n" for i, m in enumerate(members))
    return cost(needs), cost(needs + empty), len(members)


vector = cost("#include <vector>\n")
standard, least, members = floor()
print(f"{'header':32} {'compiled':>9} {'':8} {'header-only':>11}")
print(f"{'<vector>':32} {vector:6.0f} ms {1:7.2f}x")
print(f"{'the standard headers it needs':32} {standard:6.0f} ms {standard / vector:7.2f}x")
print(f"{f'and {members} vectors, optionals':32} {least:6.0f} ms {least / vector:7.2f}x")
headers = ["lapwright/fwd.hpp", "lapwright/lapwright.hpp"]
if "all" in sys.argv:
    headers += sorted(os.path.relpath(p, include) for p in glob.glob(os.path.join(include, "lapwright", "*.hpp")))
for path in headers:
    if path.endswith(("boost_geometry.hpp", "/document.hpp", "/drawing.hpp", "/sheets.hpp")):
        continue  # what needs Boost, or the compiled library
    text = f"#include <{path}>\n"
    compiled = cost(text, "-DLAPWRIGHT_COMPILED")
    alone = cost(text, "-DFMT_HEADER_ONLY", best_of=1)
    print(f"{path:32} {compiled:6.0f} ms {compiled / vector:7.2f}x {alone:8.0f} ms")
