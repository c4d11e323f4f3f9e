"""Option rules, explosion, netting and pulls with an in-process SQL engine; no shop schedule, no balances.

What a shop needs below a job is wanted here when the unit's station wants the job's result: no schedule says better.
"""

import csv
import os
import sys
import tempfile

import duckdb

import common
from common import TERMS, Steps, Times

MICRO = 1_000_000
MANY = 1 << 60


def number(name):
    return f"round(coalesce({name}::DOUBLE, 0) * {MICRO})::BIGINT"


def insert(db, name, columns, rows):
    """Rows made here go in by way of a file: the fastest without a further library."""
    with tempfile.NamedTemporaryFile("w", suffix=".csv", newline="") as file:
        csv.writer(file).writerows(rows)
        file.flush()
        db.execute(f"CREATE TABLE {name} ({columns}); COPY {name} FROM '{file.name}' (HEADER false, NULLSTR 'NULL')")


def read_book(db, book):
    """All tables as text; nothing is null but blank cells."""
    tables = ["Settings", "Lines", "Takt", "Stations", "Calendar", "Waves", "Options", "Groups", "Offers", "Floorplans",
              "Shops", "Uoms", "Parts", "Bills", "Stock"]
    for name in tables:
        path = os.path.join(book, name + ".csv")
        db.execute(f"CREATE TABLE {name} AS SELECT * FROM read_csv('{path}', header=true, all_varchar=true)")
    for name, order in (("Sequence", "rank"), ("Receipts", "row_no")):
        path = os.path.join(book, name + ".csv")
        db.execute(f"""CREATE TABLE {name} AS SELECT row_number() OVER () - 1 AS {order}, *
                       FROM read_csv('{path}', header=true, all_varchar=true)""")


def rows(db, table):
    found = db.execute(f"FROM {table}")
    names = [column[0] for column in found.description]
    return [dict(zip(names, ["" if cell is None else cell for cell in row])) for row in found.fetchall()]


def numbered(db):
    db.execute(f"""
        CREATE TABLE shop AS SELECT shop, row_number() OVER (ORDER BY shop) - 1 + (SELECT count(*) FROM Stations) AS shop_id FROM Shops;
        CREATE TABLE station AS SELECT station, row_number() OVER (ORDER BY station) - 1 AS station_id,
            (position::BIGINT - 1) * 60 * (SELECT minutes::BIGINT FROM Takt) - "deliver ahead"::BIGINT * 60 AS shift FROM Stations;
        CREATE TABLE part AS SELECT row_number() OVER (ORDER BY lower(part)) - 1 AS part_id, part, source = 'make' AS make,
            coalesce(issue, '') = 'bulk' AS bulk, shop_id, (10 ** (6 - decimals::INT))::BIGINT AS unit_size,
            {number('"pack quantity"')} AS pack
            FROM Parts JOIN Uoms USING (uom) LEFT JOIN shop USING (shop);""")


def options(db):
    """Units with the bits of all names that are true for them."""
    assert db.execute("SELECT count(*) FROM Offers WHERE floorplan <> '*'").fetchone() == (0,)
    assert db.execute("SELECT count(*) FROM Groups WHERE choose <> 'one'").fetchone() == (0,)
    column = lambda sql: [row[0] for row in db.execute(sql).fetchall()]
    line = column("SELECT line FROM Lines")[0]
    bits = common.names_to_bits(column("SELECT option FROM Options"), column("SELECT series FROM Floorplans"), [line])
    split = lambda n: ((1 << n) & common.LOW, (1 << n) >> 63)
    insert(db, "name", "name VARCHAR, lo BIGINT, hi BIGINT", [(name, *split(n)) for name, n in bits.items()])
    lo, hi = split(bits[line])
    db.execute(f"""
        CREATE TABLE standard AS SELECT "group", bit_or(lo) AS g_lo, bit_or(hi) AS g_hi,
            bit_or(CASE WHEN offer = 'standard' THEN lo ELSE 0 END) AS s_lo, bit_or(CASE WHEN offer = 'standard' THEN hi ELSE 0 END) AS s_hi
            FROM Options JOIN Offers USING (option) JOIN name ON name = option JOIN Groups USING ("group") GROUP BY ALL;
        CREATE TABLE ordered AS SELECT rank, floorplan, bit_or(lo) | {lo} AS lo, bit_or(hi) | {hi} AS hi FROM (
            SELECT rank, floorplan, unnest(string_split(concat_ws(' ', options, series), ' ')) AS name
            FROM Sequence JOIN Floorplans USING (floorplan)) JOIN name USING (name) GROUP BY ALL;
        CREATE TABLE unit AS SELECT rank, floorplan, o.lo | coalesce(bit_or(s_lo), 0) AS lo, o.hi | coalesce(bit_or(s_hi), 0) AS hi
            FROM ordered o LEFT JOIN standard ON o.lo & g_lo = 0 AND o.hi & g_hi = 0 GROUP BY rank, floorplan, o.lo, o.hi;""")
    return bits


