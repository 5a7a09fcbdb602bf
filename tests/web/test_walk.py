"""A random walk over all routes, with valid and broken requests, on a served folder.

After each request: no 500, no more than two seconds of work, memory bounded; what is answered as
written stands in the folder, as another reader (Python's own csv and tomllib) finds it there; and
what is not, left every byte as it was. `WALK_SEED` and `WALK_STEPS` try other walks.
"""

import csv
import html
import io
import json
import os
import random
import re
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import httpx
import pytest

from architecture.reading import ROOT
from reports.folders import write_folder
from reports.lines import real_size
from sixwright.project.tables import BY_NAME
from sixwright.web.writes import WRITES

SEED = int(os.environ.get("WALK_SEED", "9"))
STEPS = int(os.environ.get("WALK_STEPS", "1500"))
# Seconds of the server's own work for a request, so that a busy machine is no fault: of a page, of
# a report; and seconds until it is answered on any machine.
MOST_S, MOST_FOR_REPORT_S, MOST_WAIT_S = 2.0, 10.0, 30.0
MOST_KB, MOST_GROWTH_KB = 900_000, 150_000
ODD = ("", " ", "0", "-1", "0.01", "999999999999999", "9" * 16, "1e99", "NaN", "=1+1", "@x", "+1",
       "<b>&amp;", "a\u0000b", "\u202eabc", "é" * 300, "x" * 4001, "../../x", "C:\\x", "crossing",
       "1/0", "1 1/2", "2026-02-30", "9999-12-31", "🜁", "'", '"', "\n", "yes", "289 USD", "5 ZZZ",
       "part-00", "box-0", "line", "\ud800", "null", "{", "%00", "-", "\u2028")  # fmt: skip
TABLES = (*BY_NAME, "nothing", "../x", "history", "choices")
PAGES = ("/", "/lineup", "/money", "/care", "/choices", "/dates", "/voices", "/likeness", "/tables",
         "/tables/parts", "/tables/line", "/tables/nothing", "/history", "/report", "/docs",
         "/docs/limits", "/nowhere", "/sheets/parts", "/assets/look.css", "/assets/../x",
         "/report/contents.html", "/report/report.html", "/report/contents.png", "/report/x",
         "/since", "/options", "/chance", "/%00", "/tables/%ff")  # fmt: skip
CELL = re.compile(r'data-row="([^"]*)" data-column="([^"]*)" data-was="([^"]*)"')


