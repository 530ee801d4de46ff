#!/bin/sh
# Outside projects that take the source in: add_subdirectory, and FetchContent from a local clone. Nothing of ours leaks
# into them.   inside.sh SOURCE WORK CC CXX
set -eu
source=$1 work=$2 cc=$3 cxx=$4
rm -rf "$work"
mkdir -p "$work"
launcher=
if command -v ccache >/dev/null 2>&1; then
  launcher="-DCMAKE_CXX_COMPILER_LAUNCHER=ccache -DCMAKE_C_COMPILER_LAUNCHER=ccache"
fi
# One builds the headers alone, the other the C library in few units, as a host with a unity build does.
for how in add_subdirectory fetch_content; do
  target=use_headers unity=
  [ $how = add_subdirectory ] || target=use_c unity="-DCMAKE_UNITY_BUILD=ON -DCMAKE_UNITY_BUILD_BATCH_SIZE=15"
  if [ "$how" = fetch_content ] && ! git -C "$source" rev-parse HEAD >/dev/null 2>&1; then
    echo "== fetch_content: left out, the source is no clone"
    continue
  fi
  echo "== $how"
  # shellcheck disable=SC2086
  cmake -S "$source/tests/consumers/$how" -B "$work/$how" -DLAPW_SOURCE="$source" -DCMAKE_C_COMPILER="$cc" \
    -DCMAKE_CXX_COMPILER="$cxx" -DCMAKE_BUILD_TYPE=Debug $launcher $unity >"$work/$how.log" 2>&1 || { tail -20 "$work/$how.log"; exit 1; }
  cmake --build "$work/$how" --target "$target" >>"$work/$how.log" 2>&1 || { tail -20 "$work/$how.log"; exit 1; }
  ctest --test-dir "$work/$how" --output-on-failure | tail -3
done
