#!/usr/bin/python3
"""Outputs are whole or not there, whatever happens while they are written.

  writing.py build/leafstack          a few of each
  writing.py build/leafstack --long   50 kills, all sizes of a full disk, 20 races

Some cases need root (a small file system, another user); without it they are named as left out.
"""

import os
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from outputs import Program, digest, expect, finish, hear_signals, is_whole, names

LONG = "--long" in sys.argv
OLD = ("--only", "tables")
NEW = ("--only", "step,stl,tables,report")
done = []


def duration(program, work):
    """Seconds of a whole build, and its digest."""
    began = time.monotonic()
    code, said = program.build(work / "model", *NEW)
    expect(code == 0, f"the build itself: {code} {said}")
    return time.monotonic() - began, digest(work / "model")


def wait_until(moment, process, box, random_s):
    """Waits for the moment at which to strike; sooner where the program has ended."""
    target = box / "out"
    inode = target.stat().st_ino if target.exists() else 0
    until = time.monotonic() + random_s
    while process.poll() is None:
        if moment == "at random" and time.monotonic() >= until:
            return
        if moment == "at the first file" and list(box.glob(".out.leafstack-*")):
            return
        if moment == "at the manifest" and list(box.glob(".out.leafstack-*/manifest.json")):
            return
        if moment == "at the exchange":
            try:
                if target.stat().st_ino != inode:
                    return
            except FileNotFoundError:
                pass


def struck(program, work, whole_s, new, stroke, rounds):
    """A signal at random moments, with and without an old folder in the way."""
    old_box = work / "old"
    old_box.mkdir(exist_ok=True)
    dice = random.Random(stroke)
    hit = 0
    for i in range(rounds):
        box = work / f"{signal.Signals(stroke).name}-{i}"
        box.mkdir()
        moment = ["at random", "at the first file", "at the manifest", "at the exchange"][i % 4]
        has_old = i % 3 != 0
        old = {}
        if has_old:
            program.build(box / "out", *OLD)
            old = digest(box / "out")
        process = program.start(box / "out", "--force", *NEW)
        wait_until(moment, process, box, dice.uniform(0, whole_s * 1.1))
        process.send_signal(stroke)
        process.communicate()
        what = f"{signal.Signals(stroke).name} {moment}, {'an' if has_old else 'no'} old folder"
        now = digest(box / "out")
        expect(now in (old, new), f"{what}: neither the old output nor the new one")
        hit += process.returncode == -stroke
        if stroke != signal.SIGKILL:
            expect(process.returncode in (0, -stroke), f"{what}: ended with {process.returncode}")
            expect(not [n for n in names(box) if n != "out"], f"{what}: litter {names(box)}")
        code, said = program.build(box / "out", "--force", *OLD)
        expect(code == 0 and is_whole(box / "out"), f"{what}: the next build: {code} {said}")
        expect(names(box) == ["out"], f"{what}: litter after the next build {names(box)}")
    # Those at the first file at least; the program may end before the others reach it.
    expect(hit >= max(1, rounds // 5), f"only {hit} of {rounds} were struck while running")
    done.append(f"{rounds} {signal.Signals(stroke).name} ({hit} struck)")


def refused(result, reason, what):
    code, said = result
    expect(code == 6, f"{what}: exit code {code}, {said}")
    expect(any(word in said for word in reason), f"{what}: said {said!r}")


def full_disk(program, work):
    """A file system too small by a little or a lot."""
    disk = work / "disk"
    disk.mkdir()
    sizes = [64, 256, 700] if not LONG else list(range(40, 1000, 40))
    for size_kb in sizes:
        mount = ["mount", "-t", "tmpfs", "-o", f"size={size_kb}k", "tmpfs", str(disk)]
        if subprocess.run(mount, capture_output=True).returncode != 0:
            done.append("full disk left out: no mount")
            return
        try:
            has_old = size_kb > 200 and program.build(disk / "out", "--only", "tables")[0] == 0
            old = digest(disk / "out")
            refused(program.build(disk / "out", "--force", *NEW), ["No space left"],
                    f"disk of {size_kb} kB")
            expect(digest(disk / "out") == old, f"disk of {size_kb} kB: the old output is changed")
            expect(names(disk) == (["out"] if has_old else []), f"full disk: litter {names(disk)}")
        finally:
            subprocess.run(["umount", str(disk)], check=True)
    done.append(f"{len(sizes)} full disks")


def file_limit(program, work):
    """The user's own limit on the size of files."""
    box = work / "limited"
    box.mkdir()
    limit = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))
    refused(program.build(box / "out", *NEW, preexec_fn=limit), ["File too large"], "file limit")
    expect(names(box) == [], f"file limit: litter {names(box)}")
    done.append("file size limit")


