"""Option rules, explosion, netting and pulls with a data-frame library; no shop schedule, no balances.

What a shop needs below a job is wanted here when the unit's station wants the job's result: no schedule says better.
"""

import os
import sys

import polars as pl

import common
from common import TERMS, Steps, Times

MICRO = 1_000_000
MANY = 1 << 60
RANKS, PLACES, PARTS = 1 << 20, 1 << 8, 1 << 14


def read(book, name, *columns):
    frame = pl.read_csv(os.path.join(book, name + ".csv"), infer_schema=False, columns=list(columns) or None)
    return frame.with_columns(pl.all().fill_null(""))


def number(name):
    return (pl.col(name).replace("", "0").cast(pl.Float64) * MICRO).round().cast(pl.Int64)


def split(value):
    return value & common.LOW, value >> 63


def read_book(book):
    small = ["Settings", "Lines", "Takt", "Stations", "Calendar", "Waves"]
    tables = {name: read(book, name).to_dicts() for name in small}
    tables |= {name: read(book, name) for name in ["Options", "Groups", "Offers", "Floorplans", "Shops", "Uoms"]}
    tables["Sequence"] = read(book, "Sequence", "unit", "floorplan", "options").with_row_index("rank")
    tables["Parts"] = read(book, "Parts", "part", "uom", "source", "shop", "issue", "pack quantity")
    tables["Bills"] = read(book, "Bills", "parent", "part", "qty", "uom", "station", "when", "scrap")
    tables["Stock"] = read(book, "Stock", "part", "qty", "station", "unit", "hold")
    tables["Receipts"] = read(book, "Receipts", "purchase order", "part", "qty", "due").with_row_index("row")
    return tables


def numbered(tables):
    """Parts by number in code order, with what decides how they are handled."""
    decimals = tables["Uoms"].select("uom", pl.col("decimals").cast(pl.Int64))
    shops = tables["Shops"].select("shop").sort("shop").with_row_index("shop_id")
    parts = tables["Parts"].sort(pl.col("part").str.to_lowercase()).with_row_index("part_id")
    parts = parts.join(decimals, on="uom").join(shops, on="shop", how="left", maintain_order="left")
    return parts.with_columns(
        make=pl.col("source") == "make",
        bulk=pl.col("issue") == "bulk",
        unit_size=10 ** (6 - pl.col("decimals")),
        pack=number("pack quantity"),
    ).sort("part_id")


def options(tables):
    """Units with the bits of all names that are true for them."""
    offers = tables["Offers"]
    assert offers["floorplan"].unique().to_list() == ["*"]
    plans = tables["Floorplans"]
    bits = common.names_to_bits(tables["Options"]["option"], plans["series"], [tables["Lines"][0]["line"]])
    masks = pl.DataFrame(
        [(name, *split(1 << bit)) for name, bit in bits.items()], schema=["name", "lo", "hi"], orient="row"
    )
    words = tables["Sequence"].select("rank", name=pl.col("options").str.split(" ")).explode("name")
    chosen = words.join(masks, on="name").group_by("rank").agg(pl.col("lo", "hi").sum())
    series = plans.join(masks, left_on="series", right_on="name").select("floorplan", s_lo="lo", s_hi="hi")
    units = tables["Sequence"].join(chosen, on="rank", how="left").join(series, on="floorplan").sort("rank")
    line = split(1 << bits[tables["Lines"][0]["line"]])
    units = units.with_columns(
        lo=pl.col("lo").fill_null(0) | pl.col("s_lo") | line[0], hi=pl.col("hi").fill_null(0) | pl.col("s_hi") | line[1]
    )
    grouped = tables["Options"].join(tables["Groups"], on="group").join(offers, on="option")
    assert set(tables["Groups"]["choose"]) == {"one"}
    for _, group in grouped.group_by("group"):
        members = [bits[name] for name in group["option"]]
        standard = bits[group.filter(offer="standard")["option"].item()]
        lo, hi = split(sum(1 << n for n in members))
        s_lo, s_hi = split(1 << standard)
        none = ((pl.col("lo") & lo) == 0) & ((pl.col("hi") & hi) == 0)
        units = units.with_columns(
            lo=pl.when(none).then(pl.col("lo") | s_lo).otherwise(pl.col("lo")),
            hi=pl.when(none).then(pl.col("hi") | s_hi).otherwise(pl.col("hi")),
        )
    return units.select("rank", "unit", "floorplan", "lo", "hi"), bits


