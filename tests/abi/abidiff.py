"""The C interface against the last released header, by abidiff (Debian's abigail-tools): what a released header promises may
only grow at its ends.   abidiff.py HEADER RELEASED_DIR CC WORK

Two libraries of stubs are made from the headers, so that what is compared is the promise, not this build. First the check
is tried on changes that it must allow and that it must find.
"""
import os
import re
import subprocess
import sys

header, released, compiler, work = sys.argv[1:]


def stubs(text):
    """A definition for every function, and one that names every struct, since rows are only reached through void*."""
    plain = re.sub(r"/\*.*?\*/", "", text, flags=re.S)
    out = ['#include "lapwright.h"']
    for match in re.finditer(r"^LAPW_API ([^;]*?)\s*LAPW_NOEXCEPT;", plain, re.M | re.S):
        declared = " ".join(match.group(1).split())
        out.append(declared + (" {}" if declared.startswith("void ") else " { return 0; }"))
    for name in re.findall(r"^\} (lapw_\w+);", plain, re.M):
        out.append(f"const {name} *stub_{name}(void) {{ return 0; }}")
    return "\n".join(out) + "\n"


def library(name, text):
    folder = os.path.join(work, name)
    os.makedirs(folder, exist_ok=True)
    for file, content in (("lapwright.h", text), ("stubs.c", stubs(text))):
        with open(os.path.join(folder, file), "w", encoding="utf-8") as out:
            out.write(content)
    path = os.path.join(folder, "stubs.so")
    subprocess.run([compiler, "-shared", "-fPIC", "-g", "-I", folder, os.path.join(folder, "stubs.c"), "-o", path], check=True)
    return path


# All that a report may say. Anything else (a removal, an offset or a type that changed) breaks a caller.
ALLOWED = [
    r"(Functions|Variables) changes summary: 0 Removed, .*",
    r"\d+ functions? with some indirect sub-type changes?:",
    r"\d+ Added functions?:",
    r"\[A\] 'function .*",
    r"\[C\] 'function .* has some indirect sub-type changes:",
    r"parameter \d+ of type '.*' has sub-type changes:",
    r"return type changed:",
    r"in (pointed to|unqualified underlying) type .*",
    r"underlying type 'struct lapw_\w+' at .* changed:",
    r"type size changed from \d+ to \d+ \(in bits\)",
    r"\d+ data member insertions?:",
    r"'.*', at offset \d+ \(in bits\) at .*",
]


def breaks(old_text, new_text, name):
    """What of the old header the new one breaks: a list of lines, empty where old callers go on."""
    report = subprocess.run(["abidiff", library(name + "-old", old_text), library(name + "-new", new_text)],
                            stdout=subprocess.PIPE, universal_newlines=True)
    if report.returncode & 3:
        sys.exit("abidiff failed: " + report.stdout)
    lines = [line.strip() for line in report.stdout.splitlines() if line.strip()]
    wrong = [line for line in lines if not any(re.fullmatch(allowed, line) for allowed in ALLOWED)]
    wrong += [line for line in re.findall(r"type size changed from \d+ to \d+", report.stdout)
              if int(line.split()[-1]) < int(line.split()[-3])]
    constants = re.compile(r"\b(LAPW_\w+) = (\d+)")
    now = dict(constants.findall(new_text))
    wrong += [f"{key} was {value}, is {now.get(key)}" for key, value in constants.findall(old_text) if now.get(key) != value]
    return wrong


with open(header, encoding="utf-8") as file:
    current = file.read()


def edited(pattern, by):
    text, count = re.subn(pattern, by, current, count=1, flags=re.M)
    assert count == 1, pattern
    return text


allowed_changes = {
    "a column": edited(r"^\} lapw_joint;", "  double next;\n} lapw_joint;"),
    "an option": edited(r"^\} lapw_plan_options;", "  double next;\n} lapw_plan_options;"),
    "a function": edited(r"^LAPW_API void lapw_result_free", "LAPW_API int32_t lapw_next(void) LAPW_NOEXCEPT;\nLAPW_API void lapw_result_free"),
    "a constant": edited(r"LAPW_E_REFUSED = 20", "LAPW_E_REFUSED = 20, LAPW_E_NEXT = 21"),
}
breaking_changes = {
    "a column in the middle": edited(r"^typedef struct lapw_ring \{[^\n]*", r"\g<0>\n  double next;"),
    "a column gone": edited(r"^  double weight_lb;\n  int32_t lift;", "  int32_t lift;"),
    "a column of another type": edited(r"^  double last_rip;", "  int64_t last_rip;"),
    "a parameter of another type": edited(r"int64_t page, uint32_t flags", "int32_t page, uint32_t flags"),
    "a function gone": edited(r"^LAPW_API const char \*lapw_version", "const char *lapw_version"),
    "a constant of another value": edited(r"LAPW_E_REFUSED = 20", "LAPW_E_REFUSED = 21"),
}
for what, text in allowed_changes.items():
    found = breaks(current, text, "allowed")
    if found:
        sys.exit(f"{what} added at the end is no break, but: " + "; ".join(found))
for what, text in breaking_changes.items():
    if not breaks(current, text, "breaking"):
        sys.exit(f"{what} is a break, and was not found")

abi = re.search(r"^#define LAPW_ABI_VERSION (\d+)", current, re.M).group(1)
headers = sorted(os.listdir(released)) if os.path.isdir(released) else []
for name in headers:
    with open(os.path.join(released, name), encoding="utf-8") as file:
        old = file.read()
    if re.search(r"^#define LAPW_ABI_VERSION (\d+)", old, re.M).group(1) != abi:
        continue
    found = breaks(old, current, "released")
    if found:
        sys.exit(f"{name} is broken: " + "; ".join(found))
print(f"{len(headers)} released headers kept; {len(allowed_changes)} changes allowed, {len(breaking_changes)} found")
