#!/usr/bin/env bash
# What is installed works: cmake --install, the libraries by find_package, the packages.
#   package.sh           installs into a temporary folder, builds the example against it, makes the
#                        .debs, unpacks and runs the program, checks what it declares to depend on
#   package.sh --bare    and installs the .deb on a bare Debian 12 made by mmdebstrap (root, network)
set -euo pipefail
cd "$(dirname "$0")/../.."
build=$PWD/build
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
trap 'echo "FAILED in line $LINENO"' ERR

fail() { echo "FAILED: $*"; exit 1; }

quietly() { "$@" >"$work/log" 2>&1 || { tail -n 40 "$work/log"; fail "$*"; }; }

quietly cmake --install "$build" --prefix "$work/usr"
[[ $("$work/usr/bin/leafstack" --version) == leafstack* ]] || fail "the installed program"
for file in share/man/man1/leafstack.1.gz share/bash-completion/completions/leafstack \
            share/zsh/vendor-completions/_leafstack share/fish/vendor_completions.d/leafstack.fish; do
  [[ -s $work/usr/$file ]] || fail "$file is not installed"
done
grep -rlF "$PWD" "$work/usr/lib" --include='*.cmake' && fail "a path of this machine is installed"

quietly cmake -S tests/trust/example -B "$work/example" -DCMAKE_PREFIX_PATH="$work/usr" \
  -DCMAKE_CXX_FLAGS="-O0 -Wall -Wextra -Werror"
quietly cmake --build "$work/example"
said=$("$work/example/example")
[[ $said == "room 3300 mm, "*" parts, clear" ]] || fail "the example says: $said"

quietly cpack --config "$build/CPackConfig.cmake" -B "$work/packages"
deb=$(ls "$work"/packages/leafstack_*.deb)
dpkg-deb -x "$deb" "$work/root"
"$work/root/usr/bin/leafstack" new | "$work/root/usr/bin/leafstack" check - --quiet ||
  fail "the program of the package"
