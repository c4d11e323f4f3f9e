#!/usr/bin/env python3
"""Measures lineward against general tools on the same books in the same minutes, and writes a table: see README.md."""

import argparse
import datetime as dt
import json
import os
import platform
import resource
import shutil
import signal
import statistics
import subprocess
import sys
import threading
import time

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(HERE)
DISTINCT = 200


def arguments():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--books", default=os.path.join(ROOT, "target", "bench"), help="where books are made and kept")
    parser.add_argument("--kinds", default="different,scarce,none,alike,full", help="kinds of books that are planned")
    parser.add_argument("--units", default="200,2000", help="their sizes; the whole set is 200,2000,10000,50000")
    parser.add_argument("--repeat", type=int, default=3, help="runs of each command; the median counts")
    parser.add_argument("--most-gb", type=float, default=16, help="a command that takes more memory is stopped")
    parser.add_argument("--most-seconds", type=float, default=1200, help="a command that takes longer is stopped")
    parser.add_argument("--lineward", default=os.path.join(ROOT, "target", "release", "lineward"))
    parser.add_argument("--rivals", default="sql,frames", help="the rivals that are run")
    parser.add_argument("--no-check", action="store_true", help="leave out reading and checking 300,000 bill lines")
    parser.add_argument("--results", default=os.path.join(HERE, "results.md"))
    return parser.parse_args()


def make_book(args, name, words):
    """Makes a book unless it is there; an unfinished one is under another name."""
    folder = os.path.join(args.books, name)
    if not os.path.isdir(folder):
        maker = os.path.join(ROOT, "target", "release", "examples", "bench-books")
        subprocess.run([maker, folder + ".new", *words], check=True)
        os.rename(folder + ".new", folder)
    return folder


class Watch(threading.Thread):
    """Stops a child that takes too much memory or time."""

    def __init__(self, pid, args):
        super().__init__(daemon=True)
        self.pid, self.args, self.over, self.why = pid, args, threading.Event(), ""

    def run(self):
        end = time.monotonic() + self.args.most_seconds
        while not self.over.wait(0.5):
            if time.monotonic() > end:
                self.why = f"stopped after {self.args.most_seconds:.0f} s"
            elif memory(self.pid) > self.args.most_gb * 1e6:
                self.why = f"stopped at {self.args.most_gb:g} GB"
            if self.why:
                os.kill(self.pid, signal.SIGKILL)
                return


def memory(pid):
    try:
        with open(f"/proc/{pid}/status") as rows:
            return next((int(row.split()[1]) for row in rows if row.startswith("VmRSS")), 0)
    except OSError:
        return 0


def measure(args, command, out):
    """Runs a command once: seconds of wall and CPU, peak memory, what it printed, bytes it wrote to `out`."""
    shutil.rmtree(out, ignore_errors=True)
    os.sync()
    load = os.getloadavg()[0]
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    watch = Watch(child.pid, args)
    watch.start()
    said = child.stdout.read()
    _, status, used = os.wait4(child.pid, 0)
    wall = time.perf_counter() - start
    watch.over.set()
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        return {"failed": watch.why or f"exit status {child.returncode}"}
    found = {"wall": wall, "cpu": used.ru_utime + used.ru_stime, "mb": used.ru_maxrss / 1024, "load": load}
    found["bytes"] = sum(os.path.getsize(os.path.join(at, f)) for at, _, files in os.walk(out) for f in files)
    if said.startswith("{"):
        found["said"] = json.loads(said)
    return found


def alternate(args, commands, out):
    """Runs all commands in turn, several times; the medians by name."""
    runs = {name: [] for name in commands}
    for n in range(args.repeat):
        for name, command in commands.items():
            if not any("failed" in run for run in runs[name]):
                run = measure(args, command, os.path.join(out, name.replace(" ", "-")))
                runs[name].append(run)
                print(f"  {n + 1} {name}: {run.get('failed') or format(run['wall'], '.2f') + ' s'}", flush=True)
    return {name: median(found) for name, found in runs.items()}


def median(runs):
    failed = [run for run in runs if "failed" in run]
    if failed:
        return failed[0]
    middle = {key: statistics.median(run[key] for run in runs) for key in ("wall", "cpu", "mb", "bytes", "load")}
    middle["fastest"], middle["slowest"] = min(run["wall"] for run in runs), max(run["wall"] for run in runs)
    said = [run["said"] for run in runs if "said" in run]
    if said:
        middle["inside"] = statistics.median(one["seconds"] for one in said)
        middle["steps"] = {step: statistics.median(one["steps"][step] for one in said) for step in said[0].get("steps", {})}
        middle["rows"] = said[0].get("rows")
    return middle


