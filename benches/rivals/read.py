"""Merely reads a book's tables and joins what refers to something else: `read.py ENGINE BOOK`.

What is not found is counted: bill lines without a part, parent, station or condition's option; stock and receipts without
a part; units without a floorplan or with an option that is not there; offers without an option.
"""

import csv
import json
import os
import resource
import sys
import time

JOINS = [
    ("Bills", "part", "Parts", "part"),
    ("Bills", "station", "Stations", "station"),
    ("Stock", "part", "Parts", "part"),
    ("Stock", "unit", "Sequence", "unit"),
    ("Receipts", "part", "Parts", "part"),
    ("Sequence", "floorplan", "Floorplans", "floorplan"),
    ("Offers", "option", "Options", "option"),
    ("Options", "group", "Groups", "group"),
    ("Parts", "shop", "Shops", "shop"),
    ("Parts", "uom", "Uoms", "uom"),
]
NUMBERS = [("Bills", "qty"), ("Bills", "scrap"), ("Stock", "qty"), ("Receipts", "qty"), ("Parts", "minutes"), ("Parts", "cost")]


def frames(book, names):
    import polars as pl

    table = {n: pl.read_csv(os.path.join(book, n + ".csv"), infer_schema=False) for n in names}
    missing = 0
    for left, key, right, other in JOINS:
        if key in table[left].columns:
            some = table[left].filter(pl.col(key).is_not_null())
            missing += some.join(table[right], left_on=key, right_on=other, how="anti").height
    places = pl.concat([table["Floorplans"].select(parent="floorplan"), table["Parts"].select(parent="part")])
    missing += table["Bills"].join(places, on="parent", how="anti").height
    words = table["Sequence"].select(option=pl.col("options").str.split(" ")).explode("option").drop_nulls()
    missing += words.join(table["Options"], on="option", how="anti").height
    whens = table["Bills"].select(name=pl.col("when").str.extract_all(r"\w+")).explode("name").drop_nulls()
    known = pl.concat([table["Options"].select(name="option"), table["Floorplans"].select(name="series"),
                       table["Lines"].select(name="line"), pl.DataFrame({"name": ["and", "or", "not"]})])
    missing += whens.join(known, on="name", how="anti").height
    total = sum(table[t][c].cast(pl.Float64).sum() for t, c in NUMBERS)
    return missing, round(total, 3)


def sql(book, names):
    import duckdb

    db = duckdb.connect()
    for n in names:
        db.execute(f"CREATE TABLE {n} AS FROM read_csv('{os.path.join(book, n)}.csv', header=true, all_varchar=true)")
    one = lambda text: db.execute(text).fetchone()[0]
    columns = {n: {row[0] for row in db.execute(f"DESCRIBE {n}").fetchall()} for n in names}
    missing = 0
    for left, key, right, other in JOINS:
        if key in columns[left]:
            missing += one(f'SELECT count(*) FROM {left} l ANTI JOIN {right} r ON l."{key}" = r."{other}" WHERE l."{key}" IS NOT NULL')
    missing += one("SELECT count(*) FROM Bills ANTI JOIN (SELECT floorplan AS parent FROM Floorplans UNION ALL SELECT part FROM Parts) USING (parent)")
    missing += one("SELECT count(*) FROM (SELECT unnest(string_split(options, ' ')) AS option FROM Sequence) ANTI JOIN Options USING (option)")
    missing += one("""SELECT count(*) FROM (SELECT unnest(regexp_extract_all("when", '\\w+')) AS name FROM Bills)
        ANTI JOIN (SELECT option AS name FROM Options UNION ALL SELECT series FROM Floorplans UNION ALL SELECT line FROM Lines
        UNION ALL VALUES ('and'), ('or'), ('not')) USING (name)""")
    total = sum(one(f"SELECT sum({c}::DOUBLE) FROM {t}") or 0 for t, c in NUMBERS)
    return missing, round(total, 3)


def main(engine, book):
    __import__("polars" if engine == "frames" else "duckdb")
    names = []
    for file in sorted(os.listdir(book)):
        with open(os.path.join(book, file), newline="") as rows:
            if sum(1 for _, _ in zip(range(2), csv.reader(rows))) > 1 or file in ("Groups.csv", "Shops.csv"):
                names.append(file.removesuffix(".csv"))
    start = time.perf_counter()
    missing, total = {"frames": frames, "sql": sql}[engine](book, names)
    seconds = round(time.perf_counter() - start, 3)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(json.dumps({"engine": engine, "seconds": seconds, "peak_kb": peak, "missing": missing, "total": total}))


if __name__ == "__main__":
    main(*sys.argv[1:])
