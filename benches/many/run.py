#!/usr/bin/env python3
"""Plans many books with many edits each, spread over workers by an engine that exists (Dask), collects the tables into one data set of
Parquet files, and asks three questions of it with a general SQL engine (DuckDB): see README.md."""

import argparse
import csv
import datetime as dt
import os
import shutil
import subprocess
import time

import duckdb
from dask.distributed import Client, LocalCluster, as_completed

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
AS_OF = "2027-09-13 06:00"
AS_IT_IS = "as it is"
# What the questions need; demands, pegs and pulls stay behind.
TABLES = ["units", "jobs", "balances", "consequences"]


def arguments():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plants", type=int, default=20, help="how many books")
    parser.add_argument("--edits", type=int, default=50, help="how many edits of each, the book as it is among them")
    parser.add_argument("--units", type=int, default=60, help="how many units each book has")
    parser.add_argument("--workers", default="1,2", help="with how many workers, one run after the other")
    parser.add_argument("--folder", default=os.path.join(ROOT, "target", "bench", "many"), help="where books and tables are kept")
    parser.add_argument("--lineward", default=os.path.join(ROOT, "target", "release", "lineward"))
    return parser.parse_args()


def books(args):
    """The plants' books: the same parts, other bills, sequences, stock and orders."""
    maker = os.path.join(ROOT, "target", "release", "examples", "bench-books")
    made = []
    for plant in range(1, args.plants + 1):
        folder = os.path.join(args.folder, "books", f"plant-{plant:02}-{args.units}")
        if not os.path.isdir(folder):
            words = [folder + ".new", "--units", str(args.units), "--supply", "scarce", "--seed", str(plant)]
            subprocess.run([maker, *words], check=True, stderr=subprocess.DEVNULL)
            os.rename(folder + ".new", folder)
        made.append((f"plant-{plant:02}", folder))
    return made


def rows(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def suppliers(book):
    return sorted({row["supplier"] for row in rows(os.path.join(book, "Parts.csv")) if row["supplier"]})


def edits(args, book):
    """What is tried: for each supplier its truck two days later, and two days sooner; and the book as it is."""
    names = suppliers(book)
    late, sooner = [(f"late: {name}", name, 2) for name in names], [(f"sooner: {name}", name, -2) for name in names]
    turns = [edit for pair in zip(late, sooner) for edit in pair]
    return [(AS_IT_IS, None, 0), *turns][: args.edits]


def edited(book, edit, folder):
    """A copy of a book in which a supplier's open receipts come so many days later; all else is as it was."""
    _, supplier, days = edit
    shutil.copytree(book, folder)
    if supplier is None:
        return
    own = {row["part"] for row in rows(os.path.join(book, "Parts.csv")) if row["supplier"] == supplier}
    path = os.path.join(folder, "Receipts.csv")
    receipts = rows(path)
    for row in receipts:
        if row["part"] in own:
            due, rest = row["due"][:10], row["due"][10:]
            row["due"] = (dt.date.fromisoformat(due) + dt.timedelta(days=days)).isoformat() + rest
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, receipts[0].keys())
        writer.writeheader()
        writer.writerows(receipts)


def plan(lineward, plant, book, edit, data):
    """Plans a book with an edit; its tables join the data set, under the plant and the edit. A plan is a function of its book alone, so it
    does not matter who makes it, when, or how often. One thread each: the workers share the machine."""
    name = edit[0]
    place = os.path.join(data, f"plant={plant}", f"edit={name.replace(':', '').replace(' ', '-')}")
    work = place + ".work"
    shutil.rmtree(work, ignore_errors=True)
    edited(book, edit, os.path.join(work, "book"))
    words = ["plan", os.path.join(work, "book"), "--as-of", AS_OF, "--tables", "parquet", "--out", os.path.join(work, "out")]
    done = subprocess.run([lineward, *words], env={**os.environ, "RAYON_NUM_THREADS": "1"}, capture_output=True, text=True)
    if done.returncode != 0:
        return plant, name, done.stderr
    os.makedirs(place, exist_ok=True)
    for table in TABLES:
        os.replace(os.path.join(work, "out", "tables", f"{table}.parquet"), os.path.join(place, f"{table}.parquet"))
    shutil.rmtree(work)
    return plant, name, None