def plan_book(args, kind, units):
    """Plans one book in all ways, then what rivals do of it."""
    name = f"{kind}-{units}"
    words = {
        "different": [],
        "scarce": ["--supply", "scarce"],
        "none": ["--supply", "none"],
        "alike": ["--distinct", str(DISTINCT)],
        "full": ["--full"],
    }[kind]
    book, out = make_book(args, name, ["--units", str(units), *words]), os.path.join(args.books, "out", name)
    python, rivals = sys.executable, os.path.join(HERE, "rivals")
    commands = {}
    for tables in ("none", "parquet", "csv"):
        to = os.path.join(out, f"plan-{tables}")
        commands[f"plan {tables}"] = [args.lineward, "plan", book, "--tables", tables, "--out", to]
    commands["planning"] = [args.planning, book]
    if kind != "full":
        for rival in args.rivals.split(","):
            script = os.path.join(rivals, rival + ".py")
            commands[rival] = [python, script, book]
            commands[f"{rival} parquet"] = [python, script, book, "--write", os.path.join(out, f"{rival}-parquet")]
    print(name, flush=True)
    found = alternate(args, commands, out)
    tables = os.path.join(out, "plan-parquet", "tables")
    if "failed" not in found["plan parquet"]:
        found["plan parquet"]["rows"] = count_rows(tables)
        write = {"write": [python, os.path.join(rivals, "write.py"), tables, os.path.join(out, "write")]}
        found |= alternate(args, write, out)
        found["agreement"] = agreement(args, python, rivals, book, tables, out) if kind != "full" else {}
    shutil.rmtree(out)
    return found


def count_rows(tables):
    import polars as pl

    files = sorted(file for file in os.listdir(tables) if file.endswith(".parquet"))
    return {f.removesuffix(".parquet"): pl.scan_parquet(os.path.join(tables, f)).select(pl.len()).collect().item() for f in files}


def agreement(args, python, rivals, book, tables, out):
    """What the comparison of each rival's sums with the plan's own says."""
    said = {}
    for rival in args.rivals.split(","):
        sums = os.path.join(out, rival + ".csv")
        made = subprocess.run([python, os.path.join(rivals, rival + ".py"), book, "--sums", sums], stdout=subprocess.DEVNULL)
        if made.returncode == 0:
            compare = [python, os.path.join(rivals, "compare.py"), tables, sums]
            said[rival] = subprocess.run(compare, capture_output=True, text=True).stdout.strip().splitlines()[1:]
    return said


def check_book(args):
    """Checks 300,000 bill lines, and merely reads and joins them."""
    book = make_book(args, "bills-300k", ["--floorplans", "90", "--units", "200"])
    commands = {"check": [args.lineward, "check", book]}
    for rival in ("sql", "frames"):
        commands[f"read {rival}"] = [sys.executable, os.path.join(HERE, "rivals", "read.py"), rival, book]
    print("bills-300k", flush=True)
    return alternate(args, commands, os.path.join(args.books, "out", "check"))


def machine():
    with open("/proc/cpuinfo") as rows:
        model = next((row.split(":")[1].strip() for row in rows if row.startswith("model name")), platform.machine())
    with open("/proc/meminfo") as rows:
        gb = int(next(rows).split()[1]) / 1e6
    import duckdb
    import polars

    commit = subprocess.run(["git", "-C", ROOT, "rev-parse", "--short", "HEAD"], capture_output=True, text=True).stdout.strip()
    tools = f"Python {platform.python_version()}, polars {polars.__version__}, duckdb {duckdb.__version__}"
    return f"{dt.datetime.now():%Y-%m-%d %H:%M}, {model}, {os.cpu_count()} cores, {gb:.0f} GB; commit {commit}; {tools}."


def build(args):
    """Builds the program, the generator and `planning`; finds the last, whose file name is Cargo's own."""
    cargo = ["cargo", "build", "--release", "--locked", "--bin", "lineward", "--example", "bench-books"]
    subprocess.run(cargo, cwd=ROOT, check=True)
    cargo = ["cargo", "bench", "--locked", "--bench", "planning", "--no-run", "--message-format=json"]
    said = subprocess.run(cargo, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    made = [json.loads(line) for line in said.splitlines()]
    args.planning = next(one["executable"] for one in made if one.get("executable") and one["target"]["name"] == "planning")


def main():
    args = arguments()
    os.makedirs(args.books, exist_ok=True)
    build(args)
    results = {}
    check = {} if args.no_check else check_book(args)
    sys.path.insert(0, HERE)
    from report import report

    for units in args.units.split(","):
        for kind in args.kinds.split(","):
            if kind == "alike" and int(units) <= DISTINCT:
                continue  # as many configurations as units: the same as `different`
            results[kind, int(units)] = plan_book(args, kind, int(units))
            text = report(machine(), args.repeat, check, results)
            with open(args.results, "w") as file:
                file.write(text)
    print(f"written to {args.results}; {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1e6:.1f} GB at most")


if __name__ == "__main__":
    main()
