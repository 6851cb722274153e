"""Reads exported rows with DuckDB and with Python's own csv and json modules, and holds them to the records.

    check.py FOLDER     records.ndjson, and readings, sessions and pairs as .ndjson, .csv and .parquet

The rows are worked out here from the records' JSON, without the program: another reading of the same data dictionary.
"""

import csv
import datetime
import functools
import json
import math
import operator
import sys
import unicodedata
from pathlib import Path

import duckdb

csv.field_size_limit(1 << 24)
IDENTITY = ["id", "bench", "sequence", "practice", "closed_at", "job", "technician", "amplifier_name", "meter_name"]
WINDOW = ["target_v", "low_v", "high_v", "accept_low_v", "accept_high_v"]
FIT = ["corner_hz", "corner_standard_error_hz", "family", "slope_db_per_octave"]


def flat(value, name=""):
    """Everything that is not in a list, nested keys joined with `_`."""
    found = {}
    for key, inner in value.items():
        path = f"{name}_{key}" if name else key
        if isinstance(inner, dict):
            found.update(flat(inner, path))
        elif not isinstance(inner, list):
            found[path] = inner
    return found


def reasons(record):
    """Why a reading was struck, by list and number."""
    return {
        (entry.get("question", "reading"), entry["number"]): entry["reason"]
        for entry in record["log"]
        if entry["event"] == "strike"
    }


def identity(record):
    every = flat(record)
    return {name: every[name] for name in IDENTITY}


def sessions(record):
    row = identity(record) | flat(record)
    row.pop("outcome_fit", None)
    for key in FIT:
        row.setdefault(f"outcome_fit_{key}", None)
    row["sign_off_signed"] = row.pop("sign_off_signature") is not None
    moment = datetime.datetime.fromisoformat
    passed = moment(record["closed_at"]) - moment(record["opened_at"])
    row["duration_s"] = passed // datetime.timedelta(milliseconds=1) / 1000
    events = [entry["event"] for entry in record["log"]]
    row["readings_count"] = events.count("reading")
    row["struck_count"] = sum(question == "reading" for question, _ in reasons(record))
    row["explore_count"] = events.count("explore")
    row["sweep_count"] = events.count("sweep")
    row["notes_count"] = events.count("note")
    row["warnings_count"] = len(record["plan"]["warnings"])
    return [row]


def readings(record):
    plans = [
        place
        for place, entry in enumerate(record["log"])
        if entry["event"] == "reference" or (entry.get("question") == "set-again" and "filter" in entry)
    ]
    struck = reasons(record)
    rows = []
    for place, entry in enumerate(record["log"]):
        if entry["event"] != "reading":
            continue
        row = identity(record)
        row |= {key: entry[key] for key in ["number", "at", "typed", "volts"]}
        row["span_low_v"], row["span_high_v"] = entry["span_v"] or (None, None)
        row |= {key: entry[key] for key in ["tone_hz", "down_db", "corner_hz", "verdict"]}
        reason = struck.get(("reading", entry["number"]))
        row |= {"struck": reason is not None, "strike_reason": reason}
        judged = place > max(plans, default=-1)
        row |= {f"plan_setting_{key}": record["plan"]["setting"][key] if judged else None for key in WINDOW}
        rows.append(row)
    return rows


def pairs(record):
    struck = reasons(record)
    rows = []
    for entry in record["log"]:
        if entry["event"] not in ("explore", "sweep"):
            continue
        row = identity(record)
        row |= {key: entry[key] for key in ["event", "number", "at", "typed", "volts", "tone_hz", "reference_v"]}
        reason = struck.get((entry["event"], entry["number"]))
        rows.append(row | {"struck": reason is not None, "strike_reason": reason})
    return rows


def type_of(name, cells):
    """The type of a column in DuckDB, by its name and what the records have there."""
    if name in ("at", "sign_off_at", "opened_at", "closed_at"):
        return "TIMESTAMP WITH TIME ZONE"
    whole = ("number", "sequence", "version", "_count", "_digits", "_slope_db_per_octave")
    if name.endswith(whole):
        return "BIGINT"
    some = next((cell for cell in cells if cell is not None), None)
    if isinstance(some, bool):
        return "BOOLEAN"
    text = isinstance(some, str) or name in ("strike_reason", "outcome_reason", "box_driver", "previous")
    return "VARCHAR" if text else "DOUBLE"