class Walk:
    def __init__(self, folder, address, server, rng):
        self.folder, self.server, self.rng = folder, server, rng
        self.web = httpx.Client(base_url=address, timeout=60)
        self.tally = {}
        self.slowest = 0.0
        self.page = self.web.get("/").text

    def word(self):
        return self.rng.choice(ODD)

    def value(self, was):
        """A value for a cell: half of the time another of what stands there, else an odd one."""
        if self.rng.random() < 0.5:
            return self.word()
        number = str(self.rng.randrange(1, 500))
        return re.sub(r"\d+", number, was, count=1) if re.search(r"\d", was) else f"{was} {number}"

    def row(self):
        """A table, a row and a column of it, and what stands there; mostly such as there are."""
        usual = ("parts", "contents", "orders", "ways", "prices", "editions", "looks", "line")
        table = self.rng.choice(TABLES if self.rng.random() < 0.2 else usual)
        page = self.web.get(f"/tables/{table}").text if table in BY_NAME else ""
        found = CELL.findall(page)
        if found and self.rng.random() < 0.9:
            row, column, was = map(html.unescape, self.rng.choice(found))
            return table, row, column, was if self.rng.random() < 0.95 else self.word()
        return table, self.word(), self.word(), self.word()

    def body(self, path):
        table, id_, column, was = self.row()
        base = {"page": self.rng.choice(("/", "/money", "/tables/parts", "/nowhere", "/history"))}
        asks = re.findall(rf'data-does="{path[1:]}" data-asks="([^"]*)"', self.shown())
        if asks and self.rng.random() < 0.7:
            base |= json.loads(html.unescape(self.rng.choice(asks)))
        base |= {
            "/edit": {"table": table, "id": id_, "column": column, "was": was,
                      "value": self.value(was)},
            "/add": {"table": "parts", "cells": {"kind": "prop", "name": self.word()}}
            if self.rng.random() < 0.5 else
            {"table": table, "cells": {self.rng.choice((column, "name", "kind", "id")):
             self.word() for _ in range(3)}},
            "/take-out": {"table": table, "id": id_},
            "/accept": {"by": self.word(), "reason": self.word()},
            "/take": {"by": "Ada", "reason": self.word()},
            "/restore": {"moment": self.rng.choice(("2026-09-14T09:00:00Z", "0001-01-01T00:00:00Z",
                         "9999-12-31T23:59:59-12:00", "1e400", "2026-09-14"))},
        }.get(path, {})  # fmt: skip
        if path in {"/try", "/write-tried", "/keep"}:
            change = {"table": table, "id": id_, "column": column,
                      "was": was, "value": self.value(was)}  # fmt: skip
            base |= {"changes": [change] * self.rng.choice((0, 1, 1, 2, 501))}
            base |= {"name": self.word(), "question": self.word()} if path == "/keep" else {}
        if path == "/try":
            step = {
                "table": table,
                "id": id_,
                "column": column,
                "was": "",
                "value": self.value(was),
            }
            base["step"] = self.rng.choice((None, {"path": "/edit", "body": step},
                                            {"path": "/undo", "body": {}}))  # fmt: skip
        for name in ("finding", "edit", "choice", "alternative"):
            if path in {"/fix", "/accept", "/take-back", "/undo", "/take", "/reopen"}:
                base.setdefault(name, self.word())
        fields = next((w.asked for w in WRITES if w.path == path), None)
        if fields is not None:
            base = {k: v for k, v in base.items() if k in fields.model_fields}
        return base

    def shown(self):
        if self.rng.random() < 0.2:
            self.page = self.web.get(self.rng.choice(PAGES[:9])).text
        return self.page

    def broken(self, path):
        """The bytes of a body, mostly as they should be."""
        sent = json.dumps(self.body(path)).encode()
        chance = self.rng.random()
        if chance < 0.75:
            return sent
        if chance < 0.85:
            at = self.rng.randrange(len(sent))
            return sent[:at] + self.rng.randbytes(3) + sent[at + 1 :]
        return self.rng.choice((b"", b"[]", b"null", sent[:-2], sent * 2, b"[" * 9000,
                                b'{"page": NaN}', b"\xff\xfe", b"9" * 5000, b"x" * 70_000,
                                sent.replace(b'""', b"1e400")))  # fmt: skip

    def step(self):
        if self.rng.random() < 0.35:
            table, id_, column, _ = self.row()
            path = self.rng.choice(PAGES)
            query = {"table": table, "id": id_, "column": column, "version": self.word(),
                     "milestone": self.word(), "day": self.word(), "rows": self.word()}  # fmt: skip
            kept = {name: text.encode("utf-8", "replace").decode() for name, text in query.items()
                    if self.rng.random() < 0.6}  # fmt: skip
            self.ask("GET", path, params=kept)
            return
        path = self.rng.choice([*(w.path for w in WRITES), "/edit", "/edit", "/try", "/try",
                                "/undo", "/spreadsheet", "/say", "/make-line", "/"])  # fmt: skip
        headers = {"content-type": "application/json", "x-sixwright-token": self.token}
        if path == "/spreadsheet":
            headers |= {"content-type": "application/octet-stream", "x-sixwright-name": "%ff.xlsx"}
        for name, value in (("x-sixwright-token", "x"), ("content-type", "text/plain"),
                            ("origin", "http://["), ("sec-fetch-site", "cross-site"),
                            ("host", "example.com")):  # fmt: skip
            if self.rng.random() < 0.02:
                headers[name] = value
        self.ask("POST", path, content=self.broken(path), headers=headers)

    def ask(self, method, path, **how):
        before = contents(self.folder)
        start, worked = time.monotonic(), work_s(self.server)
        answer = self.web.request(method, path, **how)
        took, worked = time.monotonic() - start, work_s(self.server) - worked
        told = (method, path, str(how)[:600], answer.status_code, answer.text[:200])
        key = (method, path.split("?")[0], answer.status_code)
        self.tally[key] = self.tally.get(key, 0) + 1
        assert answer.status_code not in {500, 501, 502, 504}, told
        is_report = path.startswith("/report/")
        self.slowest = max(self.slowest, 0.0 if is_report else worked)
        assert worked < (MOST_FOR_REPORT_S if is_report else MOST_S), (worked, told)
        assert took < MOST_WAIT_S, (took, told)
        after = contents(self.folder)
        written = method == "POST" and answer.status_code == 200
        kind = answer.json().get("kind") if written else None
        assert "in sixwright itself" not in answer.text, told
        if kind != "written":
            assert after == before, told
        elif "nothing was written" in answer.json()["said"]:
            assert without_history(after) == without_history(before), told
        else:
            assert after != before, told
            if path == "/edit":
                self.check_edit(json.loads(how["content"]), after, told)

    def check_edit(self, asked, after, told):
        """The cell that was edited, as another reader finds it."""
        file = f"{asked['table']}.csv"
        if file not in after:  # of line.toml, which at least still is one
            tomllib.loads(after["line.toml"].decode())
            return
        rows = list(csv.DictReader(io.StringIO(after[file].decode("utf-8-sig"), newline="")))
        cells = {(row.get(asked["column"]) or "").strip("'") for row in rows}
        assert " ".join(asked["value"].split()).strip("'") in cells, told

    @property
    def token(self):
        return re.search(r'name="sixwright-token" content="([^"]+)"', self.page)[1]


