#!/usr/bin/env bash
# Makes what is installed without compiling, from what is built in build/ (built first if it is not):
#   release.sh [FOLDER]              into FOLDER, or into build/release
#   release.sh --archive [FOLDER]    only the archive, of the program as it stands in build/
# leafstack_VERSION_amd64.deb and leafstack-dev for Debian 12, and
# leafstack-VERSION-linux-x86_64.tar.gz, which brings its libraries and letters and takes nothing of
# the machine's but the C library (glibc as new as the one it was built with, or newer). The same
# build and the same Debian packages give the same archive to the byte.
set -euo pipefail
cd "$(dirname "$0")/../.."
archive_only=
[[ ${1:-} == --archive ]] && { archive_only=1; shift; }
out=$(realpath -m "${1:-build/release}")
bash tests/packages.sh release
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$out"

if [[ -z $archive_only ]]; then
  cmake --preset release >/dev/null
  cmake --build --preset release >"$work/log" || { tail -n 40 "$work/log"; exit 1; }
fi
version=$(build/leafstack --version | awk '{ print $2 }')
name=leafstack-$version-linux-x86_64
root=$work/$name

if [[ -z $archive_only ]]; then
  cpack --config build/CPackConfig.cmake -B "$work/debs" >"$work/log" || { cat "$work/log"; exit 1; }
  cp "$work"/debs/*.deb "$out"
fi

cmake --install build --prefix "$root" --component program --strip >"$work/log"
mkdir -p "$root/lib" "$root/licences" "$root/share/leafstack/fonts"

letters=/usr/share/fonts/truetype/dejavu
mapfile -t libraries < <(ldd build/leafstack build/leafstack_step.so |
  awk '$2 == "=>" { print $1, $3 }' | sort -u)
files=("$letters/DejaVuSans.ttf")
for library in "${libraries[@]}"; do
  files+=("$(realpath "${library#* }")")
done
# What is compiled in.
for header in CLI/CLI.hpp nlohmann/json.hpp utf8.h eigen3/Eigen/Core; do
  files+=("/usr/include/$header")
done

# Whose notices go along. Packages name files with /usr or, from before these were one, without.
declare -A package_of=()
while IFS=: read -r package path; do
  package_of[${path##* }]=$package
done < <(dpkg -S "${files[@]}" "${files[@]#/usr}" 2>/dev/null | sed 's/:amd64:/:/')
owner() { # FILE
  echo "${package_of[$1]:-${package_of[${1#/usr}]:-}}"
}
for file in "${files[@]}"; do
  package=$(owner "$file")
  [[ -n $package ]] || { echo "whose is $file?" >&2; exit 1; }
  cp -L "/usr/share/doc/$package/copyright" "$root/licences/$package.txt"
done

# Every library but those of the C library itself, by the name it is asked for.
patchelf --set-rpath "\$ORIGIN/../lib" "$root/bin/leafstack"
mv "$root/lib/leafstack/leafstack_step.so" "$root/lib"
rmdir "$root/lib/leafstack"
patchelf --set-rpath "\$ORIGIN" "$root/lib/leafstack_step.so"
for library in "${libraries[@]}"; do
  file=$(realpath "${library#* }")
  soname=${library%% *}
  [[ $(owner "$file") == libc6 ]] && continue
  install -m 644 "$file" "$root/lib/$soname"
  patchelf --set-rpath "\$ORIGIN" "$root/lib/$soname"
done
install -m 644 $letters/DejaVuSans.ttf $letters/DejaVuSans-Bold.ttf "$root/share/leafstack/fonts"
install -m 644 exporters/packaging/fonts.conf "$root/share/leafstack"
cp build/exporters/review/node_modules/three/LICENSE "$root/licences/three.js.txt"
for licence in LGPL-2.1 LGPL-2 GPL-3 Apache-2.0 MPL-1.1 MPL-2.0; do
  [[ -r /usr/share/common-licenses/$licence ]] && cp "/usr/share/common-licenses/$licence" "$root/licences/"
done
cp LICENSE "$root/LICENSE"
# The manual: of its links only those to files that are here, and the program where it lies.
manual=$root/share/doc/leafstack
cp CHANGELOG.md LICENSE "$manual/"
install -D -m 644 params/catalogue/SOURCES.md "$manual/params/catalogue/SOURCES.md"
for gate in gallery/*/gate.json; do
  folder=$(dirname "$gate")
  mkdir -p "$manual/$folder"
  cp "$gate" "$folder"/README.md "$folder"/picture.svg "$manual/$folder/"
done
find "$manual" -name '*.md' | while read -r page; do
  PAGE=$page perl -0pi -e '
    my ($folder) = $ENV{PAGE} =~ m{(.*)/};
    s{^## Install without compiling\n.*?(?=^## First own gate)}{## Install\n\nNothing needs installing: run `bin/leafstack` in the folder that was unpacked.\n\n}ms;
    s{build/leafstack}{bin/leafstack}g;
    s{(!?)\[([^\]]*)\]\(([^)#]*)(#[^)]*)?\)}
     {my ($image, $text, $to, $at) = ($1, $2, $3, $4 // "");
      $to eq "" || $to =~ /^https?:/ || -e "$folder/$to" ? "${image}[$text]($to$at)" : $image ? "" : $text}ge;
  ' "$page"
done
cat >"$root/READ-ME-FIRST.txt" <<TEXT
leafstack $version: solid models, clash check, drawings and lists of telescopic sliding gates.

Nothing needs installing. In this folder:

  bin/leafstack new > my-gate.json
  bin/leafstack check my-gate.json
  bin/leafstack build my-gate.json -o my-gate

then open my-gate/summary.html and my-gate/review.html in any browser. The manual is
share/doc/leafstack/README.md; licences/ holds the notices of everything that is bundled.

The figures are aids to a competent person. Structural design, footings, electrical work and the
safety of the finished gate follow local codes and need licensed practitioners.
TEXT
find "$root" -type d -exec chmod 755 {} +
epoch=${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct 2>/dev/null || echo 0)}
tar --sort=name --owner=0 --group=0 --numeric-owner --mtime="@$epoch" -C "$work" -c "$name" |
  gzip -n >"$out/$name.tar.gz"
(cd "$out" && sha256sum -- *.deb *.tar.gz 2>/dev/null >SHA256SUMS || true)
du -h "$out"/* | awk '{ print $2 ": " $1 }' | sed "s|$out/||"
