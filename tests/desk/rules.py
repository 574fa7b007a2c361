#!/usr/bin/python3
"""The desk's server against bad company: each rule of exporters/desk/README.md by raw sockets.

    rules.py PROGRAM

HTTP as RFC 9112 and 9110 have it, Fetch metadata and Origin as browsers send them (WHATWG Fetch).
"""
import hashlib
import io
import json
import os
import random
import re
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import zipfile

from client import PROGRAM, Desk, count, failures, parts, received, that


def refused(desk, data, status, what):
    """An answer of this status and no other, the connection closed, and nothing of another site's to read."""
    answer, closed = desk.raw(data)
    got, headers, _ = parts(answer)
    that(got == status, f"{what}: {got}, not {status}")
    that(closed, f"{what}: the connection stays open")
    that(answer.count(b"HTTP/1.1 ") == 1, f"{what}: answered {answer.count(b'HTTP/1.1 ')} times")
    that(not any(name.lower().startswith("access-control-") for name, _ in headers), f"{what}: lets others read")


def rule_1_loopback(desk):
    table = open("/proc/net/tcp", encoding="ascii").read() + open("/proc/net/tcp6", encoding="ascii").read()
    listening = [line.split()[1] for line in table.splitlines() if f":{desk.port:04X} " in line and " 0A " in line]
    that(listening == [f"0100007F:{desk.port:04X}"], f"listens on {listening}")


def rule_2_host(desk):
    for host in ("localhost", f"localhost:{desk.port}", "127.0.0.1", f"evil.example:{desk.port}",
                 f"127.0.0.1:{desk.port}.", f"127.0.0.1:{desk.port}, a"):
        refused(desk, desk.request(host=host), 421, f"Host {host}")
        refused(desk, desk.request("GET", "/", b"", leave=("Content-Length",), host=host), 421, f"GET, Host {host}")
    refused(desk, desk.request(leave=("Host",)), 421, "no Host")
    refused(desk, desk.request(more=[("Host", desk.host)]), 421, "Host twice, the same")
    refused(desk, desk.request(more=[("host", "evil.example")]), 421, "Host twice, another")


def rule_3_origin(desk):
    for origin in ("null", "http://evil.example", f"https://{desk.host}", f"http://localhost:{desk.port}",
                   f"http://{desk.host}/", f"http://127.0.0.1:{desk.port + 1}"):
        refused(desk, desk.request(origin=origin), 403, f"Origin {origin}")
    refused(desk, desk.request(leave=("Origin",)), 403, "no Origin")
    refused(desk, desk.request(more=[("Origin", f"http://{desk.host}")]), 403, "Origin twice")
    for site in ("cross-site", "same-site", "none", ""):
        refused(desk, desk.request(leave=("Sec-Fetch-Site",), more=[("Sec-Fetch-Site", site)]), 403, f"site {site}")
    refused(desk, desk.request("GET", "/", b"", leave=("Content-Length", "Sec-Fetch-Site"),
                               more=[("Sec-Fetch-Site", "cross-site")]), 403, "the page from another site")


def rule_4_json(desk):
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=a",
                 "application/json, text/plain", "application/jsonp"):
        refused(desk, desk.request(kind=kind), 415, f"type {kind}")
    refused(desk, desk.request(leave=("Content-Type",)), 415, "no type")
    for body in (b"", b"[]", b"1", b"{", b"\xff", b"[" * 100000):
        refused(desk, desk.request(body=body), 400, f"body {body[:9]}")


def rule_6_pass(desk):
    for token in (None, "0" * 32, desk.token[:-1], desk.token + "0", desk.token.upper() + " "):
        refused(desk, desk.request(token=token), 401, f"pass {token}")
    refused(desk, desk.request(leave=("X-Desk-Pass",), more=[("Cookie", f"X-Desk-Pass={desk.token}")], token=None), 401,
            "a pass as a cookie")
    refused(desk, desk.request(more=[("X-Desk-Pass", desk.token)]), 401, "the pass twice")
    that(len(desk.token) == 32, "the pass is no 128 bits")
    status, headers, _, _ = desk.call("/open", {})
    that(status == 200, f"with the pass: {status}")
    that(not any(name.lower() == "set-cookie" for name, _ in headers), "a cookie is set")