depends=$(dpkg-deb -f "$deb" Depends)
# Every library it loads directly comes from a package that is named.
objdump -p "$work/root/usr/bin/leafstack" "$work"/root/usr/lib/leafstack/*.so |
  awk '/NEEDED/ { print $2 }' | sort -u | while read -r library; do
  path=$(ldconfig -p | awk -v name="$library" '$1 == name && !found { print $NF; found = 1 }')
  package=$(dpkg -S "$path" 2>/dev/null || dpkg -S "/usr$path") || fail "whose is $path"
  package=${package%%:*}
  [[ ", $depends," =~ [,\ ]"$package"[,\ ] ]] || fail "$library of $package is not in: $depends"
done

# The program alone, without what it loads late, says what is missing, and checks all the same.
mkdir "$work/alone"
cp "$build/leafstack" "$work/alone"
"$work/alone/leafstack" new >"$work/alone/gate.json"
"$work/alone/leafstack" check "$work/alone/gate.json" --quiet || fail "a check without the late library"
code=0
"$work/alone/leafstack" build "$work/alone/gate.json" -o "$work/alone/out" --quiet 2>"$work/log" || code=$?
[[ $code -eq 6 ]] && grep -q "library leafstack_step.so" "$work/log" && [[ ! -e $work/alone/out ]] ||
  { cat "$work/log"; fail "a build without the late library ends with $code"; }

# The archive runs where there is nothing but the C library, and writes the same bytes.
quietly bash exporters/packaging/release.sh --archive "$work/release"
mkdir -p "$work/nothing"/{dev,tmp,proc}
tar -xzf "$work"/release/leafstack-*.tar.gz -C "$work/nothing" --strip-components=1
# Unpacked where no system looks for libraries, it still loads its own, and no other than the C library's.
mkdir "$work/unpacked"
tar -xzf "$work"/release/leafstack-*.tar.gz -C "$work/unpacked" --strip-components=1
dead=$(cd "$work/unpacked/share/doc/leafstack" && grep -roE '\]\([^)#]+' --include='*.md' . |
  while IFS= read -r line; do
    [[ -e $(dirname "${line%%:*}")/${line#*](} ]] || echo "$line"
  done)
[[ -z $dead ]] || fail "the archive's manual has dead links: $dead"
foreign=$(ldd "$work/unpacked/bin/leafstack" "$work/unpacked/lib/leafstack_step.so" | awk -v own="$work/unpacked/" \
  '/^\// { next } /not found/ || $2 == "=>" && index($3, own) != 1 { print $1 }' |
  grep -vE '^(ld-linux-x86-64|libc|libm|libpthread|libdl|librt)\.so\.[0-9]$') || true
[[ -z $foreign ]] || fail "the archive takes from the machine: $foreign"
for file in $(dpkg -L libc6 | grep -E '/(ld-linux-x86-64|libc|libm|libpthread|libdl|librt)\.so\.[0-9]$'); do
  mkdir -p "$work/nothing$(dirname "$file")"
  cp -L "$file" "$work/nothing$file"
done
mkdir -p "$work/nothing/lib64"
cp -L /lib64/ld-linux-x86-64.so.2 "$work/nothing/lib64/"
[[ -z $(find "$work/nothing/lib" -name '*.so*' -exec sh -c 'readelf -d "$1" | grep NEEDED' _ {} \; |
  grep -o '\[.*\]' | tr -d '[]' | sort -u | while read -r soname; do
    [[ -e $work/nothing/lib/$soname || -n $(find "$work/nothing" -name "$soname" -print -quit) ]] ||
      echo "$soname"
  done) ]] || fail "the archive lacks libraries"
enter=(chroot)
[[ $(id -u) -eq 0 ]] || enter=(unshare -r chroot)
"${enter[@]}" "$work/nothing" /bin/leafstack new >"$work/gate.json" || fail "the archive's program"
cp "$work/gate.json" "$work/nothing/gate.json"
for where in nothing here; do
  command=("${enter[@]}" "$work/nothing" /bin/leafstack build /gate.json -o /out)
  [[ $where == here ]] && command=("$build/leafstack" build "$work/gate.json" -o "$work/here")
  quietly "${command[@]}" --timestamp 2024-01-01T00:00:00Z --quiet
done
diff -r "$work/here" "$work/nothing/out" >"$work/log" || { head "$work/log"; fail "other bytes from the archive"; }
licences=$(find "$work/nothing/licences" -name '*.txt' | wc -l)
archive="archive ($(du -h "$work"/release/*.tar.gz | cut -f1), $licences notices) run with the C library alone, same bytes"

if [[ ${1:-} == --bare ]]; then
  sources=$(grep -rhs '^deb .*bookworm ' /etc/apt/sources.list | head -n 1) || true
  quietly mmdebstrap --variant=minbase --include=ca-certificates bookworm "$work/bare" \
    "${sources:-deb http://deb.debian.org/debian bookworm main}"
  cp /etc/apt/apt.conf.d/*prox* "$work/bare/etc/apt/apt.conf.d/" 2>/dev/null || true
  cp /etc/resolv.conf "$work/bare/etc/"
  cp "$deb" "$work/bare/leafstack.deb"
  quietly chroot "$work/bare" apt-get update
  quietly chroot "$work/bare" apt-get install -y --no-install-recommends ./leafstack.deb
  chroot "$work/bare" sh -c 'leafstack new > gate.json &&
    leafstack build gate.json -o out --timestamp 2024-01-01T00:00:00Z --quiet' ||
    fail "the program on a bare system"
  cp "$work/bare/gate.json" "$work"
  "$build/leafstack" build "$work/gate.json" -o "$work/out" --timestamp 2024-01-01T00:00:00Z --quiet
  diff -r "$work/out" "$work/bare/out" || fail "other bytes on a bare system"
  packages=$(chroot "$work/bare" dpkg-query -W | wc -l)
  echo "installed, example built, package installed on a bare system ($packages packages), $archive"
else
  echo "installed, example built ($said), package unpacked and run, $archive"
fi