def lines(db, bits):
    assert db.execute("SELECT count(*) FROM Bills WHERE uom IS NOT NULL").fetchone() == (0,)
    whens = [row[0] or "" for row in db.execute('SELECT DISTINCT "when" FROM Bills').fetchall()]
    names = [f"{what}{n}" for n in range(TERMS) for what in ("need_lo", "need_hi", "out_lo", "out_hi")]
    columns = "text VARCHAR, " + ", ".join(f"{name} BIGINT" for name in names)
    insert(db, "condition", columns, [(text, *common.masks(text, bits)) for text in whens])
    db.execute(f"""
        CREATE TABLE line AS SELECT parent, p.part_id AS parent_id, c.part_id, c.make, c.shop_id AS child_shop, station_id,
            {", ".join(names)}, {number("qty")} AS line_qty, {MICRO} - {number("scrap")} AS keep
            FROM Bills b JOIN condition ON text = coalesce("when", '') JOIN part c ON c.part = b.part
            LEFT JOIN station USING (station) LEFT JOIN part p ON p.part = b.parent;""")


HOLDS = " OR ".join(
    f"(lo & need_lo{n} = need_lo{n} AND hi & need_hi{n} = need_hi{n} AND lo & out_lo{n} = 0 AND hi & out_hi{n} = 0)"
    for n in range(TERMS)
)


def needs(db, times, units):
    """When each unit needs material at each station, from the line's working intervals."""
    line = times.line
    insert(db, "working", "begins BIGINT, before BIGINT", zip(line.starts, line.before))
    now, takt = line.worked(times.as_of), times.takt
    db.execute(f"""
        CREATE TABLE need AS SELECT rank, station_id, begins + w - before AS need FROM (
            SELECT rank, station_id, {now} + rank * {takt} + shift AS w FROM range({units}) t(rank), station)
        ASOF JOIN working ON w >= before""")


def explode(db):
    """Demands: unit by rank, part, destination (stations, then shops by number), need, quantity in millionths."""
    db.execute(f"""
        CREATE TABLE top AS SELECT rank, part_id, station_id AS to_id, need, qty, make, child_shop FROM (
            SELECT rank, part_id, station_id, make, child_shop, sum({MICRO} * line_qty // keep)::BIGINT AS qty
            FROM unit JOIN line ON parent = floorplan WHERE station_id IS NOT NULL AND ({HOLDS}) GROUP BY ALL)
        JOIN need USING (rank, station_id);
        CREATE TABLE made AS SELECT rank, part_id, to_id, need, qty FROM top WHERE make;
        CREATE TABLE below (rank BIGINT, part_id BIGINT, to_id BIGINT, need BIGINT, qty BIGINT);
        CREATE TABLE job AS SELECT rank, part_id, need, qty, child_shop AS shop FROM top WHERE make;""")
    while db.execute("SELECT count(*) FROM job").fetchone()[0]:
        db.execute(f"""
            CREATE OR REPLACE TABLE found AS
                SELECT rank, l.part_id, need, shop, make, child_shop, qty * line_qty // keep AS qty
                FROM job JOIN unit USING (rank) JOIN line l ON parent_id = job.part_id WHERE {HOLDS};
            INSERT INTO below SELECT rank, part_id, shop, need, qty FROM found WHERE NOT make;
            INSERT INTO made SELECT rank, part_id, shop, need, qty FROM found WHERE make AND child_shop <> shop;
            CREATE OR REPLACE TABLE job AS SELECT rank, part_id, need, qty, child_shop AS shop FROM found WHERE make;""")
    db.execute("""
        CREATE TABLE bought AS SELECT rank, part_id, to_id, need, qty FROM top WHERE NOT make UNION ALL
            SELECT rank, part_id, to_id, need, sum(qty)::BIGINT FROM below GROUP BY ALL""")