def rule_7_code(desk):
    status, _, body, _ = desk.call("/begin", {"code": desk.code}, token=None)
    that(status == 403, f"a code used twice: {status} {body[:60]}")
    for code in ("", "0" * 32, 7, None):
        status = desk.call("/begin", {"code": code}, token=None)[0]
        that(status in (400, 403), f"code {code}: {status}")
    command = open(f"/proc/{desk.process.pid}/cmdline", "rb").read().decode()
    that(desk.code not in command and desk.token not in command, "a secret stands in the arguments")


def rule_8_one_request(desk):
    """What follows a refused request is not read as the next one, nor what follows a good one."""
    good = desk.request()
    for first, status in ((desk.request(kind="text/plain", body=good), 415), (desk.request(host="evil.example", body=good), 421),
                          (desk.request(token="0" * 32, body=good), 401), (good + good, 400)):
        refused(desk, first, status, "a request in a request")
    refused(desk, desk.request(length=2, body=b"{}" + good), 400, "a request behind the body")


def rule_9_limits(desk):
    ours = f"Host: {desk.host}\r\nOrigin: http://{desk.host}\r\nContent-Type: application/json\r\nX-Desk-Pass: {desk.token}\r\n"
    chunked = f"POST /open HTTP/1.1\r\n{ours}Transfer-Encoding: chunked\r\n\r\n2\r\n{{}}\r\n0\r\n\r\n"
    refused(desk, chunked.encode(), 400, "chunked")
    refused(desk, chunked.replace("Transfer-Encoding: chunked", "Transfer-Encoding: identity\r\nContent-Length: 2").encode(), 400, "both")
    refused(desk, desk.request(leave=("Content-Length",)), 411, "no length")
    refused(desk, desk.request(more=[("Content-Length", "2")]), 400, "length twice")
    for length in ("-1", "+2", "0x2", "2,2", "", "1e3"):
        refused(desk, desk.request(length=length), 400, f"length {length}")
    for length in (1024 * 1024 + 1, 10 ** 9, "9" * 40):
        refused(desk, desk.request(length=length), 413, f"length {length}")
    refused(desk, desk.request(more=[("X-Long", "a" * 17000)]), 431, "a long head")
    refused(desk, desk.request(more=[(f"X-{i}", "a" * 50) for i in range(400)]), 431, "many headers")
    for head in ("POST /open HTTP/1.0", "GET / HTTP/2", "GET /", "PUT / HTTP/1.1", "OPTIONS /open HTTP/1.1", "GET  / HTTP/1.1",
                 "GET http://a/ HTTP/1.1", "GET /\x00 HTTP/1.1", "get / HTTP/1.1"):
        answer, closed = desk.raw(f"{head}\r\nHost: {desk.host}\r\n\r\n".encode())
        that(closed and 400 <= parts(answer)[0] <= 505, f"{head!r}: {answer[:60]}")
    for header in ("Host : a", " folded: a", "no colon", "a\x00b: c", ": c", "a: b\nc: d"):
        answer, closed = desk.raw(f"GET / HTTP/1.1\r\nHost: {desk.host}\r\n{header}\r\n\r\n".encode())
        that(closed and parts(answer)[0] == 400, f"{header!r}: {answer[:60]}")