def read_only(program, work):
    box = work / "locked"
    box.mkdir()
    program.build(box / "out", *OLD)
    old = digest(box / "out")
    os.chown(box, 65534, 65534)
    nobody = {"user": 65534, "group": 65534, "extra_groups": []} if os.geteuid() == 0 else {}
    refused(program.build(box / "out", "--force", *NEW, **nobody), ["no permission"],
            "an old folder of somebody else's")
    box.chmod(0o555)
    refused(program.build(box / "new", *NEW, **nobody), ["no permission"], "a read-only folder")
    expect(digest(box / "out") == old, "read-only: the old output is changed")
    expect(names(box) == ["out"], f"read-only: litter {names(box)}")
    box.chmod(0o755)
    if os.geteuid() == 0:
        mount = ["mount", "-t", "tmpfs", "-o", "ro", "tmpfs", str(box)]
        if subprocess.run(mount, capture_output=True).returncode == 0:
            refused(program.build(box / "out", *NEW), ["no permission", "Read-only"],
                    "a read-only file system")
            subprocess.run(["umount", str(box)], check=True)
    done.append("read-only folders")


def odd_targets(program, work):
    box = work / "odd"
    box.mkdir()
    (box / "file").write_text("mine")
    (box / "dangling").symlink_to(box / "nowhere" / "at all")
    os.mkfifo(box / "pipe")
    before = names(box)
    for target, reason in [("file", "not a folder"), ("pipe", "not a folder"), ("a/b/c", "exist"),
                           ("file/out", "exist"), ("dangling", "folder"), ("n" * 300, "too long"),
                           ("..", "leafstack")]:
        for force in ([], ["--force"]):
            code, said = program.build(box / target, *NEW, *force)
            expect(code == 6 and said, f"{target[:20]} {force}: {code}, {said}")
            expect(not force or reason in said, f"{target[:20]}: {reason!r} not in {said!r}")
    code, said = program.build("", *NEW)
    expect(code == 6 and "no name" in said, f"no name: {code}, {said}")
    expect(names(box) == before, f"odd targets: litter {names(box)}")
    expect((box / "file").read_text() == "mine", "a file was written over")
    done.append("odd targets")


def odd_old_folders(program, work):
    """What stands in the way only looks like a folder of ours."""
    box = work / "old folders"
    box.mkdir()
    for what in ("pipe", "device", "folder", "link"):
        manifest = box / what / "manifest.json"
        manifest.parent.mkdir()
        {"pipe": lambda: os.mkfifo(manifest), "device": lambda: manifest.symlink_to("/dev/zero"),
         "folder": manifest.mkdir, "link": lambda: manifest.symlink_to(manifest)}[what]()
        refused(program.build(box / what, "--force", *NEW, timeout=60), ["not written by"],
                f"a manifest that is a {what}")
    program.build(box / "ours", *OLD)
    (box / "ours" / "mine" / "empty").mkdir(parents=True)
    code, said = program.build(box / "ours", "--force", *NEW)
    expect(code == 0 and "kept for mine" in said, f"a folder of the user's: {code} {said}")
    expect((box / "ours.before" / "mine" / "empty").is_dir(), "a folder of the user's is gone")
    expect(is_whole(box / "ours"), "a folder of the user's: the new folder is not whole")
    done.append("odd old folders")


