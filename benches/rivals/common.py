"""What both rivals share: conditions as bit masks, working time, timing. The tables themselves are read by each engine.

The masks turn option rules into comparisons of whole columns, which is the fastest way known to both engines.
"""

import argparse
import bisect
import datetime as dt
import json
import re
import resource
import time

EPOCH = dt.datetime(1970, 1, 1)
NEVER = 1 << 63  # a bit that no unit has: the masks of a term that is never true
TERMS = 2  # conditions of the books have at most two terms joined by `or`


def arguments():
    parser = argparse.ArgumentParser()
    parser.add_argument("book")
    parser.add_argument("--write", help="write demands, pegs and pulls as Parquet to this folder")
    parser.add_argument("--sums", help="write sums by part to this CSV file, to compare them; not timed")
    return parser.parse_args()


class Steps:
    """Seconds by step; prints one line of JSON at the end."""

    def __init__(self, engine):
        self.engine, self.seconds, self.start = engine, {}, time.perf_counter()
        self.first = self.start

    def done(self, name):
        now = time.perf_counter()
        self.seconds[name] = round(now - self.start, 3)
        self.start = now

    def report(self, rows):
        total = round(sum(self.seconds.values()), 3)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print(json.dumps({"engine": self.engine, "seconds": total, "steps": self.seconds, "peak_kb": peak, "rows": rows}))


def terms(text, bits):
    """A condition as a list of (names needed, names ruled out), of which one must hold."""
    words = re.findall(r'"[^"]*"|[()]|[^\s()]+', text)
    pos = 0

    def one():
        nonlocal pos
        word = words[pos]
        pos += 1
        if word == "not":
            return negated(one())
        if word == "(":
            inner = any_of()
            pos += 1
            return inner
        return [(1 << bits[word.strip('"')], 0)]

    def all_of():
        nonlocal pos
        value = one()
        while pos < len(words) and words[pos] == "and":
            pos += 1
            value = both(value, one())
        return value

    def any_of():
        nonlocal pos
        value = all_of()
        while pos < len(words) and words[pos] == "or":
            pos += 1
            value = value + all_of()
        return value

    return any_of()


def both(a, b):
    return [(x[0] | y[0], x[1] | y[1]) for x in a for y in b]


def negated(value):
    result = [(0, 0)]
    for needed, out in value:
        names = [bit for bit in range(128) if needed >> bit & 1]
        ruled = [bit for bit in range(128) if out >> bit & 1]
        result = both(result, [(0, 1 << n) for n in names] + [(1 << n, 0) for n in ruled])
    return result


LOW = (1 << 63) - 1


def masks(text, bits):
    """Two terms of four numbers of 63 bits each: needed low and high, ruled out low and high."""
    found = terms(text, bits) if text else [(0, 0)]
    assert len(found) <= TERMS, text
    row = []
    for needed, out in found:
        row += [needed & LOW, needed >> 63, out & LOW, out >> 63]
    while len(row) < 4 * TERMS:
        row += [0, 1 << 62, 0, 0]
    return row


def moment(text):
    return int((dt.datetime.fromisoformat(text.replace(" ", "T")) - EPOCH).total_seconds())


class Working:
    """The working time of a calendar of weekdays and breaks, in seconds, over a stretch of days."""

    def __init__(self, rows, name, first, days):
        self.intervals = []
        for n in range(days):
            day = first + dt.timedelta(days=n)
            if day.weekday() < 5:
                self.intervals += self.of_day(rows, name, day)
        self.starts = [start for start, _ in self.intervals]
        self.before = [0]
        for start, end in self.intervals:
            self.before.append(self.before[-1] + end - start)

    @staticmethod
    def of_day(rows, name, day):
        rows = [row for row in rows if row["calendar"] == name]
        assert all(row["day"] == "Mon-Fri" for row in rows)
        at = lambda time: moment(f"{day}T{time}")
        spans = [(at(row["start"]), at(row["end"])) for row in rows if row["open"] != "no"]
        for row in rows:
            if row["open"] == "no":
                a, b = at(row["start"]), at(row["end"])
                spans = [p for s, e in spans for p in ((s, min(e, a)), (max(s, b), e)) if p[0] < p[1]]
        return sorted(spans)

    def worked(self, t):
        n = bisect.bisect_right(self.starts, t) - 1
        return 0 if n < 0 else self.before[n] + min(t, self.intervals[n][1]) - self.intervals[n][0]

    def at(self, w):
        """The latest clock time with so much worked."""
        n = bisect.bisect_right(self.before, w) - 1
        return self.starts[n] + w - self.before[n]

    def works_or_just_stopped(self, t):
        n = bisect.bisect_right(self.starts, t) - 1
        return n >= 0 and t <= self.intervals[n][1]


class Times:
    """Clock times of the simple book: one line that starts empty at the as-of moment."""

    def __init__(self, tables, units):
        settings = {row["key"]: row["value"] for row in tables["Settings"]}
        self.as_of = moment(settings["as of"])
        self.receipts_at = settings["receipts at"]
        assert len(tables["Lines"]) == 1 and not tables["Lines"][0]["last move"]
        takt = int(tables["Takt"][0]["minutes"]) * 60
        stations = sorted(tables["Stations"], key=lambda row: row["station"])
        last = max(int(row["position"]) for row in stations)
        first = (EPOCH + dt.timedelta(seconds=self.as_of)).date() - dt.timedelta(days=14)
        days = 40 + (units + last) * takt // (8 * 3600) * 7 // 5
        line = Working(tables["Calendar"], tables["Lines"][0]["calendar"], first, days)
        self.line, self.takt = line, takt
        self.stations = [row["station"] for row in stations]
        now = line.worked(self.as_of)
        offsets = [(int(row["position"]) - 1) * takt - int(row["deliver ahead"]) * 60 for row in stations]
        self.work = [now + offset for offset in offsets]
        stores = Working(tables["Calendar"], settings["stores calendar"], first, days)
        self.waves, self.picks = [], []
        for n in range(7, days - 7):
            for row in tables["Waves"]:
                t = moment(f"{first + dt.timedelta(days=n)}T{row['time']}")
                if stores.works_or_just_stopped(t):
                    self.waves.append(t)
                    self.picks.append(stores.at(stores.worked(t) - int(row["pick minutes"]) * 60))


def names_to_bits(options, floorplans, lines):
    names = list(options) + sorted(set(floorplans)) + list(lines)
    assert len(names) <= 125
    return {name: n for n, name in enumerate(names)}