def slow_and_many(desk):
    began = time.time()
    with socket.create_connection(("127.0.0.1", desk.port)) as one:
        one.settimeout(0.5)
        answer = b""
        for byte in desk.request() + b" " * 400:  # a byte at a time, longer than a head may take
            try:
                one.sendall(bytes([byte]))
                answer += one.recv(65536)
                break
            except (socket.timeout, TimeoutError):
                continue
            except OSError:
                break
        that(time.time() - began < 9, f"a slow client was waited for {time.time() - began:.1f} s")
        that(answer == b"" or parts(answer)[0] == 408, f"a slow client: {answer[:40]}")
    many = []
    for _ in range(1000):
        one = socket.socket()
        one.settimeout(5)
        try:
            one.connect(("127.0.0.1", desk.port))
            many.append(one)
        except OSError:
            one.close()
    threads = int(re.search(r"Threads:\s*(\d+)", open(f"/proc/{desk.process.pid}/status", encoding="ascii").read())[1])
    that(threads < 16 + 2 * os.cpu_count() + 8, f"{threads} threads for {len(many)} connections")
    for one in many:
        one.close()
    status = 0
    for _ in range(50):
        status = desk.call("/open", {})[0]
        if status == 200:
            break
        time.sleep(0.2)
    that(status == 200, f"after 1000 connections: {status}")


def rule_10_headers(desk):
    for target in ("/", "/desk.js", "/desk.css", "/licences"):
        answer, closed = desk.raw(desk.request("GET", target, b"", leave=("Content-Length", "Origin", "Content-Type"), token=None))
        status, headers, body = parts(answer)
        that(status == 200 and closed, f"{target}: {status}")
        given = {name.lower(): value for name, value in headers}
        that(int(given["content-length"]) == len(body), f"{target}: of another length")
        policy = dict(part.strip().split(" ", 1) for part in given["content-security-policy"].split(";"))
        that(policy == {"default-src": "'none'", "script-src": "'self'", "style-src": "'self'", "connect-src": "'self'",
                        "img-src": "data: blob:", "frame-ancestors": "'none'", "base-uri": "'none'", "form-action": "'none'"},
             f"{target}: policy {policy}")
        that(given["x-content-type-options"] == "nosniff" and given["cache-control"] == "no-store", f"{target}: {given}")
        that(desk.token.encode() not in body and desk.code.encode() not in body, f"{target}: tells a secret")
    page = parts(desk.raw(desk.request("GET", "/", b"", leave=("Content-Length",)))[0])[2].decode()
    that(not re.search(r"<script(?![^>]*\bsrc=)|<style|\bon\w+=|javascript:| style=", page), "the page has scripts or styles inline")


def rule_11_paths(desk, folder):
    for target in ("/../gate.json", "/gate.json", "//etc/passwd", "/%2e%2e/etc/passwd", "/desk.js/../gate.json", "/desk.js?x",
                   "/.gate.json.desk-1", "/\\etc", "/open/"):
        refused(desk, desk.request("GET", target, b"", leave=("Content-Length",)), 404, f"GET {target}")
        refused(desk, desk.request(target=target), 404, f"POST {target}")
    secret = os.path.join(folder, "secret.json")
    with open(secret, "w", encoding="utf-8") as file:
        file.write('{"hardware": {"wheel": {"word_nobody_may_read": 1}}}')
    _, answer = desk.check(json.dumps({"site": {"opening_mm": 3000}, "hardware": "secret.json"}))
    that(answer["problems"] and "word_nobody" not in json.dumps(answer), f"a file that the page named was read: {answer['problems']}")
    _, answer = desk.check(json.dumps({"site": {"opening_mm": 3000}, "hardware": secret}))
    that(answer["problems"] and "word_nobody" not in json.dumps(answer), "a file that the page named was read")
    for target in ("/save", "/build"):  # no member of a call is a path
        before = sorted(os.listdir(folder))
        elsewhere = os.path.join(folder, "elsewhere")
        desk.call(target, {"text": "{}", "over": False, "only": [], "zip": False, "path": elsewhere, "folder": elsewhere,
                           "name": "elsewhere"})
        that(set(os.listdir(folder)) - set(before) <= {"gate.json"}, f"{target} wrote elsewhere: {os.listdir(folder)}")
    status = desk.call("/build", {"text": "{}", "only": ["../x"], "zip": True})[0]
    that(status == 400, f"an output of no name: {status}")


