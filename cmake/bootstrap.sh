# Sourced by tests/run and examples/run: installs what a fresh Debian or Ubuntu machine lacks.
# need PACKAGE...   elsewhere it names what to install, and stops.
need() {
  missing=
  if command -v dpkg-query >/dev/null 2>&1; then
    for p in "$@"; do
      dpkg-query -W -f '${Status}' "$p" 2>/dev/null | grep -q 'ok installed' || missing="$missing $p"
    done
  else
    for tool in cmake c++; do
      command -v "$tool" >/dev/null 2>&1 || missing="$*"
    done
  fi
  [ -n "$missing" ] || return 0
  if ! command -v apt-get >/dev/null 2>&1; then
    echo "Please install (Debian's names):$missing" >&2
    exit 1
  fi
  sudo=
  [ "$(id -u)" = 0 ] || sudo=sudo
  echo "installing:$missing"
  export DEBIAN_FRONTEND=noninteractive
  # shellcheck disable=SC2086
  $sudo apt-get -q update >/dev/null && $sudo apt-get install -y -q --no-install-recommends $missing >/dev/null
}

# What building the library and its hosts takes; tests add theirs.
build_packages="cmake ninja-build g++ libboost-dev libfmt-dev nlohmann-json3-dev"
