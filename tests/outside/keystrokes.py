#!/usr/bin/env python3
"""Keystroke-to-diagnostics latency and cost of any stdio language server.

usage: keystrokes.py LANGUAGE_ID FILE [options] -- SERVER [ARG ...]

  --edits N       edits to time, each typed and taken back (200)
  --at TEXT       only at lines that hold TEXT (any line that is not empty)
  --before TEXT   type before the last TEXT of the line, not at its end
  --type TEXT     what is typed (one space)
  --mode push|pull   how the server is asked (pull when PULL=1 is set, else push)
  --pause MS      rest between two keystrokes, as a typist leaves (0)
  --burst N       type N keystrokes at once, then wait for the last one's result

Opens FILE, types and deletes at randomly chosen lines, and times each
keystroke from the write of didChange until the last byte of the diagnostics
for that version is read (pushed, or pulled with previousResultId as an editor
does). Prints one JSON line:

  initialize_ms, open_ms
  p50_ms p95_ms min_ms max_ms   keystroke -> whole result in the client
  cpu_ms        the server's own CPU (user + system) for a keystroke, all
                threads, from /proc/PID/stat: what a debounce cannot hide
  floor_ms      median of the same for a three-line document of the same kind
                in the same session: debounce and protocol, nothing else
  work_ms       p50_ms - floor_ms: what the size of FILE costs
  answer_kb findings unchanged  size of the last answer, its findings, and how
                many answers said "unchanged"
  peak_rss_mib bytes

Compare servers by p50_ms for what a user waits, by work_ms and cpu_ms for
what the server does: a server that pauses before it answers a push shows that
pause in floor_ms, one that does not shows 0 there. Run push and pull both.
On a busy machine only ratios of min_ms and cpu_ms of one run mean anything.
"""
import json, os, pathlib, queue, random, statistics, subprocess, sys, threading, time

TICK = os.sysconf("SC_CLK_TCK")


class Closed(Exception):
    pass


