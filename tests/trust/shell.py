#!/usr/bin/python3
"""Man page and completion say what the program's own help says: every command, option, choice, key.

  shell.py build/leafstack

bash, zsh and fish are asked for completions.
"""

import json
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from outputs import expect, finish

PROGRAM = Path(sys.argv[1]).resolve()
SHELLS = ("bash", "zsh", "fish")
done = []


def out(*arguments):
    run = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True)
    expect(run.returncode == 0 and not run.stderr, f"leafstack {arguments}: {run.stderr}")
    return run.stdout


def options_by_command():
    """What --help lists, which is written by another piece of code."""
    commands = re.findall(r"^  ([a-z]+) ", out("--help").split("Subcommands:")[1].split("Examples:")[0],
                          re.M)
    found = {"": re.findall(r"--[a-z0-9-]+", out("--help").split("Subcommands:")[0])}
    for command in commands:
        listed = out(command, "--help").split("Examples:")[0]
        found[command] = re.findall(r"^ +(?:-\w,)?(--[a-z0-9-]+)", listed, re.M)
    return found


def pointers():
    """Every key of the schema that holds a value."""
    def walk(schema, where):
        for key, below in schema.get("properties", {}).items():
            pointer = f"{where}/{key}"
            if "properties" in below:
                yield from walk(below, pointer)
            else:
                yield pointer
            for choice in below.get("anyOf", []) + below.get("oneOf", []):
                yield from walk(choice, pointer)
    schema = json.loads(out("schema"))
    return set(walk(schema, "")) - {"/leafstack", "/$schema"}


def man_page(options, keys):
    page = out("man")
    plain = page.replace("\\-", "-")
    for command, names in options.items():
        for name in names:
            expect(f"\\fB{name}\\fR" in plain, f"man page: {command} {name}")
        expect(not command or f"leafstack {command}" in plain, f"man page: {command}")
    for key in keys:
        expect(f"\\fB{key}\\fR" in plain, f"man page: {key}")
    for word in ("EXIT STATUS", "130", "CAUTIONS", "crush and shear", "licensed"):
        expect(word in plain, f"man page: {word}")
    if shutil.which("man"):
        with tempfile.NamedTemporaryFile("w", suffix=".1") as file:
            file.write(page)
            file.flush()
            run = subprocess.run(["man", "--warnings", "-l", "-Tutf8", file.name],
                                 capture_output=True, text=True)
            expect(not run.stderr.strip(), f"roff warns: {run.stderr[:300]}")
    done.append(f"man page with {sum(map(len, options.values()))} options, {len(keys)} keys")


def scripts(options, keys):
    for shell in SHELLS:
        script = out("completion", shell)
        for command, names in options.items():
            for name in names:
                said = f"-l {name[2:]} " if shell == "fish" else name
                expect(said in script, f"{shell}: {command} {name}")
        for key in keys:
            expect(key in script, f"{shell}: {key}")
        if shutil.which(shell):
            check = subprocess.run([shell, "-n"], input=script, capture_output=True, text=True)
            expect(check.returncode == 0 and not check.stderr, f"{shell} -n: {check.stderr[:300]}")


BASH = """
source /dev/stdin <<<"$SCRIPT"
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _leafstack; printf '%s\\n' "${COMPREPLY[@]}"
"""


def bash(*words):
    """What bash offers for the last word; it has broken the words at the equals sign."""
    run = subprocess.run(["bash", "-c", BASH, "bash", "leafstack", *words], text=True,
                         capture_output=True, env={"SCRIPT": out("completion", "bash"), "PATH": "/bin"})
    expect(not run.stderr, f"bash {words}: {run.stderr}")
    return set(run.stdout.split())