# Format characters that draw something: Prepended_Concatenation_Mark of the Unicode standard, from memory.
DRAWN = set("\u0600\u0601\u0602\u0603\u0604\u0605\u06dd\u070f\u0890\u0891\u08e2")


def is_hidden(c):
    """Controls, format characters, line and paragraph separators, and the one place reserved among them."""
    return (unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") and c not in DRAWN) or c in "\u2065\u034f\u115f\u1160\u3164\uffa0"


def spelled(text):
    """What acts or cannot be seen, as its code point."""
    return "".join(f"<U+{ord(c):04X}>" if is_hidden(c) else c for c in text)


def without_quote(text):
    return text[1:] if text.startswith("'") else text


def acts(text):
    """Whether a spreadsheet may take the text for a formula: its first visible character is a start, in any form."""
    for c in text:
        if c in "\t\r\n" or unicodedata.normalize("NFKC", c)[:1] in tuple("=+-@"):
            return True
        if not is_hidden(c) and unicodedata.category(c) != "Zs":
            return False
    return False


def same(what, seen, expected):
    if seen == expected and [type(cell) for cell in seen] == [type(cell) for cell in expected]:
        return
    for row, (one, other) in enumerate(zip(seen, expected)):
        if one != other or type(one) is not type(other):
            raise SystemExit(f"{what}, row {row}: {one!r}, expected {other!r}")
    raise SystemExit(f"{what}: {len(seen)} cells, expected {len(expected)}")


def check(folder, table, expected):
    path = {kind: str(folder / f"{table}.{kind}") for kind in ("ndjson", "csv", "parquet")}
    with open(path["csv"], encoding="utf-8", newline="") as file:
        head, *lines = csv.reader(file, strict=True)
    with open(path["ndjson"], encoding="utf-8", newline="") as file:
        objects = [json.loads(line) for line in file.read().split("\n")[:-1]]
    for object_ in objects:
        same(f"{table}.ndjson, keys", list(object_), head)

    db = duckdb.connect()
    db.execute("SET threads = 1; SET TimeZone = 'UTC'")
    db.execute(f"CREATE VIEW parquet AS SELECT * FROM read_parquet('{path['parquet']}')")
    described = {name: kind for name, kind, *_ in db.execute("DESCRIBE parquet").fetchall()}
    same(f"{table}.parquet, names", list(described), head)
    cells = {name: [row[name] for row in expected] for name in head}
    if expected:
        same(f"{table}, names", sorted(expected[0]), sorted(head))
        types = {name: type_of(name, cells[name]) for name in head}
        same(f"{table}.parquet, types", list(described.values()), list(types.values()))
    types = described

    columns = json.dumps({name: kind.replace("TIMESTAMP WITH TIME ZONE", "VARCHAR") for name, kind in types.items()})
    db.execute(
        f"CREATE VIEW ndjson AS SELECT * FROM read_json('{path['ndjson']}',"
        f" format = 'newline_delimited', columns = {columns})"
    )
    as_csv = "delim = ',', quote = '\"', escape = '\"', strict_mode = true, max_line_size = 16777216"
    db.execute(
        f"CREATE VIEW csv AS SELECT * FROM read_csv('{path['csv']}', header = true, columns = {columns}, {as_csv})"
    )
    # As a person would read them: names and types found out by DuckDB itself. An empty file says nothing of them.
    db.execute(f"CREATE VIEW found AS SELECT * FROM read_json('{path['ndjson']}', sample_size = -1)")
    db.execute(f"CREATE VIEW sniffed AS SELECT * FROM read_csv('{path['csv']}', header = true, {as_csv})")
    if expected:
        same(f"{table}.ndjson, names found", [row[0] for row in db.execute("DESCRIBE found").fetchall()], head)
    same(f"{table}.csv, names found", [row[0] for row in db.execute("DESCRIBE sniffed").fetchall()], head)

    views = ("parquet", "ndjson", "csv")
    for view in views:
        same(f"{table}.{view}, rows", db.execute(f"SELECT count(*) FROM {view}").fetchone(), (len(expected),))
    same(f"{table}.csv, lines", [len(line) for line in lines], [len(head)] * len(expected))
    same(f"{table}.ndjson, lines", [len(objects)], [len(expected)])

    sums = 0
    for at, name in enumerate(head):
        want, kind, what = cells[name], types[name], f"{table}, {name}"
        column = '"' + name + '"'
        ask = lambda view, of: db.execute(f"SELECT {of} FROM {view}").fetchall()
        same(f"{what}, json", [object_[name] for object_ in objects], want)
        plain = [line[at] for line in lines]
        nulls = (want.count(None),)
        for view in ("parquet", "ndjson"):
            same(f"{what}, nulls in {view}", ask(view, f"count(*) - count({column})"), [nulls])
        empty = (sum(cell is None or cell == "" for cell in want),)
        same(f"{what}, nulls in csv", ask("csv", f"count(*) - count({column})"), [empty])
        if kind in ("DOUBLE", "BIGINT"):
            number = float if kind == "DOUBLE" else int
            known = [cell for cell in want if cell is not None]
            assert all(math.isfinite(cell) for cell in known), what
            for view in views:
                same(f"{what} in {view}", [row[0] for row in ask(view, column)], want)
            same(f"{what}, csv", [number(cell) if cell else None for cell in plain], want)
            total = functools.reduce(operator.add, known) if known else None
            for view in views:
                same(f"{what}, sum in {view}", ask(view, f"sum({column})"), [(total,)])
            sums += 1
        elif kind == "BOOLEAN":
            for view in views:
                same(f"{what} in {view}", [row[0] for row in ask(view, column)], want)
            same(f"{what}, csv", plain, ["" if cell is None else str(cell).lower() for cell in want])
        elif kind == "VARCHAR":
            for view in ("parquet", "ndjson"):
                same(f"{what} in {view}", [row[0] for row in ask(view, column)], want)
            safe = [spelled(cell or "") for cell in want]
            same(f"{what}, csv", [without_quote(cell) for cell in plain], safe)
            same(f"{what} in csv", [without_quote(row[0] or "") for row in ask("csv", column)], safe)
            for cell, before in zip(plain, want):
                assert not acts(cell), f"{what}: {cell!r}"
                quoted = before is not None and (before.startswith("'") or acts(before))
                assert cell.startswith("'") == quoted, f"{what}: {before!a} is {cell!a}"
        else:
            millis = [int(datetime.datetime.fromisoformat(cell).timestamp() * 1000 + 0.5) for cell in want]
            same(f"{what} in parquet", [row[0] for row in ask("parquet", f"epoch_ms({column})")], millis)
            for view in ("ndjson", "csv"):
                same(f"{what} in {view}", [row[0] for row in ask(view, column)], want)
                cast = f"epoch_ms(CAST({column} AS TIMESTAMPTZ))"
                same(f"{what}, moments in {view}", [row[0] for row in ask(view, cast)], millis)
            same(f"{what}, csv", plain, want)
    about = dict(
        (key.decode(), value.decode())
        for key, value in db.execute(f"SELECT key, value FROM parquet_kv_metadata('{path['parquet']}')").fetchall()
    )
    assert about["cornerset.format"] == "cornerset-rows" and about["cornerset.version"] == "1", about
    assert about["cornerset.rows"] == table and about["cornerset.tool"].startswith("cornerset "), about
    groups = db.execute(
        f"SELECT DISTINCT row_group_id, row_group_num_rows FROM parquet_metadata('{path['parquet']}') ORDER BY 1"
    ).fetchall()
    whole, rest = divmod(len(expected), 16384)
    same(f"{table}.parquet, groups", [rows for _, rows in groups], [16384] * whole + [rest] * (rest > 0))
    print(f"{table}: {len(expected)} rows, {len(head)} columns, {sums} sums")


def main():
    folder = Path(sys.argv[1])
    with open(folder / "records.ndjson", encoding="utf-8", newline="") as file:
        records = [json.loads(line) for line in file.read().split("\n")[:-1]]
    for table in (readings, sessions, pairs):
        check(folder, table.__name__, [row for record in records for row in table(record)])


if __name__ == "__main__":
    main()