def lines(tables, parts, bits):
    """Bill lines with numbers for codes and masks for conditions."""
    bills = tables["Bills"]
    assert (bills["uom"] == "").all()
    names = [f"{what}{n}" for n in range(TERMS) for what in ("need_lo", "need_hi", "out_lo", "out_hi")]
    whens = [(text, *common.masks(text, bits)) for text in bills["when"].unique()]
    masks = pl.DataFrame(whens, schema=["when", *names], orient="row")
    stations = tables["Stations"]
    codes = sorted(row["station"] for row in stations)
    stations = pl.DataFrame({"station": codes, "station_id": range(len(codes))}, schema_overrides={"station_id": pl.Int64})
    known = parts.select("part", "part_id", "make", child_shop="shop_id")
    return (
        bills.join(masks, on="when")
        .join(known, on="part")
        .join(stations, on="station", how="left")
        .join(parts.select(parent="part", parent_id="part_id"), on="parent", how="left")
        .select("parent", "parent_id", "part_id", "make", "child_shop", "station_id", *names,
                line_qty=number("qty"), keep=MICRO - number("scrap"))
    )


def holds():
    any_of = pl.lit(False)
    for n in range(TERMS):
        lo, hi = pl.col("lo"), pl.col("hi")
        need_lo, need_hi = pl.col(f"need_lo{n}"), pl.col(f"need_hi{n}")
        term = ((lo & need_lo) == need_lo) & ((hi & need_hi) == need_hi)
        any_of = any_of | (term & ((lo & pl.col(f"out_lo{n}")) == 0) & ((hi & pl.col(f"out_hi{n}")) == 0))
    return any_of


def arrivals(times, units):
    """For each unit by rank, then each station by code: when it needs its material."""
    places = pl.DataFrame({"work": times.work})
    work = pl.select(rank=pl.int_range(units)).join(places, how="cross").select(pl.col("rank") * times.takt + pl.col("work"))
    spans = pl.DataFrame({"begins": times.line.starts, "before": times.line.before[:-1]})
    at = spans["before"].search_sorted(work["rank"], side="right") - 1
    return (spans["begins"][at] - spans["before"][at] + work["rank"]).alias("need")