def random_bytes(desk):
    numbers = random.Random(20261130)
    good = desk.request()
    for _ in range(150):
        data = bytearray(good)
        for _ in range(numbers.randint(1, 12)):
            at = numbers.randrange(len(data))
            data[at:at + numbers.randint(0, 3)] = bytes(numbers.randrange(256) for _ in range(numbers.randint(0, 3)))
        with socket.create_connection(("127.0.0.1", desk.port)) as one:
            one.settimeout(20)
            try:
                one.sendall(bytes(data))
                one.shutdown(socket.SHUT_WR)
            except OSError:
                pass
            answer, _ = received(one)
            that(answer == b"" or 200 <= parts(answer)[0] < 506, f"{bytes(data)!r}: {answer[:60]}")
    that(desk.call("/open", {})[0] == 200 and desk.process.poll() is None, "damaged requests ended the desk")


def figures(folder):
    """The answer's report is that of `check --json`, but for the time; edits and undoing."""
    path = os.path.join(folder, "gate.json")
    text = subprocess.run([PROGRAM, "new", "two-panel-pickets"], capture_output=True, text=True, check=True).stdout
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    desk = Desk(folder, "gate.json")
    desk.begin()
    _, opened, body, _ = desk.call("/open", {})
    opened = json.loads(body)
    that(opened["text"] == text and not opened["is_new"], "the text opened is not the file's")
    for edits in ([], [{"pointer": "/site/opening_mm", "typed": "5,8 m"}], [{"pointer": "/gate/height_mm", "typed": "1650"}],
                  [{"pointer": "/site/room_mm", "typed": "3040"}], [{"pointer": "/site/setback_mm", "typed": "0"}]):
        _, answer = desk.check(text, edits)
        trial = os.path.join(folder, "trial.json")
        with open(trial, "w", encoding="utf-8") as file:
            file.write(answer["text"])
        checked = subprocess.run([PROGRAM, "check", trial, "--json"], capture_output=True, text=True)
        expected = json.loads(checked.stdout)
        status, _, cures, _ = desk.call("/cures", {"turn": desk.turn, "text": answer["text"]})
        cured, found = json.loads(cures), answer["report"]
        that(status == 200 and [one["text"] for one in cured["warnings"]] == [one["text"] for one in expected["warnings"]] and
             [one["cure"]["sets"] for one in cured["warnings"]] == [one["cure"]["set"] if one["cure"] else [] for one in expected["warnings"]],
             f"other cures with {edits}")
        # What the desk does without: the lists, which are for paper, natural frequencies, and cures until they are tried.
        lists = {"parts", "welds", "fasteners", "lists"}
        for one in (expected, found):
            one.pop("provenance", None)
            one.pop("timestamp", None)
            one["verdict"].pop("cure")
            if one["structure"]:
                one["structure"].pop("frequencies_Hz")
            for warning in one["warnings"]:
                warning.pop("cure", None)
        that(set(found) == set(expected) - lists, f"the report's keys with {edits}: {set(found) ^ set(expected)}")
        that(all(found[key] == expected[key] for key in found), f"another report with {edits}: " + ", ".join(
            key for key in found if found[key] != expected[key]))
    _, answer = desk.check(text, [{"pointer": "/site/opening_mm", "typed": "wide"}, {"pointer": "/gate/rooom", "typed": "1"}])
    that({one["pointer"] for one in answer["problems"]} >= {"/site/opening_mm", "/gate/rooom"} and "report" not in answer,
         f"problems of a bad edit: {answer['problems']}")
    undo(desk, text)
    desk.end()