class Session:
    def __init__(self, server, pull):
        self.p = subprocess.Popen(server, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        self.inbox, self.ids, self.want_pull = queue.Queue(), iter(range(1, 10**9)), pull
        self.result_ids, self.unchanged, self.answer, self.found = {}, 0, 0, 0
        threading.Thread(target=self.reader, daemon=True).start()

    def reader(self):
        f = self.p.stdout
        while True:
            n = 0
            while True:
                h = f.readline()
                if not h: self.inbox.put(None); return
                h = h.strip()
                if not h: break
                if h.lower().startswith(b"content-length:"): n = int(h.split(b":")[1])
            body = f.read(n)
            # The clock stops when the whole answer is here, before this driver parses it.
            self.inbox.put((time.perf_counter(), n, json.loads(body)))

    def send(self, m):
        b = json.dumps({"jsonrpc": "2.0", **m}).encode()
        self.p.stdin.write(b"Content-Length: %d\r\n\r\n" % len(b) + b); self.p.stdin.flush()

    def wait(self, pred, timeout=300):
        end = time.time() + timeout
        while True:
            got = self.inbox.get(timeout=max(0.01, end - time.time()))
            if got is None: raise Closed("server closed its output")
            t, n, m = got
            if "id" in m and "method" in m:
                r = [None] * len(m["params"]["items"]) if m["method"] == "workspace/configuration" else None
                self.send({"id": m["id"], "result": r}); continue
            if pred(m): return t, n, m

    def initialize(self, folder):
        t0 = time.perf_counter(); k = next(self.ids)
        self.send({"id": k, "method": "initialize", "params": {"processId": os.getpid(), "rootUri": folder.as_uri(),
            "workspaceFolders": [{"uri": folder.as_uri(), "name": "w"}],
            "capabilities": {"general": {"positionEncodings": ["utf-8", "utf-16"]},
                "textDocument": {"publishDiagnostics": {"versionSupport": True, "relatedInformation": True}, "synchronization": {},
                    **({"diagnostic": {"dynamicRegistration": False}} if self.want_pull else {})}}}})
        t, _, m = self.wait(lambda m: m.get("id") == k)
        caps = m["result"]["capabilities"]
        self.pull = self.want_pull and caps.get("diagnosticProvider") is not None
        self.utf8 = caps.get("positionEncoding", "utf-16") == "utf-8"
        self.send({"method": "initialized", "params": {}})
        return (t - t0) * 1e3

    def fresh(self, uri, v):
        """When the diagnostics of this version are here."""
        if self.pull:
            while True:
                k = next(self.ids); ask = {"textDocument": {"uri": uri}}
                if uri in self.result_ids: ask["previousResultId"] = self.result_ids[uri]
                self.send({"id": k, "method": "textDocument/diagnostic", "params": ask})
                t, n, m = self.wait(lambda m: m.get("id") == k)
                if "error" in m: continue  # the text moved on: ask again, as the protocol has it
                r = m["result"]
                if r.get("resultId"): self.result_ids[uri] = r["resultId"]
                if r["kind"] == "unchanged": self.unchanged += 1
                else: self.found = len(r["items"])
                self.answer = n
                return t
        t, n, m = self.wait(lambda m: m.get("method") == "textDocument/publishDiagnostics" and m["params"]["uri"] == uri
                            and m["params"].get("version", v) >= v)
        self.answer, self.found = n, len(m["params"]["diagnostics"])
        return t

    def open(self, uri, lang, text):
        t0 = time.perf_counter()
        self.send({"method": "textDocument/didOpen", "params": {"textDocument": {"uri": uri, "languageId": lang, "version": 1, "text": text}}})
        return (self.fresh(uri, 1) - t0) * 1e3

    def change(self, uri, version, row, col, typed, back):
        end = col + (len(typed.encode()) if self.utf8 else len(typed.encode("utf-16-le")) // 2)
        ch = {"range": {"start": {"line": row, "character": col}, "end": {"line": row, "character": end if back else col}},
              "text": "" if back else typed}
        self.send({"method": "textDocument/didChange", "params": {"textDocument": {"uri": uri, "version": version}, "contentChanges": [ch]}})

    def cpu(self):
        f = open(f"/proc/{self.p.pid}/stat").read().rsplit(")", 1)[1].split()
        return (int(f[11]) + int(f[12])) / TICK * 1e3


def column(s, line, before):
    at = len(line.rstrip("\r")) if before is None else line.rfind(before)
    head = line[:at]
    return len(head.encode()) if s.utf8 else len(head.encode("utf-16-le")) // 2


def keystrokes(s, uri, version, lines, rows, edits, o):
    rng, times = random.Random(7), []
    for _ in range(edits):
        row = rng.choice(rows); col = column(s, lines[row], o["before"])
        for back in (False, True):
            if o["pause"]: time.sleep(o["pause"] / 1e3)
            version += 1; t0 = time.perf_counter()
            s.change(uri, version, row, col, o["type"], back)
            if o["burst"] > 1:
                # The other keystrokes of the burst, alternately back and there, ending where this one would.
                for n in range(2 * (o["burst"] // 2)):
                    version += 1
                    s.change(uri, version, row, col, o["type"], back != (n % 2 == 0))
                t0 = time.perf_counter()
            times.append((s.fresh(uri, version) - t0) * 1e3)
    return version, sorted(times)


def main():
    argv = sys.argv[1:]
    cut = argv.index("--")
    own, server = argv[:cut], argv[cut + 1:]
    lang, path = own[0], pathlib.Path(own[1]).resolve()
    o = {"edits": 200, "at": None, "before": None, "type": " ", "mode": "pull" if os.environ.get("PULL") == "1" else "push", "pause": 0.0, "burst": 1}
    for name, value in zip(own[2::2], own[3::2]):
        o[name[2:]] = type(o[name[2:]])(value) if o[name[2:]] is not None else value
    with path.open(newline="") as f: text = f.read()
    lines = text.split("\n")
    rows = [i for i, l in enumerate(lines) if l.strip() and (o["at"] is None or o["at"] in l) and (o["before"] is None or o["before"] in l)]
    s = Session(server, o["mode"] == "pull")
    out = {"server": server[0].rsplit("/", 1)[-1], "file": path.name, "bytes": len(text.encode()), "initialize_ms": s.initialize(path.parent)}
    out["mode"] = "pull" if s.pull else "push"
    uri, tiny = path.as_uri(), (path.parent / ("tiny-" + path.name)).as_uri()
    out["open_ms"] = s.open(uri, lang, text)
    version, warm = keystrokes(s, uri, 1, lines, rows, min(2, o["edits"]), o)
    s.unchanged, before = 0, s.cpu()
    version, times = keystrokes(s, uri, version, lines, rows, o["edits"], o)
    spent = s.cpu() - before
    out |= {"answer_kb": s.answer / 1e3, "findings": s.found, "unchanged": s.unchanged}
    small = [l for l in lines if l.strip()][:3] + [""]
    s.open(tiny, lang, "\n".join(small))
    _, floor = keystrokes(s, tiny, 1, small, [0], 10, o | {"before": None})
    rss = int(next(l for l in open(f"/proc/{s.p.pid}/status") if l.startswith("VmHWM")).split()[1]) / 1024
    p50, low = statistics.median(times), statistics.median(floor)
    out |= {"p50_ms": p50, "p95_ms": times[int(.95 * len(times))], "min_ms": times[0], "max_ms": times[-1],
            "cpu_ms": spent / (len(times) * (1 + (2 * (o["burst"] // 2) if o["burst"] > 1 else 0))), "floor_ms": low, "work_ms": p50 - low, "peak_rss_mib": rss}
    print(json.dumps({k: round(v, 2) if isinstance(v, float) else v for k, v in out.items()}))
    k = next(s.ids); s.send({"id": k, "method": "shutdown"})
    try:
        s.wait(lambda m: m.get("id") == k, 5); s.send({"method": "exit"}); s.p.wait(5)
    except Exception:
        s.p.kill()


if __name__ == "__main__":
    main()
