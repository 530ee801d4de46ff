"""What cutting_sets prints for instance files, good ones and such as nobody should write. Usage: check_sets.py PROGRAM"""

import os
import re
import subprocess
import sys
import tempfile

# File: its text, and what its line must be but for the milliseconds at the end of a good one.
FILES = {
    "plain.txt": ("# made by hand\nname plain\ncapacity 100\noptimum 2\ntypes 2\n60 1\n40 3\n", "plain 2 2 2"),
    "dos.txt": ("# x\r\nname dos\r\n\r\ncapacity 100 # stock\r\n50 4\r\n", "dos 2 2 -"),
    "mac.txt": ("name mac\rcapacity 100\r50 4\r", "mac 2 2 -"),
    "marked.txt": ("\ufeffname marked\ncapacity 10\n5 3", "marked 2 2 -"),
    "rows_first.txt": ("50 2\n\t30\t2 # two\n\n   \ncapacity 100\n", "rows_first 2 2 -"),
    "names.txt": ("name two words\ncapacity 100\n50 2\n", "two_words 1 1 -"),
    "decimals.txt": ("capacity 10.5\n5.25 2\n", "decimals 1 1 -"),
    "empty_demand.txt": ("capacity 100\ntypes 2\n50 0\n20 0\n", "empty_demand 0 0 -"),
    "none.txt": ("capacity 100\n", "none 0 0 -"),
    "long.txt": ("capacity 1500000\n500001 2\n499999 3\n", "long 2 2 -"),
    "many.txt": ("capacity 1000\n333 1000000000\n251 999999999\n", "many 666666667 666666667 -"),
    "words.txt": ("capacity 100\nfoo bar\n12 x\n12\n1 2 3\n", "words refused: line 2: foo bar; line 3: 12 x; line 4: 12; line 5: 1 2 3"),
    "fraction.txt": ("capacity 10\n5 2.5\n", "fraction refused: line 2: 5 2.5"),
    "more.txt": ("capacity 10 ft\n5 2\n", "more refused: line 1: capacity 10 ft"),
    "twice.txt": ("capacity 10\ncapacity 20\n5 2\n", "twice refused: line 2: capacity 20"),
    "nan.txt": ("capacity nan\n5 2\n", "nan refused: line 1: capacity nan"),
    "types.txt": ("capacity 10\ntypes 3\n5 2\n", "types refused: types says 3, but there are 1 rows"),
    "optimum.txt": ("capacity 10\noptimum seven\n5 2\n", "optimum refused: line 2: optimum seven"),
    "huge_count.txt": ("capacity 10\n5 99999999999999999999\n", "huge_count refused: line 2: 5 99999999999999999999"),
    "negative.txt": ("capacity -5\n5 1\n", "negative refused: stock[0].length"),
    "too_long.txt": ("capacity 50\n60 2\n", "too_long refused: demands[0].length"),
    "no_capacity.txt": ("5 2\n", None),
    "nothing.txt": ("", None),
}


def main():
    failed = []
    with tempfile.TemporaryDirectory() as folder:
        os.mkdir(os.path.join(folder, "inner"))
        for name, (text, _) in FILES.items():
            where = os.path.join(folder, "inner" if name.startswith("n") else "", name)
            with open(where, "w", encoding="utf-8", newline="") as out:
                out.write(text)
        with open(os.path.join(folder, "binary"), "wb") as out:
            out.write(bytes(range(256)) * 20)
        ran = subprocess.run([sys.argv[1], folder], capture_output=True, text=True, timeout=120)
    lines = ran.stdout.splitlines()
    wanted = [line for _, line in FILES.values() if line is not None]
    for line in wanted:
        tail = ".*" if " refused: " in line else r" \d+\.\d\d"
        if sum(re.fullmatch(re.escape(line) + tail, have) is not None for have in lines) != 1:
            failed.append("not printed: " + line)
    if len(lines) != len(wanted):
        failed.append("%d lines, not %d" % (len(lines), len(wanted)))
    for name in ("no_capacity.txt", "nothing.txt", "binary"):
        if name + ": no capacity" not in ran.stderr:
            failed.append("not named on the error stream: " + name)
    if ran.returncode != 1:
        failed.append("exit code %d where instances are refused" % ran.returncode)
    if subprocess.run([sys.argv[1], "/nowhere"], capture_output=True).returncode != 2:
        failed.append("exit code of a wrong call")
    if failed:
        print("\n".join(failed + ["printed:"] + lines))
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
