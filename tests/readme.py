"""Builds and runs the snippets of README.md against the library just built, and checks that the files it names exist.
   readme.py README BUILD_DIR CXX CC"""
import fnmatch
import os
import re
import subprocess
import sys
import tempfile

readme, build, cxx, cc = sys.argv[1:5]
root = os.path.dirname(os.path.abspath(readme))
with open(readme, encoding="utf-8") as file:
    text = file.read()
blocks = {}
for language, body in re.findall(r"^```(\w+)\n(.*?)^```$", text, re.M | re.S):
    blocks.setdefault(language, []).append(body)
failures = []


def run(name, command, **kwargs):
    done = subprocess.run(command, capture_output=True, text=True, **kwargs)
    if done.returncode != 0:
        failures.append(f"{name}: {' '.join(command)}\n{done.stdout}{done.stderr}")
    return done.stdout


for wanted in ("cpp", "c", "python"):
    if len(blocks.get(wanted, [])) != 1:
        failures.append(f"README has {len(blocks.get(wanted, []))} {wanted} snippets, not 1")
capi = os.path.join(build, "capi")
environment = dict(os.environ, LD_LIBRARY_PATH=capi, PYTHONPATH=os.path.join(root, "capi", "python"),
                   LAPWRIGHT_LIBRARY=os.path.join(capi, "liblapwright_c.so"))
outputs = []
with tempfile.TemporaryDirectory() as folder:
    for language, compiler, flags in (
        ("cpp", cxx, ["-std=c++17", "-O0", "-DLAPWRIGHT_COMPILED", "-I" + os.path.join(root, "include"), os.path.join(build, "liblapwright.a")]),
        ("c", cc, ["-std=c99", "-I" + capi, "-I" + os.path.join(root, "capi"), "-L" + capi, "-llapwright_c"]),
    ):
        source, program = os.path.join(folder, "snippet." + language), os.path.join(folder, "snippet_" + language)
        with open(source, "w", encoding="utf-8") as file:
            file.write(blocks[language][0])
        run(language, [compiler, source, "-o", program] + flags)
        if os.path.exists(program):
            outputs.append(run(language, [program], env=environment))
    outputs.append(run("python", [sys.executable, "-c", blocks["python"][0]], env=environment))
for output in outputs:
    if "shed-" not in output:
        failures.append("a snippet printed no piece:\n" + output)
# The commands, line by line: the build that is at hand stands for build-examples, a folder of the test's own for out.
with tempfile.TemporaryDirectory() as folder:
    where = {"build-examples": build, "out": os.path.join(folder, "out")}
    count = 0
    for line in "".join(blocks.get("sh", [])).splitlines():
        line = line.split("#")[0].strip()
        if not line:
            continue
        words = [re.sub(r"^(build-examples|out)(?=/|$)", lambda m: where[m.group(1)], word) for word in line.split()]
        run(line, words, cwd=root, env=dict(environment, LAPW_BUILD=build))
        count += 1
    if count < 3 or not os.path.exists(os.path.join(folder, "out", "index.html")):
        failures.append("the commands wrote no index.html")
    # Every file that the table names is written, and every file that is written stands in the table.
    named = re.findall(r"`([\w*-]+\.\w+)`", text[text.index("| file in the folder"):text.index("The terminal shows")])
    named = [name for name in named if "/" not in name]
    written = os.listdir(os.path.join(folder, "out"))
    for name in named:
        if not fnmatch.filter(written, name):
            failures.append(f"README promises {name}, which is not written")
    for name in written:
        if not any(fnmatch.fnmatch(name, pattern) for pattern in named):
            failures.append(f"{name} is written, but README does not say so")
    job = os.path.join(folder, "job.json")
    with open(job, "w", encoding="utf-8") as file:
        file.write(blocks["json"][0])
    if "Shed: 1 wall" not in run("the job", [os.path.join(build, "examples", "plan_house"), job, "--out", os.path.join(folder, "shed")]):
        failures.append("the job in README is not planned")
# The lines for CMake are those of a project that is built against the installed library.
with open(os.path.join(root, "tests", "consumers", "find_package", "CMakeLists.txt"), encoding="utf-8") as file:
    consumer = file.read()
for line in blocks["cmake"][0].splitlines():
    line = line.split("#")[0].strip().replace("your_program", "use_compiled")
    if line not in consumer:
        failures.append(f"no project in tests/consumers has the line {line}")
for path in re.findall(r"`((?:examples|capi|tests|include)/[\w./-]+)`", text) + re.findall(r"\]\(([\w./-]+)\)", text):
    if not os.path.exists(os.path.join(root, path)):
        failures.append(f"README names {path}, which is not there")
for command in ("examples/run", "tests/run"):
    if f"sh {command}" not in text or not os.path.exists(os.path.join(root, command)):
        failures.append(f"the command sh {command} is missing")
print("\n".join(failures) or f"{len(outputs)} snippets and {count} commands run")
sys.exit(1 if failures else 0)
