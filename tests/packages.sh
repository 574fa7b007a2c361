#!/usr/bin/env bash
# Installs what is missing from Debian 12, as root or with sudo.
#   packages.sh build    what building and running leafstack takes
#   packages.sh tests    that, and what the tests take
#   packages.sh release  what exporters/packaging/release.sh takes
# Says what it installs; does nothing, and touches no network, when everything is there.
set -euo pipefail

build=(cmake ninja-build g++ libocct-foundation-dev libocct-modeling-data-dev
       libocct-modeling-algorithms-dev libocct-ocaf-dev libocct-data-exchange-dev libtbb-dev
       libcli11-dev nlohmann-json3-dev libutfcpp-dev libzip-dev libssl-dev coinor-libcbc-dev
       libeigen3-dev
       libcairo2-dev libpolyclipping-dev libpugixml-dev fonts-dejavu-core)
# Any Node.js will do to bundle the review page; Debian's where there is none.
command -v node >/dev/null || build+=(nodejs)
command -v npm >/dev/null || build+=(npm)
release=(patchelf dpkg-dev)
tests=(libgtest-dev libbenchmark-dev libfcl-dev z88 admesh python3 python3-jsonschema
       python3-ezdxf qpdf poppler-utils librecad
       # tests/trust and tests/fuzz
       clang librapidcheck-dev locales procps zsh fish "${release[@]}")
command -v chromium >/dev/null || tests+=(chromium)

case "${1:-}" in
  build) wanted=("${build[@]}") ;;
  tests) wanted=("${build[@]}" "${tests[@]}") ;;
  release) wanted=("${build[@]}" "${release[@]}") ;;
  *) echo "usage: packages.sh build|tests|release" >&2; exit 2 ;;
esac

installed=$(dpkg-query -W -f '${db:Status-Abbrev}${Package}\n' "${wanted[@]}" 2>/dev/null || true)
missing=()
for package in "${wanted[@]}"; do
  grep -qx "ii *$package" <<<"$installed" || missing+=("$package")
done
[[ ${#missing[@]} -eq 0 ]] && exit 0

as_root=()
if [[ $(id -u) -ne 0 ]]; then
  command -v sudo >/dev/null ||
    { echo "missing: ${missing[*]}; to install them, run this as root" >&2; exit 1; }
  as_root=(sudo)
fi
echo "installing: ${missing[*]}"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
apt() {
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
    apt-get -qq -o DPkg::Lock::Timeout=300 -o Dpkg::Use-Pty=0 "$@" </dev/null >"$log" 2>&1 ||
    { cat "$log" >&2; echo "apt-get $1 failed" >&2; exit 1; }
}
apt update
apt install -y --no-install-recommends "${missing[@]}"
