"""Compares a rival's sums by part with the plan's own tables: `compare.py TABLES SUMS.csv` (TABLES as Parquet).

Demands and shortages by part must agree to the last millionth. Pulls of parts counted in pieces must agree for kits; a
rival has no shop schedule, so measured parts and bulk packs may be split over other runs, and rounded otherwise.
"""

import sys

import polars as pl


def plan_sums(folder):
    def by_part(frame, name):
        qty = (pl.col("qty").cast(pl.Decimal(38, 6)) * 1_000_000).cast(pl.Int64)
        return frame.group_by("part").agg(qty.sum().alias(name)).with_columns(pl.col("part").cast(pl.String))

    table = {name: pl.read_parquet(f"{folder}/{name}.parquet") for name in ("demands", "pegs", "pulls")}
    found = by_part(table["demands"], "demand")
    short = by_part(table["pegs"].filter(pl.col("cover") == "none"), "short")
    found = found.join(short, on="part", how="left").join(by_part(table["pulls"], "pulled"), on="part", how="left")
    kinds = table["pulls"].group_by("part").agg(
        pieces=((pl.col("uom").first() == "ea") & (pl.col("issue").first() != "bulk"))
    ).with_columns(pl.col("part").cast(pl.String))
    return found.join(kinds, on="part", how="left").fill_null(0), {name: len(frame) for name, frame in table.items()}


def main(folder, path):
    plan, rows = plan_sums(folder)
    both = plan.join(pl.read_csv(path), on="part", how="full", suffix="_rival", coalesce=True).fill_null(0)
    print("rows of the plan:", rows)
    wrong = 0
    for name, among in (("demand", both), ("short", both), ("pulled", both.filter("pieces"))):
        off = among.filter(pl.col(name) != pl.col(name + "_rival"))
        wrong += len(off)
        total = [among[column].sum() / 1e6 for column in (name, name + "_rival")]
        print(f"{name}: {len(among) - len(off)} of {len(among)} parts equal; sums {total[0]:.6f} and {total[1]:.6f}")
        if len(off):
            print(off.select("part", name, name + "_rival").head(5))
    other = both.filter(~pl.col("pieces"))
    print(f"pulled, measured parts and bulk: sums {other['pulled'].sum() / 1e6:.3f} and {other['pulled_rival'].sum() / 1e6:.3f}")
    return wrong > 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
