"""An audit on Spark held to what was done to the records, to DuckDB, and to `cornerset audit` of the same stores.

Takes a folder that the generator filled: records.ndjson, allowed_signers, ends.ndjson, report.json (what was damaged), and
for a whole comparison `stores`, a folder of stores with the same records. Prints what was compared, and how long it took.
"""

import argparse
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import duckdb

MANUAL = Path(__file__).resolve().parents[2] / "src" / "manual"
SPARK = "--master local[2] --driver-memory 2g --conf spark.ui.enabled=false --conf spark.ui.showConsoleProgress=false"


def lines(path):
    with open(path, encoding="utf-8") as file:
        return [json.loads(line) for line in file]


def timed(said, step, work):
    start = time.monotonic()
    result = work()
    said["seconds"][step] = round(time.monotonic() - start, 1)
    return result


def place(finding):
    """A finding as it is compared."""
    return tuple(finding.get(key) for key in ["kind", "bench", "sequence", "last_sequence", "id"])


def on_spark(folder, program):
    command = [sys.executable, MANUAL / "audit_spark.py", "--records", folder / "records.ndjson"]
    command += ["--ends", folder / "ends.ndjson", "--program", program, "--signers", folder / "allowed_signers"]
    command += ["--pieces", "8", "-o", folder / "audit"]
    environment = dict(os.environ, PYSPARK_SUBMIT_ARGS=f"{SPARK} --conf spark.local.dir={folder} pyspark-shell")
    environment |= {"PYSPARK_PYTHON": sys.executable, "PYTHONDONTWRITEBYTECODE": "1"}
    ran = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    if ran.returncode != 0:
        sys.exit(f"the audit on Spark failed:\n{ran.stdout}\n{ran.stderr[-4000:]}")
    found = [place(row) for part in (folder / "audit/findings").glob("*.json") for row in lines(part)]
    return json.loads(ran.stdout.splitlines()[-1]), found


def in_duckdb(folder):
    """The same SQL over the same verdicts."""
    connection = duckdb.connect()
    connection.execute("SET TimeZone = 'UTC'")
    connection.execute(f"""
        CREATE VIEW verdicts AS
        SELECT * REPLACE (CAST(closed_at AS TIMESTAMPTZ) AS closed_at, CAST(last_at AS TIMESTAMPTZ) AS last_at)
        FROM read_parquet('{folder}/audit/verdicts/*/*.parquet', hive_partitioning = true, hive_types_autocast = false)
    """)
    connection.execute(f"""
        CREATE VIEW ends AS SELECT * FROM read_json('{folder}/ends.ndjson',
            columns = {{bench: 'VARCHAR', sequence: 'BIGINT', digest: 'VARCHAR', id: 'VARCHAR'}})
    """)
    *views, query = (MANUAL / "chain.sql").read_text(encoding="utf-8").split(";\n")
    for view in views:
        connection.execute(view)
    return connection.execute(query).fetchall()


def roll_back(folder):
    """Takes the last two records of a bench away, and puts a copy of one of its records beside the others."""
    path = folder / "records.ndjson"
    kept = path.read_text(encoding="utf-8").splitlines(keepends=True)
    end = lines(folder / "ends.ndjson")[0]
    records = [json.loads(line) for line in kept]
    gone = [record for record in records if record["bench"] == end["bench"] and record["sequence"] > end["sequence"] - 2]
    copied = next(record for record in records if record["bench"] == end["bench"])
    copy = next(line for line, record in zip(kept, records, strict=True) if record is copied)
    kept = [line for line, record in zip(kept, records, strict=True) if record not in gone]
    path.write_text("".join(kept) + copy, encoding="utf-8")
    store = folder / "stores" / end["bench"]
    for record in gone:
        next(store.glob(f"records/*/{record['id']}.json")).unlink()
    shutil.copy(next(store.glob(f"records/*/{copied['id']}.json")), store)
    assert len(gone) == 2
    return {("missing", record["bench"], record["sequence"]) for record in gone}, copied["id"]


def expected(report):
    """What has to be found, by what was done."""
    found = {("altered", place["id"]) for place in report["tampered"]}
    found |= {("missing", place["bench"], place["sequence"]) for place in report["removed"]}
    found |= {("unknown-signer", place["id"]) for place in report["foreign"]}
    return found | {("repeated", place["id"]) for place in report["doubled"]}


def told(findings, kinds):
    """Findings of Spark's or DuckDB's in the form of `expected`; each missing number of a run by itself."""
    found = set()
    for kind, bench, sequence, last, id in findings:
        if kind == "missing":
            found |= {(kind, bench, number) for number in range(sequence, last + 1)}
        else:
            found.add((kind, id))
    return {one for one in found if one[0] in kinds}


def by_cornerset(folder, program):
    """What `cornerset audit` says of the stores, in the same form, and how many records it counts."""
    stores = sorted((folder / "stores").iterdir())
    command = [program, "audit", "--json", "--allowed-signers", folder / "allowed_signers", *stores]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert ran.returncode == 1, ran
    audit = json.loads(ran.stdout)
    found = {("missing", gap["bench"], gap["sequence"]) for gap in audit["missing"]}
    for finding in audit["findings"]:
        if finding["kind"] != "missing" and finding["id"]:
            found.add((finding["kind"], finding["id"]))
    return audit, found


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--program", required=True)
    given = parser.parse_args()
    folder = given.folder.resolve()
    report = json.loads((folder / "report.json").read_text(encoding="utf-8"))
    has_stores = (folder / "stores").is_dir()
    said = {"seconds": {}}
    want, kinds = expected(report), {"altered", "missing", "unknown-signer", "repeated"}
    records = report["records"]
    if has_stores:
        gone, copied = roll_back(folder)
        want |= gone | {("copied", copied)}
        kinds |= {"copied"}
        records += 1 - len(gone)
    counts, spark = timed(said, "spark", lambda: on_spark(folder, given.program))
    assert counts["records"] == records, (counts, records)
    assert told(spark, kinds) == want, told(spark, kinds) ^ want
    duck = timed(said, "duckdb", lambda: in_duckdb(folder))
    assert len(duck) == len(set(duck)) and set(duck) == set(spark), set(duck) ^ set(spark)
    if has_stores:
        audit, found = timed(said, "audit", lambda: by_cornerset(folder, given.program))
        # A record whose signature was taken off is altered, and by its verdict no longer signed: the query says the first.
        kinds |= {"unsigned", "times-backwards", "recomputed-differently"}
        altered = {id for kind, *id in found if kind == "altered"}
        found = {one for one in found if one[0] in kinds and (one[0] != "unsigned" or one[1:] not in map(tuple, altered))}
        assert told(spark, kinds) == found, told(spark, kinds) ^ found
        assert audit["records"] + 1 == records, (audit["records"], records)
    said |= {"records": records, "findings": counts["findings"]}
    print(json.dumps(said))


if __name__ == "__main__":
    main()