def spread(args, made, workers):
    """All plans, spread over so many workers; the seconds it took."""
    data = os.path.join(args.folder, f"data-{workers}")
    shutil.rmtree(data, ignore_errors=True)
    with LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None) as cluster, Client(cluster) as client:
        begin = time.monotonic()
        asked = [
            client.submit(plan, args.lineward, plant, book, edit, data, pure=False)
            for plant, book in made
            for edit in edits(args, book)
        ]
        failed = [(plant, name, why) for _, (plant, name, why) in as_completed(asked, with_results=True) if why]
        seconds = time.monotonic() - begin
    for plant, name, why in failed:
        print(f"{plant}, {name}: {why}")
    return data, len(asked), seconds


QUESTIONS = {
    "Which parts are short anywhere, and who has them to spare": """
        with short as (
            select part, plant, sum(qty) as missing, min(arrives) as first from consequences
            where edit = 'as-it-is' and there_at is null group by all),
        ends as (
            select part, plant, arg_max(available, date) - sum(coalesce(planned_receipt, 0)) as left_over from balances
            where edit = 'as-it-is' group by all)
        select short.part, short.plant as short_at, missing, first, string_agg(ends.plant || ' ' || left_over, ', ' order by left_over desc) as to_spare
        from short join ends on ends.part = short.part and ends.plant <> short.plant and ends.left_over >= short.missing
        group by all order by first limit 10""",
    "What a supplier's late truck costs all plants": """
        with loss as (
            select edit, plant, coalesce(sum(adds_seconds), 0) / 60 as minutes,
                count(distinct unit) filter (where word = 'stops the line' and there_at is null) as no_end
            from consequences group by all),
        now as (select * from loss where edit = 'as-it-is')
        select loss.edit, sum(loss.minutes - now.minutes)::int as minutes_more, sum(loss.no_end - now.no_end) as stops_more
        from loss join now using (plant) where loss.edit like 'late%' group by all order by stops_more desc, minutes_more desc limit 10""",
    "Which edit saves most": """
        with loss as (
            select edit, plant, coalesce(sum(adds_seconds), 0) / 60 as minutes,
                count(distinct unit) filter (where word = 'stops the line' and there_at is null) as no_end
            from consequences group by all),
        now as (select * from loss where edit = 'as-it-is')
        select loss.edit, sum(now.minutes - loss.minutes)::int as minutes_saved, sum(now.no_end - loss.no_end) as stops_saved
        from loss join now using (plant) where loss.edit <> 'as-it-is' group by all order by stops_saved desc, minutes_saved desc limit 10""",
}


def ask(data):
    """The questions, of all plans at once."""
    engine = duckdb.connect()
    for table in TABLES:
        files = os.path.join(data, "*", "*", f"{table}.parquet")
        engine.execute(f"create view {table} as select * from read_parquet('{files}', hive_partitioning = true)")
    for question, words in QUESTIONS.items():
        begin = time.monotonic()
        answer = engine.execute(words).fetchall()
        headings = [column[0] for column in engine.description]
        print(f"\n{question} ({time.monotonic() - begin:.2f} s)\n  {' | '.join(headings)}")
        for row in answer:
            print("  " + " | ".join(str(cell) for cell in row))


def same(one, other):
    """Whether two data sets are the same, file by file, to the byte: who planned what must not show."""
    files = lambda data: sorted(os.path.relpath(os.path.join(at, name), data) for at, _, names in os.walk(data) for name in names)
    if files(one) != files(other):
        return False
    read = lambda data, name: open(os.path.join(data, name), "rb").read()
    return all(read(one, name) == read(other, name) for name in files(one))


def main():
    args = arguments()
    made = books(args)
    times, first = [], None
    for workers in [int(word) for word in args.workers.split(",")]:
        data, plans, seconds = spread(args, made, workers)
        times.append((workers, plans, seconds))
        if first is None:
            first = data
        elif not same(first, data):
            raise SystemExit(f"{workers} workers give other tables than {times[0][0]}")
    print("| workers | plans | seconds | plans a second | times as fast |\n|---|---|---|---|---|")
    for workers, plans, seconds in times:
        print(f"| {workers} | {plans} | {seconds:.0f} | {plans / seconds:.1f} | {times[0][2] / seconds:.2f} |")
    ask(first)


if __name__ == "__main__":
    main()
