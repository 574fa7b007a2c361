"""What the trust tests share: running leafstack, and judging a folder it wrote."""

import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
TIME = "2024-01-01T00:00:00Z"
SMALL = '{"site": {"opening_mm": 3000}, "gate": {"panels": 1}}'

failures = []


def expect(holds, what):
    """Notes what does not hold, and goes on."""
    if not holds:
        failures.append(what)
        print("  NOT: " + what)


def finish(summary):
    """The last line, and the exit code."""
    if failures:
        print(f"{len(failures)} of the expectations failed")
        sys.exit(1)
    print(summary)


def digest(folder):
    """Every file's SHA-256 by its path, for comparing folders."""
    return {str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in sorted(Path(folder).rglob("*")) if path.is_file()}


def is_whole(folder):
    """Whether the manifest and the folder agree, file by file."""
    try:
        manifest = json.loads((Path(folder) / "manifest.json").read_text())
    except (OSError, ValueError):
        return False
    listed = {entry["path"]: entry["sha256"] for entry in manifest["files"]}
    found = digest(folder)
    found.pop("manifest.json")
    return listed == found


def names(folder):
    """Everything in a folder, hidden names too."""
    return sorted(os.listdir(folder))


def hear_signals():
    """In a child: what a shell in the background or nohup made deaf hears again."""
    for one in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT):
        signal.signal(one, signal.SIG_DFL)


class Program:
    """leafstack, copied to where every user may run it, with the library that it loads late."""

    def __init__(self, program, work):
        self.path = Path(work) / "leafstack"
        for source, copy in ((Path(program), self.path),
                             (Path(program).with_name("leafstack_step.so"), self.path.with_name("leafstack_step.so"))):
            shutil.copy(source, copy)
            copy.chmod(0o755)
        self.gate = Path(work) / "gate.json"
        self.gate.write_text(SMALL)

    def command(self, out, *more):
        return [str(self.path), "build", str(self.gate), "-o", str(out), "--timestamp", TIME, *more]

    def start(self, out, *more, **options):
        return subprocess.Popen(self.command(out, *more), stdout=subprocess.PIPE,
                                stderr=subprocess.PIPE, text=True, preexec_fn=hear_signals, **options)

    def build(self, out, *more, **options):
        """(exit code, what stderr said)."""
        run = subprocess.run(self.command(out, *more), capture_output=True, text=True, **options)
        return run.returncode, run.stderr.strip()