def in_bash(options):
    expect(bash("") == set(options) - {""}, f"bash: commands {bash('')}")
    expect(bash("bu") == {"build"}, "bash: bu")
    for command, names in options.items():
        if command:
            missing = set(names) - bash(command, "-")
            expect(not missing, f"bash: {command} - lacks {missing}")
    expect(bash("build", "--dxf", "") == {"R2000", "R12"}, "bash: --dxf")
    expect(bash("check", "g.json", "--set", "/site/op") == {"/site/opening_mm=", "/site/opens="},
           "bash: --set")
    expect(bash("check", "--set", "/site/opens", "=") == {"left", "right"}, "bash: --set =")
    expect(bash("check", "--set", "/site/opens", "=", "l") == {"left"}, "bash: --set =l")
    expect(bash("completion", "") == set(SHELLS), "bash: completion")
    gallery = {line.split()[0] for line in out("new", "--list").splitlines()}
    expect(len(gallery) > 3 and bash("new", "") == gallery, f"bash: new {bash('new', '')}")
    expect(bash("compare", "g.json", "--sweep", "/site/op") == {"/site/opening_mm=", "/site/opens="},
           "bash: --sweep")
    expect(bash("build", "g.json", "--only", "step,d") == {"step,dxf", "step,drawings"},
           f"bash: --only step,d {bash('build', 'g.json', '--only', 'step,d')}")
    expect(bash("help", "bu") == {"build"}, "bash: help")
    sets = {"light", "medium", "heavy"}
    expect(sets <= bash("hardware", "") and sets <= bash("check", "g.json", "--hardware", ""),
           "bash: hardware sets")
    expect(bash("explain", "/site/op") == {"/site/opening_mm", "/site/opens"}, "bash: explain")
    done.append("bash asked")


def in_fish(options):
    def fish(line):
        with tempfile.NamedTemporaryFile("w", suffix=".fish") as file:
            file.write(out("completion", "fish"))
            file.flush()
            run = subprocess.run(["fish", "--no-config", "-c",
                                  f"source {file.name}; complete -C '{line}'"],
                                 capture_output=True, text=True)
            return {entry.split("\t")[0] for entry in run.stdout.splitlines()}
    for command, names in options.items():
        if command:
            missing = set(names) - fish(f"leafstack {command} --")
            expect(not missing, f"fish: {command} lacks {missing}")
    expect("/site/opens=left" in fish("leafstack check --set /site/opens"), "fish: --set")
    done.append("fish asked")


# Its completion only runs in its line editor, so it gets a terminal; what it offers is overheard.
ZSH = r"""
zmodload zsh/zpty
zpty asked zsh -f -i
zpty -w asked "fpath=($1 \$fpath); autoload -Uz compinit; compinit -D -u"
zpty -w asked "bindkey '^I' complete-word; setopt no_beep no_auto_menu"
zpty -w asked "compadd() {
  local -a hits
  [[ \${@[1,(i)(-|--)]} == *-(O|A|D)\\ * ]] && { builtin compadd \"\$@\"; return }
  builtin compadd -A hits \"\$@\"
  print -r -- \$'\\n'\"OFFER:\${(j:,:)hits}\"
  builtin compadd \"\$@\"
}"
zpty -w asked "print READY'-'NOW"
while zpty -r asked line; do [[ $line == *READY-NOW* ]] && break; done
zpty -n -w asked "$2"$'\t\C-u'"print ALL'-'SAID"$'\n'
while zpty -r asked line; do said+=$line; [[ $said == *ALL-SAID* ]] && break; done
print -r -- "$said"
zpty -d asked
"""


def in_zsh(options):
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, "_leafstack").write_text(out("completion", "zsh"))

        def asked(line):
            run = subprocess.run(["zsh", "-f", "-c", ZSH, "zsh", folder, line], text=True,
                                 capture_output=True)
            offers = re.findall(r"OFFER:([^\r\n]*)", run.stdout)
            return set(",".join(offers).split(",")) - {""}

        def zsh(line, wanted, what, is_all=True):
            """What is typed before its line editor listens may get lost: asked again then."""
            found = (asked(line) for _ in range(5))
            is_right = any(one == wanted or not is_all and wanted <= one for one in found)
            expect(is_right, f"zsh: {what}")

        zsh("leafstack ", set(options) - {""}, "commands", is_all=False)
        zsh("leafstack check --set /site/op", {"/site/opening_mm", "/site/opens"}, "--set")
        zsh("leafstack check --set /site/opens=", {"left", "right"}, "--set =")
        gallery = {line.split()[0] for line in out("new", "--list").splitlines()}
        zsh("leafstack new ", gallery, "new")
        zsh("leafstack build g.json --only step,d", {"dxf", "drawings"}, "--only step,d")
        zsh("leafstack explain /site/op", {"/site/opening_mm", "/site/opens"}, "explain")
    done.append("zsh asked")


def main():
    options, keys = options_by_command(), pointers()
    expect(len(keys) > 80 and len(options) > 5, f"{len(keys)} keys, {len(options)} commands")
    expect(subprocess.run([PROGRAM, "completion", "tcsh"], capture_output=True).returncode == 2, "tcsh")
    man_page(options, keys)
    scripts(options, keys)
    in_bash(options)
    in_zsh(options)
    in_fish(options)
    finish("shell: " + ", ".join(done))


main()