def undo(desk, text):
    """100 random edits, each by the server, then back: the page keeps whole texts. Here what the server makes of
    setting a key and taking it back, where the file did not have it."""
    numbers = random.Random(7)
    pointers = {"/site/opening_mm": lambda: str(numbers.randint(4000, 7000)), "/gate/height_mm": lambda: f"{numbers.randint(12, 20)} dm",
                "/gate/overlap_mm": lambda: str(numbers.randint(60, 200)), "/site/grade": lambda: "1:50",
                "/checks/wind_Pa": lambda: "500", "/job/title": lambda: "A \"quoted\" <title>", "/gate/infill/gap_mm": lambda: "60"}
    texts = [text]
    for _ in range(100):
        pointer = numbers.choice(list(pointers))
        typed = None if numbers.random() < 0.25 else pointers[pointer]()
        _, answer = desk.check(texts[-1], [{"pointer": pointer, "typed": typed}])
        value = at(json.loads(uncommented(answer["text"])), pointer)
        that(value is None if typed is None else value is not None, f"{pointer}: {typed} became {value}")
        texts.append(answer["text"])
    # What the text did not have is taken back key by key: the server gives its own way back, to the byte.
    last = texts[-1]
    for pointer in pointers:
        if at(json.loads(uncommented(text)), pointer) is None:
            last = desk.check(last, [{"pointer": pointer, "typed": None}])[1]["text"]
    for pointer in pointers:
        value = at(json.loads(uncommented(text)), pointer)
        if value is not None:
            last = desk.check(last, [{"pointer": pointer, "typed": str(value)}])[1]["text"]
    that(json.loads(uncommented(last)) == json.loads(uncommented(text)), "100 edits taken back by edits are another gate")
    began = time.time()
    _, answer = desk.check(text)
    that(answer["text"] == text and time.time() - began < 1, "the first document is not what comes back")


def uncommented(text):
    return re.sub(r'("(?:\\.|[^"\\])*")|//[^\n]*|/\*.*?\*/', lambda found: found[1] or "", text, flags=re.S)


def at(value, pointer):
    for word in pointer.split("/")[1:]:
        if not isinstance(value, dict) or word not in value:
            return None
        value = value[word]
    return value


def handing_out(folder):
    """Progress as lines of JSON; called off, nothing is left behind; a listener that goes away calls it off, too."""
    desk = Desk(folder, "gate.json", "-o", "out")
    desk.begin()
    text = open(os.path.join(folder, "gate.json"), encoding="utf-8").read()
    before = sorted(os.listdir(folder))
    order = {"text": text, "only": [], "zip": False}
    answers = []
    thread = threading.Thread(target=lambda: answers.append(desk.call("/build", order)))
    thread.start()
    time.sleep(0.4)
    that(desk.call("/open", {})[0] == 200, "a hand-out keeps the desk from answering")
    desk.call("/cancel", {})
    thread.join()
    lines = [json.loads(line) for line in answers[0][2].decode().splitlines()]
    that(lines[-1] == {"cancelled": True}, f"called off: {lines[-1]}")
    that(sorted(os.listdir(folder)) == before, f"called off, and left {os.listdir(folder)}")
    with socket.create_connection(("127.0.0.1", desk.port)) as one:
        one.sendall(desk.request(target="/build", body=json.dumps(order).encode()))
        one.recv(100)
    order["only"] = ["report", "tables"]
    status, headers, body, _ = desk.call("/build", order)
    lines = [json.loads(line) for line in body.decode().splitlines()]
    that(status == 200 and lines[-1]["files"] == len(json.load(open(os.path.join(folder, "out", "manifest.json"), encoding="utf-8"))["files"]) + 1
         and any(line.get("total") for line in lines), f"handed out: {lines[-1]}")
    order["zip"] = True
    desk.call("/build", order)
    status, _, body, _ = desk.call("/zip", {})
    with zipfile.ZipFile(io.BytesIO(body)) as archive:
        that(status == 200 and archive.testzip() is None and "gate/report.json" in archive.namelist(), "no whole zip")
    that(desk.call("/zip", {})[0] == 404, "a zip that is taken twice")
    that(desk.end() == 0, "no clean end after a hand-out")