def net(db, times):
    """Stock, then receipts by when they are there, summed up by part; demands in the order they are served; their pegs."""
    assert db.execute("SELECT count(*) FROM Stock WHERE station IS NOT NULL OR unit IS NOT NULL OR hold IS NOT NULL").fetchone() == (0,)
    db.execute(f"""
        CREATE TABLE supply AS SELECT *, sum(qty) OVER (PARTITION BY part_id ORDER BY available, po, row_no)::BIGINT AS there,
            row_number() OVER (ORDER BY part_id, available, po, row_no) AS supply FROM (
            SELECT part_id, sum({number("qty")})::BIGINT AS qty, -1 AS available, '' AS po, 0 AS row_no, 'stock' AS cover
                FROM Stock JOIN part USING (part) GROUP BY part_id UNION ALL
            SELECT part_id, {number("qty")}, epoch((due || ' {times.receipts_at}')::TIMESTAMP)::BIGINT, "purchase order", row_no, 'receipt'
                FROM Receipts JOIN part USING (part) UNION ALL
            SELECT part_id, {MANY}, {MANY}, '', 0, 'none' FROM part) WHERE qty > 0;
        CREATE TABLE demand AS
            SELECT *, sum(qty) OVER (PARTITION BY part_id ORDER BY need, rank, to_id)::BIGINT AS taken FROM bought;
        CREATE TABLE served AS SELECT d.*, a.supply AS first, b.supply AS last FROM demand d
            ASOF JOIN supply a ON d.part_id = a.part_id AND d.taken - d.qty + 1 <= a.there
            ASOF JOIN supply b ON d.part_id = b.part_id AND d.taken <= b.there;
        CREATE TABLE peg AS SELECT p.*, cover, po, available,
            CASE WHEN cover = 'receipt' THEN greatest(available - need, 0) ELSE 0 END AS late FROM (
            SELECT part_id, rank, to_id, need, taken, qty, first AS supply FROM served WHERE first = last UNION ALL
            SELECT s.part_id, rank, to_id, need, taken, least(taken, there) - greatest(taken - s.qty, there - l.qty), l.supply
                FROM served s JOIN supply l ON l.supply BETWEEN first AND last AND l.part_id = s.part_id WHERE first < last) p
            JOIN supply USING (supply);""")


def pull(db, times):
    """Kits by run, part, destination and unit; bulk as whole packs opened in order of need."""
    insert(db, "wave", "wave BIGINT, pick BIGINT", zip(times.waves, times.picks))
    db.execute("""
        CREATE TABLE gone AS SELECT peg.part_id, rank, to_id, need, peg.qty, supply, wave, bulk, unit_size, pack,
            CASE WHEN cover = 'none' THEN 4 WHEN cover = 'stock' THEN 0 WHEN available <= pick THEN 1
                 WHEN available <= need THEN 2 ELSE 3 END AS status
            FROM peg JOIN part USING (part_id) ASOF JOIN wave ON need >= wave;
        CREATE TABLE pull AS SELECT wave, part_id, to_id, rank, min(need) AS need, max(status) AS status,
                any_value(unit_size) * ((sum(qty)::BIGINT + any_value(unit_size) - 1) // any_value(unit_size)) AS qty
                FROM gone WHERE NOT bulk GROUP BY wave, part_id, to_id, rank;
        INSERT INTO pull SELECT wave, part_id, to_id, NULL, min(need), max(status), sum(packs * pack)::BIGINT FROM (
            SELECT *, (taken + pack - 1) // pack - (taken - qty + pack - 1) // pack AS packs FROM (
                SELECT *, sum(qty) OVER (PARTITION BY part_id, to_id ORDER BY need, rank, supply)::BIGINT AS taken FROM gone WHERE bulk))
            WHERE packs > 0 GROUP BY wave, part_id, to_id;""")


