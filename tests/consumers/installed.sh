#!/bin/sh
# Outside projects against the installed tree, moved after it was installed: find_package in C and C++, header-only and
# compiled, pkg-config, Python. Then the Debian package: built, installed, used and removed.
#   installed.sh SOURCE BUILD WORK CC CXX
set -eu
source=$1 build=$2 work=$3 cc=$4 cxx=$5
rm -rf "$work"
mkdir -p "$work"
cmake --install "$build" --prefix "$work/first" >/dev/null
mv "$work/first" "$work/moved"
if grep -rIlF -e "$source" -e "$build" -e "$work/first" "$work/moved" >"$work/leaks"; then
  echo "the installed tree names the place where it was built:"
  cat "$work/leaks"
  exit 1
fi

echo "== find_package"
cmake -S "$source/tests/consumers/find_package" -B "$work/find_package" -DCMAKE_PREFIX_PATH="$work/moved" \
  -DCMAKE_C_COMPILER="$cc" -DCMAKE_CXX_COMPILER="$cxx" >/dev/null
cmake --build "$work/find_package" >/dev/null
ctest --test-dir "$work/find_package" --output-on-failure | tail -3

cmake -S "$source/tests/consumers/find_package" -B "$work/find_c" -DCMAKE_PREFIX_PATH="$work/moved" -DLAPW_ONLY_C=ON \
  -DCMAKE_DISABLE_FIND_PACKAGE_Boost=ON -DCMAKE_DISABLE_FIND_PACKAGE_fmt=ON -DCMAKE_C_COMPILER="$cc" -DCMAKE_CXX_COMPILER="$cxx" >/dev/null
cmake --build "$work/find_c" >/dev/null
"$work/find_c/use_c"
# Nothing is found that is not there.
if cmake -S "$source/tests/consumers/find_package" -B "$work/find_c" -DLAPW_ONLY_C=OFF >/dev/null 2>&1; then
  echo "the C++ targets are found without what they need"
  exit 1
fi

echo "== pkg-config"
pc=$(find "$work/moved" -name lapwright.pc)
lib=$(dirname "$(find "$work/moved" -name 'liblapwright_c.so')")
if "$cc" "$source/tests/consumers/use.c" -o "$work/use_without" 2>/dev/null; then
  echo "the program compiles without the flags: something of ours is installed already"
  exit 1
fi
# shellcheck disable=SC2046
"$cc" "$source/tests/consumers/use.c" -o "$work/use_pc" $(PKG_CONFIG_PATH=$(dirname "$pc") pkg-config --cflags --libs lapwright)
LD_LIBRARY_PATH=$lib "$work/use_pc"

echo "== Python, from the installed tree, by its own place"
(cd / && PYTHONPATH="$work/moved/share/lapwright/python" python3 -c '
import lapwright
assert lapwright.parse_length("63-7/16") == 63.4375
print(lapwright.version())')

echo "== one self-contained shared object"
if ldd "$lib/liblapwright_c.so" | grep -E 'boost|fmt|json'; then
  echo "it needs more than the C++ runtime"
  exit 1
fi

if [ "$(id -u)" != 0 ] || ! command -v dpkg >/dev/null 2>&1 || ! command -v cpack >/dev/null 2>&1; then
  echo "== Debian package: left out, it needs root and dpkg"
  exit 0
fi
if dpkg-query -W -f '${Status}' lapwright 2>/dev/null | grep -q 'ok installed'; then
  echo "== Debian package: left out, one is installed already"
  exit 0
fi
echo "== Debian package"
(cd "$work" && cpack -G DEB --config "$build/CPackConfig.cmake" -B "$work/deb" >/dev/null)
deb=$(find "$work/deb" -maxdepth 1 -name '*.deb')
dpkg-deb --info "$deb" | grep -E '^ (Package|Version|Depends):'
trap 'dpkg -r lapwright >/dev/null 2>&1 || true' EXIT
dpkg -i "$deb" >/dev/null
"$cc" "$source/tests/consumers/use.c" -o "$work/use_deb" $(pkg-config --cflags --libs lapwright)
"$work/use_deb"
cmake -S "$source/tests/consumers/find_package" -B "$work/find_deb" -DCMAKE_C_COMPILER="$cc" -DCMAKE_CXX_COMPILER="$cxx" >/dev/null
cmake --build "$work/find_deb" --target use_c >/dev/null
"$work/find_deb/use_c"
(cd / && PYTHONPATH=/usr/share/lapwright/python python3 -c 'import lapwright; print(lapwright.version())')
dpkg -r lapwright >/dev/null
trap - EXIT
if [ -e /usr/include/lapwright.h ] || [ -e /usr/lib/liblapwright_c.so ]; then
  echo "something is left behind"
  exit 1
fi
echo "installed, used and removed"