RECORDER = r"""
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>
// Notes what is flushed and renamed, in order, and does it.
static void note(const char* what, const char* path) {
  FILE* log = fopen(getenv("RECORD"), "a");
  fprintf(log, "%s %s\n", what, path);
  fclose(log);
}
int fsync(int descriptor) {
  char link[64], path[4096];
  snprintf(link, sizeof link, "/proc/self/fd/%d", descriptor);
  const ssize_t length = readlink(link, path, sizeof path - 1);
  path[length < 0 ? 0 : length] = 0;
  note("flush", path);
  return ((int (*)(int))dlsym(RTLD_NEXT, "fsync"))(descriptor);
}
int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) {
  note("rename", from);
  return ((int (*)(int, const char*, int, const char*, unsigned))dlsym(RTLD_NEXT, "renameat2"))(
      from_folder, from, to_folder, to, flags);
}
"""


def flushed(program, work):
    """Every file and folder is on the disk before the new folder takes its place, the change after."""
    box = work / "flushed"
    box.mkdir()
    source, library, record = box / "recorder.c", box / "recorder.so", box / "record"
    source.write_text(RECORDER)
    subprocess.run(["gcc", "-shared", "-fPIC", str(source), "-o", str(library), "-ldl"], check=True)
    record.write_text("")
    environment = dict(os.environ, LD_PRELOAD=str(library), RECORD=str(record))
    code, said = program.build(box / "out", *OLD, env=environment)
    expect(code == 0, f"flushed: {code} {said}")
    lines = record.read_text().splitlines()
    moved = next((i for i, line in enumerate(lines) if line.startswith("rename ")), -1)
    expect(moved >= 0, f"flushed: no rename among {lines[-3:]}")
    hidden = lines[moved].removeprefix("rename ")
    wanted = {"."} | {str(path.relative_to(box / "out")) for path in (box / "out").rglob("*")}
    found = {os.path.relpath(line.removeprefix("flush "), hidden) for line in lines[:moved]}
    expect(found == wanted, f"flushed before the rename: {sorted(found ^ wanted)} differ")
    expect(f"flush {box}" in lines[moved:], f"flushed after the rename: {lines[moved:]}")
    done.append("flushed to the disk first")


def locked_parent(program, work):
    """Somebody else keeps the parent folder locked: waited for, but Ctrl-C is obeyed."""
    box = work / "held"
    box.mkdir()
    holder = subprocess.Popen(["flock", str(box), "sleep", "60"])
    time.sleep(0.2)
    for target, command in (("out", ["build", str(program.gate), "-o"]), ("gate.json", ["new", "-o"])):
        waiting = subprocess.Popen([str(program.path), *command, str(box / target)],
                                   stderr=subprocess.DEVNULL, preexec_fn=hear_signals)
        time.sleep(1.5)
        expect(waiting.poll() is None, f"{target}: did not wait for the lock")
        waiting.send_signal(signal.SIGINT)
        try:
            expect(waiting.wait(10) == -signal.SIGINT, f"{target}: {waiting.returncode}")
        except subprocess.TimeoutExpired:
            expect(False, f"{target}: deaf to Ctrl-C while it waits")
            waiting.kill()
    holder.kill()
    expect(names(box) == [], f"locked: litter {names(box)}")
    done.append("locked parent")


