"""Merely writes demands, pegs and pulls as Parquet: `write.py TABLES OUT`, TABLES being the plan's own as Parquet."""

import json
import os
import resource
import sys
import time

import polars as pl


def main(tables, out):
    os.makedirs(out, exist_ok=True)
    frames = {name: pl.read_parquet(os.path.join(tables, name + ".parquet")) for name in ("demands", "pegs", "pulls")}
    seconds = {}
    for text, cast in (("text", pl.String), ("categories", pl.Categorical)):
        kind = {name: frame.with_columns(pl.selectors.by_dtype(pl.String, pl.Categorical).cast(cast)) for name, frame in frames.items()}
        start = time.perf_counter()
        for name, frame in kind.items():
            frame.write_parquet(os.path.join(out, name + ".parquet"), compression="snappy")
        seconds[text] = round(time.perf_counter() - start, 3)
    size = sum(os.path.getsize(os.path.join(out, name + ".parquet")) for name in frames)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(json.dumps({"engine": "write", "seconds": min(seconds.values()), "steps": seconds, "peak_kb": peak, "bytes": size,
                      "rows": {name: len(frame) for name, frame in frames.items()}}))


if __name__ == "__main__":
    main(*sys.argv[1:])