def contents(folder):
    return {
        str(p.relative_to(folder)): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and p.name != ".sixwright-lock"
    }


def without_history(files):
    return {name: content for name, content in files.items() if not name.startswith("history")}


def work_s(pid):
    """Seconds that a process has worked, as proc(5) tells them: fields 14 and 15."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def resident_kb(pid):
    status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    return int(re.search(r"VmRSS:\s+(\d+)", status)[1])


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="memory is read from /proc")
def test_a_walk_over_all_routes_loses_nothing_and_tells_no_lie(tmp_path):
    folder = write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")
    (folder / "choices").mkdir(exist_ok=True)
    command = [sys.executable, "-m", "sixwright", "serve", str(folder), "--port", "0"]
    env = os.environ | {"SIXWRIGHT_CACHE": str(tmp_path / "cache")}
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=ROOT, env=env) as server:
        try:
            address = re.search(r"http://\S+?/", server.stderr.readline())[0]
            walk = Walk(folder, address, server.pid, random.Random(SEED))  # noqa: S311 - to be drawn again
            for path in PAGES:
                walk.web.get(path)
            sizes = []
            for step in range(STEPS):
                walk.step()
                if step >= STEPS // 2:  # by then each kind of page and print was made
                    sizes.append(resident_kb(server.pid))
        finally:
            server.terminate()
    told = "".join(f"{' '.join(map(str, key))}: {n}\n" for key, n in sorted(walk.tally.items()))
    sys.stdout.write(f"seed {SEED}: slowest {walk.slowest:.2f} s, {sizes[-1]} kB\n{told}")
    assert max(sizes) < MOST_KB
    assert max(sizes) - sizes[0] < MOST_GROWTH_KB
    assert walk.tally["POST", "/edit", 200] > STEPS / 100, "the walk writes"
