"""Turns what run.py measured into a page: ratios first, then all numbers."""

import os
import statistics


def table(head, rows):
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return lines + ["| " + " | ".join(row) + " |" for row in rows] + [""]


def over(found, ours, theirs, key="wall"):
    a, b = found.get(ours, {}), found.get(theirs, {})
    return f"{a[key] / b[key]:.2f}" if a.get(key) and b.get(key) else "-"


def seconds(run, key="wall"):
    return f"{run[key]:.2f}" if key in run else run.get("failed", "-")


ENGINE = ("read", "check", "plan", "rows of demands, pegs, pulls")
TABLES = "parquet of demands, pegs, pulls"


def engine(found, rival):
    """Reading, checking, planning and making all rows inside the process, against a rival's own steps inside its own."""
    steps, theirs = found.get("planning", {}).get("steps"), found.get(rival, {}).get("inside")
    return f"{sum(steps[name] for name in ENGINE) / theirs:.2f}" if steps and theirs else "-"


def writing(found):
    """Making three tables Parquet from a plan, against the fastest writing of finished frames."""
    steps, theirs = found.get("planning", {}).get("steps"), found.get("write", {}).get("inside")
    return f"{steps[TABLES] / theirs:.2f}" if steps and theirs else "-"


def ratios(results):
    head = ["book", "planning alone ÷ SQL", "÷ frames", "writing three tables ÷ mere writing", "`plan --tables none` ÷ SQL",
            "÷ frames", "CPU ÷ SQL", "÷ frames", "memory ÷ SQL", "÷ frames", "`--tables parquet` ÷ SQL with Parquet", "÷ frames"]
    rows = []
    for (kind, units), found in results.items():
        if kind == "full":
            continue
        row = [f"{units:,} {kind}", engine(found, "sql"), engine(found, "frames"), writing(found)]
        row += [over(found, "plan none", name, key) for key in ("wall", "cpu", "mb") for name in ("sql", "frames")]
        rows.append(row + [over(found, "plan parquet", name) for name in ("sql parquet", "frames parquet")])
    return table(head, rows)


def by_supply(results):
    """What bad supply costs: each figure divided by that of the book that is well supplied."""
    head = ["book", "`plan --tables none`: wall", "CPU", "memory", "MB of workbooks", "`--tables parquet`: wall", "CPU", "memory"]
    rows = []
    for (kind, units), found in results.items():
        well = results.get(("different", units), {})
        if kind not in ("scarce", "none") or not well:
            continue
        row = [f"{units:,} {kind}"]
        for name, keys in (("plan none", ("wall", "cpu", "mb", "bytes")), ("plan parquet", ("wall", "cpu", "mb"))):
            mine, theirs = found.get(name, {}), well.get(name, {})
            row += [f"{mine[key] / theirs[key]:.2f}" if mine.get(key) and theirs.get(key) else "-" for key in keys]
        rows.append(row)
    return table(head, rows) if rows else []


def alone(check):
    head = ["300,000 bill lines", "wall s", "read and joined alone s", "CPU s", "peak MB", "check's wall ÷ wall", "÷ alone"]
    rows = []
    for name, run in check.items():
        row = [name, seconds(run), seconds(run, "inside") if name != "check" else "", seconds(run, "cpu")]
        row += [f"{run['mb']:.0f}" if "mb" in run else "-"]
        alone = f"{check['check']['wall'] / run['inside']:.2f}" if "inside" in run and "wall" in check["check"] else ""
        rows.append(row + ([over(check, "check", name), alone] if name != "check" else ["", ""]))
    return table(head, rows)


def numbers(results):
    head = ["book", "command", "wall s (fastest to slowest)", "CPU s", "peak MB", "MB written", "load", "steps, rows"]
    rows = []
    for (kind, units), found in results.items():
        for name, run in found.items():
            if name == "agreement":
                continue
            if "failed" in run:
                rows.append([f"{units:,} {kind}", name, run["failed"], "", "", "", "", ""])
                continue
            wall = f"{run['wall']:.2f} ({run['fastest']:.2f} to {run['slowest']:.2f})"
            more = ", ".join(f"{step} {took:.2f}" for step, took in run.get("steps", {}).items())
            rows_made = ", ".join(f"{n:,} {what}" for what, n in (run.get("rows") or {}).items())
            more = "; ".join(part for part in (more, rows_made) if part)
            row = [f"{units:,} {kind}", name, wall, f"{run['cpu']:.2f}", f"{run['mb']:.0f}", f"{run['bytes'] / 1e6:.1f}"]
            rows.append(row + [f"{run['load']:.1f}", more])
    return table(head, rows)


def agreements(results):
    lines = []
    for (kind, units), found in results.items():
        for rival, said in found.get("agreement", {}).items():
            lines += [f"- {units:,} {kind}, {rival}: " + "; ".join(said)]
    return lines + [""]


def report(machine, repeat, check, results):
    lines = ["# Results", "", f"Made by `benches/run.py` on {machine} Medians of {repeat} runs, commands taken in turn.", ""]
    loads = [run["load"] for found in results.values() for run in found.values() if "load" in run]
    if loads and statistics.median(loads) > 1.5 * (os.cpu_count() or 1):
        lines += [f"Others used the machine at the same time (load {statistics.median(loads):.0f}): seconds are rough, ratios less so.", ""]
    lines += ["A ratio is lineward's figure divided by the other's: below 1 lineward takes less. The rivals do no shop",
              "schedule, no balances and no workbooks. `Planning alone` is lineward's reading, checking, planning and making",
              "of all rows of demands, pegs and pulls inside its process, against all of the rivals' steps inside theirs;",
              "`writing three tables` is that making and Parquet together. The other columns are whole processes, in which lineward",
              "also makes the three workbooks.", ""]
    lines += ["## Planning: ratios", ""] + ratios(results)
    supply = by_supply(results)
    if supply:
        lines += ["## Bad supply, divided by `different`", ""] + supply
    if check:
        lines += ["## Checking a book: seconds and ratios", ""] + alone(check)
    lines += ["## All numbers", ""] + numbers(results)
    lines += ["## Whether the rivals come to the same", ""] + agreements(results)
    return "\n".join(lines)
