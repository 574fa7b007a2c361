"""A desk and a client that says whatever it is told to, by raw sockets; and a tally of checks."""
import json
import os
import re
import signal
import socket
import subprocess
import sys

PROGRAM = os.path.abspath(sys.argv[1])
count, failures = [0], []


def that(holds, otherwise):
    count[0] += 1
    if not holds:
        failures.append(otherwise)


class Desk:
    """A desk in a folder of its own."""

    def __init__(self, folder, *arguments):
        self.process = subprocess.Popen([PROGRAM, "desk", "--no-browser", *arguments], cwd=folder, text=True,
                                        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        self.address = self.process.stdout.readline().strip()
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/#([0-9a-f]{32})", self.address)
        if not found:
            raise SystemExit(f"no address but {self.address!r}: {self.process.stderr.read()}")
        self.port, self.code = int(found[1]), found[2]
        self.host, self.token, self.turn = f"127.0.0.1:{self.port}", None, 0

    def begin(self):
        self.token = json.loads(self.call("/begin", {"code": self.code}, token=None)[2])["pass"]

    def raw(self, data, wait=20):
        """What comes back for these bytes until the server closes; (bytes, whether it closed)."""
        with socket.create_connection(("127.0.0.1", self.port)) as one:
            one.settimeout(wait)
            try:
                one.sendall(data)
            except OSError:
                pass  # refused before all was sent
            return received(one)

    def request(self, method="POST", target="/open", body=b"{}", leave=(), more=(), host=None, origin=None,
                kind="application/json", token="own", length=None):
        headers = [("Host", host or self.host), ("Origin", origin or f"http://{self.host}"),
                   ("Content-Type", kind), ("Content-Length", str(len(body) if length is None else length)),
                   ("Sec-Fetch-Site", "same-origin")]
        token = self.token if token == "own" else token
        if token:
            headers.append(("X-Desk-Pass", token))
        headers = [(name, value) for name, value in headers if name not in leave] + list(more)
        head = f"{method} {target} HTTP/1.1\r\n" + "".join(f"{name}: {value}\r\n" for name, value in headers)
        return head.encode() + b"\r\n" + body

    def call(self, target, body, **how):
        answer, closed = self.raw(self.request(target=target, body=json.dumps(body).encode(), **how), wait=120)
        return (*parts(answer), closed)

    def check(self, text, edits=(), saved=False):
        self.turn += 1
        status, _, body, _ = self.call("/check", {"turn": self.turn, "text": text, "edits": list(edits), "is_saved": saved})
        return status, json.loads(body)

    def end(self, how=signal.SIGINT):
        self.process.send_signal(how)
        return self.process.wait(timeout=30)


def received(one):
    data = b""
    try:
        while piece := one.recv(65536):
            data += piece
        return data, True
    except (socket.timeout, TimeoutError):
        return data, False
    except OSError:
        return data, True


def parts(answer):
    """(status, headers, body)"""
    head, _, body = answer.partition(b"\r\n\r\n")
    lines = head.decode("latin-1").split("\r\n")
    status = int(lines[0].split()[1]) if lines[0].startswith("HTTP/1.1 ") else 0
    return status, [tuple(line.split(": ", 1)) for line in lines[1:]], body