def explode(units, bills, times):
    """Demands: unit by rank, part, destination (stations, then shops by number), need, quantity in millionths."""
    count = len(times.stations)
    needs = arrivals(times, len(units))
    columns = ["rank", "part_id", "to", "need", "qty"]
    top = (
        units.lazy().select("rank", "floorplan", "lo", "hi")
        .join(bills.lazy().filter(pl.col("station_id").is_not_null()), left_on="floorplan", right_on="parent")
        .filter(holds())
        .select("rank", "part_id", "make", "child_shop", to="station_id", qty=MICRO * pl.col("line_qty") // pl.col("keep"))
        .group_by("rank", "part_id", "to", "make", "child_shop").agg(pl.col("qty").sum())
        .collect(engine="streaming")
    )
    place = top["rank"].cast(pl.Int64) * count + top["to"]
    top = top.with_columns(need=needs.gather(place))
    bought, made = [top.filter(~pl.col("make")).select(columns)], [top.filter("make").select(columns)]
    jobs = top.filter("make").select("rank", "part_id", "need", "qty", shop="child_shop")
    inside = bills.filter(pl.col("parent_id").is_not_null()).lazy()
    below = []
    while len(jobs):
        found = (
            jobs.lazy().join(units.lazy().select("rank", "lo", "hi"), on="rank")
            .join(inside, left_on="part_id", right_on="parent_id", suffix="_line")
            .filter(holds())
            .select("rank", "need", "shop", "make", "child_shop", part_id="part_id_line",
                    qty=pl.col("qty") * pl.col("line_qty") // pl.col("keep"))
            .collect()
        )
        below.append(found.filter(~pl.col("make")).select("rank", "part_id", "need", "qty", "shop"))
        makes = found.filter("make")
        same = pl.col("child_shop") == pl.col("shop")
        made.append(makes.filter(~same).select("rank", "part_id", (pl.col("shop") + count).cast(pl.Int64).alias("to"), "need", "qty"))
        jobs = makes.select("rank", "part_id", "need", "qty", shop="child_shop")
    bought.append(
        pl.concat(below).group_by("rank", "part_id", "shop", "need").agg(pl.col("qty").sum())
        .select("rank", "part_id", (pl.col("shop") + count).cast(pl.Int64).alias("to"), "need", "qty")
    )
    return pl.concat(bought), pl.concat(made)


def supply(tables, parts, times):
    """Stock, then receipts by when they are there, summed up by part, and a last row of nothing."""
    assert all((tables["Stock"][name] == "").all() for name in ("station", "unit", "hold"))
    known = parts.select("part", "part_id")
    stock = tables["Stock"].join(known, on="part").group_by("part_id").agg(qty=number("qty").sum())
    stock = stock.with_columns(available=pl.lit(-1, pl.Int64), order=pl.lit(""), row=pl.lit(0, pl.UInt32), cover=pl.lit("stock"))
    due = (pl.col("due") + "T" + times.receipts_at).str.to_datetime("%Y-%m-%dT%H:%M").dt.epoch("s")
    receipts = tables["Receipts"].join(known, on="part").select(
        "part_id", qty=number("qty"), available=due, order="purchase order", row="row", cover=pl.lit("receipt")
    )
    assert receipts.is_empty() or receipts["available"].min() >= times.as_of - 24 * 3600
    nothing = known.select("part_id", qty=pl.lit(MANY, pl.Int64), available=pl.lit(MANY, pl.Int64), order=pl.lit(""),
                           row=pl.lit(0, pl.UInt32), cover=pl.lit("none"))
    rows = pl.concat([stock, receipts, nothing], how="diagonal").filter(pl.col("qty") > 0)
    rows = rows.sort("part_id", "available", "order", "row")
    return rows.with_columns(there=pl.col("qty").cum_sum().over("part_id")).with_row_index("supply")


def net(demands, made, stocked):
    """Demands in the order they are served, and their pegs."""
    demands = demands.sort("part_id", "need", "rank", "to").with_row_index("demand")
    demands = demands.with_columns(taken=pl.col("qty").cum_sum().over("part_id"))
    lots = stocked.select("part_id", "supply", "there")
    begin = demands.select("part_id", point=pl.col("taken") - pl.col("qty") + 1)
    asof = dict(right_on="there", by="part_id", strategy="forward", check_sortedness=False)
    first = begin.join_asof(lots, left_on="point", **asof)["supply"]
    last = demands.select("part_id", "taken").join_asof(lots, left_on="taken", **asof)["supply"]
    demands = demands.with_columns(first=first, last=last)
    single = demands.filter(pl.col("first") == pl.col("last")).select("demand", "qty", supply="first")
    many = demands.filter(pl.col("first") != pl.col("last"))
    many = many.with_columns(supply=pl.int_ranges("first", pl.col("last") + 1, dtype=pl.UInt32)).explode("supply")
    many = many.join(stocked.select("supply", "there", lot="qty"), on="supply").select(
        "demand",
        qty=pl.min_horizontal("taken", "there") - pl.max_horizontal(pl.col("taken") - pl.col("qty"), pl.col("there") - pl.col("lot")),
        supply="supply",
    )
    pegs = pl.concat([single, many]).sort("demand", "supply")
    what = stocked.select("cover", "order", "available")[pegs["supply"]]
    whose = demands.select("part_id", "rank", "to", "need")[pegs["demand"]]
    pegs = pl.concat([pegs, whose, what], how="horizontal")
    jobs = made.select("part_id", "rank", "to", "need", "qty", cover=pl.lit("job"))
    late = pl.max_horizontal(pl.col("available") - pl.col("need"), 0)
    pegs = pegs.with_columns(late=pl.when(pl.col("cover") == "receipt").then(late).otherwise(0))
    return demands, pegs, jobs


def pull(pegs, parts, times):
    """Kits by run, part, destination and unit; bulk as whole packs opened in order of need."""
    waves = pl.DataFrame({"wave": times.waves, "pick": times.picks})
    at = waves["wave"].search_sorted(pegs["need"], side="right") - 1
    pegs = pl.concat([pegs, waves[at], at.alias("run").cast(pl.Int64).to_frame()], how="horizontal")
    of_part = parts.select("bulk", "unit_size", "pack")[pegs["part_id"]]
    pegs = pl.concat([pegs, of_part], how="horizontal")
    available, need = pl.col("available"), pl.col("need")
    status = (
        pl.when(pl.col("cover") == "none").then(4).when(pl.col("cover") == "stock").then(0)
        .when(available <= pl.col("pick")).then(1).when(available <= need).then(2).otherwise(3)
    )
    pegs = pegs.with_columns(status=status.cast(pl.Int8))
    # Run, part, destination and unit in one number: grouping and sorting by it is fastest.
    key = (pl.col("run") * PARTS + pl.col("part_id")) * PLACES + pl.col("to")
    key = key * RANKS + pl.col("rank")
    kits = pegs.lazy().filter(~pl.col("bulk")).with_columns(key=key).group_by("key").agg(
        pl.col("qty").sum(), need.min(), pl.col("status").max(), pl.col("unit_size").first()
    )
    whole = pl.col("unit_size") * -(-pl.col("qty") // pl.col("unit_size"))
    kits = kits.select("key", "need", "status", qty=whole).collect(engine="streaming")
    bulk = pegs.filter("bulk").with_columns(taken=pl.col("qty").cum_sum().over("part_id", "to"))
    packs = -(-pl.col("taken") // pl.col("pack")) - -(-(pl.col("taken") - pl.col("qty")) // pl.col("pack"))
    bulk = bulk.with_columns(qty=packs * pl.col("pack"), key=key // RANKS * RANKS).filter(pl.col("qty") > 0)
    bulk = bulk.group_by("key").agg(need.min(), pl.col("status").max(), pl.col("qty").sum())
    rows = pl.concat([kits.with_columns(bulk=False), bulk.with_columns(bulk=True)]).sort("key")
    key = pl.col("key")
    rows = rows.with_columns(
        part_id=(key // (RANKS * PLACES) % PARTS).cast(pl.UInt32), to=key // RANKS % PLACES,
        rank=pl.when(~pl.col("bulk")).then(key % RANKS).cast(pl.UInt32),
    )
    return pl.concat([rows.drop("key", "bulk"), waves[rows["key"] // (RANKS * PLACES * PARTS)]], how="horizontal")


def write(folder, demands, pegs, jobs, pulls, parts, units, places):
    """The three tables with codes as text."""
    os.makedirs(folder, exist_ok=True)
    part, unit, to = parts["part"], units["unit"], pl.Series(places)
    decimal = (pl.col("qty").cast(pl.Decimal(38, 0)) / MICRO).cast(pl.Decimal(38, 6))

    def named(frame, **more):
        time = [pl.from_epoch(name, "s").dt.cast_time_unit("ms").alias(name) for name in ("need", "wave") if name in frame.columns]
        return frame.with_columns(
            *time, unit=unit.gather(frame["rank"]), part=part.gather(frame["part_id"]), to=to.gather(frame["to"])
        ).drop("rank", "part_id")

    for name, frame in (("demands", demands), ("pegs", pl.concat([pegs, jobs], how="diagonal")), ("pulls", pulls)):
        named(frame).write_parquet(os.path.join(folder, name + ".parquet"), compression="snappy")


def main():
    args = common.arguments()
    steps = Steps("frames")
    tables = read_book(args.book)
    parts = numbered(tables)
    assert len(parts) <= PARTS and len(tables["Stations"]) + len(tables["Shops"]) <= PLACES
    steps.done("read")
    units, bits = options(tables)
    bills = lines(tables, parts, bits)
    times = Times(tables, len(units))
    steps.done("options")
    demands, made = explode(units, bills, times)
    steps.done("explode")
    stocked = supply(tables, parts, times)
    demands, pegs, jobs = net(demands, made, stocked)
    steps.done("net")
    pulls = pull(pegs, parts, times)
    steps.done("pulls")
    if args.write:
        places = times.stations + sorted(tables["Shops"]["shop"])
        every = pl.concat([demands.select("rank", "part_id", "to", "need", "qty"), made.select("rank", "part_id", "to", "need", "qty")])
        write(args.write, every, pegs.drop("demand", "supply"), jobs, pulls, parts, units, places)
        steps.done("write")
    steps.report({"demands": len(demands) + len(made), "pegs": len(pegs) + len(jobs), "pulls": len(pulls)})
    if args.sums:
        sums(args.sums, demands, made, pegs, pulls, parts)


def sums(path, demands, made, pegs, pulls, parts):
    def by_part(frame, name):
        return frame.group_by("part_id").agg(pl.col("qty").sum().alias(name))

    every = pl.concat([demands.select("part_id", "qty"), made.select("part_id", "qty")])
    found = parts.select("part_id", "part")
    for frame, name in ((every, "demand"), (pegs.filter(cover="none"), "short"), (pulls, "pulled")):
        found = found.join(by_part(frame, name), on="part_id", how="left")
    found.drop("part_id").fill_null(0).filter(pl.col("demand") > 0).sort("part").write_csv(path)


if __name__ == "__main__":
    sys.exit(main())