def rule_12_nothing_lost(folder):
    path = os.path.join(folder, "kept.json")
    first = '{"site": {"opening_mm": 3000}}\n'
    with open(path, "w", encoding="utf-8") as file:
        file.write(first)
    desk = Desk(folder, "kept.json")
    desk.begin()
    _, answer = desk.check(first, [{"pointer": "/site/opening_mm", "typed": "3100"}])
    edited = answer["text"]
    that(json.loads(desk.call("/open", {})[2])["unsaved"] == edited, "a page that is loaded anew does not have what was not saved")
    desk.end(signal.SIGKILL)
    that(open(path, encoding="utf-8").read() == first, "a kill changed the file")
    desk = Desk(folder, "kept.json")
    desk.begin()
    opened = json.loads(desk.call("/open", {})[2])
    that(opened["left"] == edited and opened["text"] == first, f"what was not saved is not offered: {opened['left']}")
    other = Desk(folder, "kept.json")
    other.begin()
    that(json.loads(other.call("/open", {})[2])["has_company"], "the second desk is not told of the first")
    that(json.loads(desk.call("/look", {})[2])["has_company"], "the first desk is not told of the second")
    that(json.loads(other.call("/save", {"text": edited, "over": False})[2])["saved"], "not saved")
    status, _, body, _ = desk.call("/save", {"text": first, "over": False})
    that(status == 200 and not json.loads(body)["saved"], "saved over what another desk wrote")
    that(open(path, encoding="utf-8").read() == edited, "the other's work is lost")
    that(not json.loads(desk.call("/look", {})[2])["is_as_known"], "the change on the disk is not told")
    that(other.end() == 0, "Ctrl-C is no clean end")
    that(not json.loads(desk.call("/look", {})[2])["has_company"], "a desk that ended is company")
    desk.call("/forget", {})
    that(json.loads(desk.call("/open", {})[2])["left"] is None, "forgotten and still there")
    desk.end()
    that([name for name in os.listdir(folder) if name.startswith(".kept.json")] == [], f"left behind: {os.listdir(folder)}")
    kills(folder, path)


def kills(folder, path):
    """kill -9 at random moments while it saves and keeps: the file is always one of those that were saved, whole."""
    numbers = random.Random(3)
    for trial in range(6):
        before = open(path, encoding="utf-8").read()
        desk = Desk(folder, "kept.json")
        desk.begin()
        desk.call("/forget", {})
        saved = [before]

        def work(desk=desk, saved=saved):
            try:
                for step in range(1000):
                    text = json.dumps({"site": {"opening_mm": 3000 + step}, "job": {"title": "x" * 20000}})
                    saved.append(text)
                    desk.call("/save", {"text": text, "over": True})
            except (OSError, ValueError, IndexError):
                pass

        thread = threading.Thread(target=work)
        thread.start()
        time.sleep(numbers.uniform(0.02, 0.3))
        desk.process.kill()
        desk.process.wait()
        thread.join()
        that(open(path, encoding="utf-8").read() in saved, f"trial {trial}: the file is none that was saved")


def main():
    began = time.time()
    def told(what):
        if "--timings" in sys.argv:
            print(f"{time.time() - began:6.1f} s  {what}")
    with tempfile.TemporaryDirectory() as folder:
        desk = Desk(folder)
        refused(desk, desk.request(), 401, "before anybody has begun")
        desk.begin()
        for rule in (rule_1_loopback, rule_2_host, rule_3_origin, rule_4_json, rule_6_pass, rule_7_code,
                     rule_8_one_request, rule_9_limits, rule_10_headers):
            rule(desk)
        rule_11_paths(desk, folder)
        told("rules 1 to 11")
        random_bytes(desk)
        slow_and_many(desk)
        told("random bytes, slow and many")
        that(desk.end() == 0, "Ctrl-C is no clean end")
        figures(folder)
        told("figures")
        handing_out(folder)
        told("handing out")
        rule_12_nothing_lost(folder)
    for failure in failures:
        print(f"wrong: {failure}")
    print(f"{len(failures)} wrong" if failures else f"{count[0]} checks of the desk's rules, figures and saving hold")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