def odd_names(program, work):
    box = work / "names"
    box.mkdir()
    odd = ["with spaces", "Tür für Müller", "门 🚪", "line\nbreak", "quote'\"$(x)", "-dash", "%s%n",
           "n" * 225]
    expected = None
    for name in odd:
        code, said = program.build(box / name, *NEW)
        expect(code == 0 and is_whole(box / name), f"a folder called {name!r}: {code}, {said}")
        found = digest(box / name)
        expected = expected or found
        expect(found == expected, f"a folder called {name!r}: other bytes")
    expect(names(box) == sorted(odd), f"odd names: litter {names(box)}")
    done.append(f"{len(odd)} odd names")


def at_once(program, work, rounds):
    """Several writers of different outputs into one folder."""
    kinds = [("tables",), ("stl",), ("report",)]
    for i in range(rounds):
        box = work / f"race-{i}"
        box.mkdir()
        force = ["--force"] if i % 2 else []
        if i % 4 == 3:
            program.build(box / "out", *OLD)
        writers = [program.start(box / "out", "--only", kind[0], *force) for kind in kinds]
        said = [writer.communicate()[1].strip() for writer in writers]
        codes = [writer.returncode for writer in writers]
        expect(is_whole(box / "out"), f"race: what stands there is not whole, {codes} {said}")
        expect(names(box) == ["out"], f"race: litter {names(box)}")
        if not force:
            expect(sorted(codes) == [0, 6, 6], f"race without --force: {codes} {said}")
        else:
            expect(codes == [0, 0, 0], f"race with --force: {codes} {said}")
    done.append(f"{rounds} races of three")


def new_file(program, work):
    """`new -o`: one file, whole or not at all."""
    box = work / "starter"
    box.mkdir()
    command = [str(program.path), "new", "-o", str(box / "gate.json")]
    runs = [subprocess.Popen(command, stderr=subprocess.PIPE) for _ in range(4)]
    codes = sorted(run.wait() for run in runs if run.communicate())
    expect(codes == [0, 6, 6, 6], f"new, four at once: {codes}")
    (box / ".gate.json.leafstack-1").write_text("abandoned")
    (box / ".gate.json.leafstack-notes").write_text("not ours")
    subprocess.run(command + ["--force"], check=True)
    expect(names(box) == [".gate.json.leafstack-notes", "gate.json"], f"new: {names(box)}")
    limit = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
    limited = subprocess.run([*command[:3], str(box / "limited")], capture_output=True, preexec_fn=limit)
    expect(limited.returncode == 6, f"new, file limit: {limited.returncode}")
    os.mkfifo(box / "pipe")
    (box / "target").write_text((box / "gate.json").read_text())
    (box / "target").chmod(0o600)
    (box / "link").symlink_to("target")
    for target, code in (("pipe", 6), ("link", 0)):
        run = subprocess.run([*command[:3], str(box / target), "--force"], capture_output=True)
        expect(run.returncode == code, f"new over a {target}: {run.returncode}")
    expect((box / "pipe").is_fifo() and (box / "link").is_symlink(), "new: pipe or link replaced")
    expect((box / "target").stat().st_mode & 0o777 == 0o600, "new: the mode is another")
    expect((box / "link").read_text() == (box / "gate.json").read_text(), "new: the link is broken")
    expect(len(names(box)) == 5, f"new: litter {names(box)}")
    done.append("new -o at once, onto links and pipes")


def main():
    with tempfile.TemporaryDirectory(prefix="leafstack-writing-") as folder:
        work = Path(folder)
        work.chmod(0o755)
        program = Program(sys.argv[1], work)
        whole_s, new = duration(program, work)
        struck(program, work, whole_s, new, signal.SIGKILL, 50 if LONG else 8)
        for stroke in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT):
            struck(program, work, whole_s, new, stroke, 20 if LONG else 4)
        full_disk(program, work)
        file_limit(program, work)
        read_only(program, work)
        odd_targets(program, work)
        odd_old_folders(program, work)
        flushed(program, work)
        locked_parent(program, work)
        odd_names(program, work)
        at_once(program, work, 20 if LONG else 4)
        new_file(program, work)
    finish("whole or not there: " + ", ".join(done))


main()