def write(db, folder):
    os.makedirs(folder, exist_ok=True)
    db.execute("""CREATE VIEW place AS SELECT station AS place, station_id AS to_id FROM station UNION ALL SELECT shop, shop_id FROM shop""")
    common_columns = f'unit, part, place AS "to", make_timestamp(need * 1000000) AS need, (qty::DECIMAL(38, 0) / {MICRO})::DECIMAL(38, 6) AS qty'
    named = "JOIN part USING (part_id) JOIN place USING (to_id) LEFT JOIN Sequence USING (rank)"
    every = {
        "demands": f"SELECT {common_columns} FROM (SELECT rank, part_id, to_id, need, qty FROM demand UNION ALL FROM made) {named} ORDER BY part_id, need, rank, to_id",
        "pegs": f"SELECT {common_columns}, cover, po, CASE WHEN cover = 'receipt' THEN make_timestamp(available * 1000000) END AS available, late FROM ("
                f"SELECT rank, part_id, to_id, need, qty, cover, po, available, late, supply FROM peg UNION ALL "
                f"SELECT rank, part_id, to_id, need, qty, 'job', NULL, NULL, 0, 0 FROM made) {named} ORDER BY part_id, need, rank, to_id, supply",
        "pulls": f"SELECT make_timestamp(wave * 1000000) AS wave, {common_columns}, status FROM pull {named} ORDER BY wave, part_id, to_id, rank",
    }
    for name, sql in every.items():
        db.execute(f"COPY ({sql}) TO '{os.path.join(folder, name)}.parquet' (FORMAT parquet, COMPRESSION snappy)")


def sums(db, path):
    db.execute(f"""COPY (SELECT part, demand, coalesce(short, 0) AS short, coalesce(pulled, 0) AS pulled FROM part
        JOIN (SELECT part_id, sum(qty) AS demand FROM (SELECT part_id, qty FROM demand UNION ALL SELECT part_id, qty FROM made) GROUP BY 1) USING (part_id)
        LEFT JOIN (SELECT part_id, sum(qty) AS short FROM peg WHERE cover = 'none' GROUP BY 1) USING (part_id)
        LEFT JOIN (SELECT part_id, sum(qty) AS pulled FROM pull GROUP BY 1) USING (part_id) ORDER BY part) TO '{path}' (HEADER)""")


def main():
    args = common.arguments()
    steps = Steps("sql")
    db = duckdb.connect()
    read_book(db, args.book)
    numbered(db)
    db.execute("SET preserve_insertion_order = false")
    steps.done("read")
    bits = options(db)
    lines(db, bits)
    count = lambda table: db.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
    small = ["Settings", "Lines", "Takt", "Stations", "Calendar", "Waves"]
    times = Times({name: rows(db, name) for name in small}, count("unit"))
    steps.done("options")
    needs(db, times, count("unit"))
    explode(db)
    steps.done("explode")
    net(db, times)
    steps.done("net")
    pull(db, times)
    steps.done("pulls")
    if args.write:
        write(db, args.write)
        steps.done("write")
    made = count("made")
    steps.report({"demands": count("demand") + made, "pegs": count("peg") + made, "pulls": count("pull")})
    if args.sums:
        sums(db, args.sums)


if __name__ == "__main__":
    sys.exit(main())
