"""An audit on Spark held to what was done to the records, to DuckDB, and to `cornerset audit` of the same stores.

Takes a folder that the generator filled: report.json (what was damaged), and either records.ndjson, allowed_signers and
ends.ndjson, or `stores`, a folder of stores: then the rest is made by the commands of scale.md, and everything is held to
`cornerset audit` of the stores, too. Prints what was compared, and how long it took.
"""

import argparse
import csv
import io
import json
import math
import os
import shutil
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import duckdb

MANUAL = Path(__file__).resolve().parents[2] / "src" / "manual"
SPARK = (
    "--master local[2] --driver-memory 2g --conf spark.ui.enabled=false --conf spark.ui.showConsoleProgress=false"
    " --conf spark.sql.shuffle.partitions=4"
)


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


def spark_environment(folder):
    """Two cores; what Spark keeps on disk stays in the folder."""
    environment = dict(os.environ, PYSPARK_SUBMIT_ARGS=f"{SPARK} --conf spark.local.dir={folder} pyspark-shell")
    return environment | {"PYSPARK_PYTHON": sys.executable, "PYTHONDONTWRITEBYTECODE": "1"}


def found_in(folder):
    return [place(row) for part in (folder / "audit/findings").glob("*.json") for row in lines(part)]


def on_spark(folder, program):
    command = [sys.executable, MANUAL / "audit_spark.py", "--records", folder / "records.ndjson"]
    command += ["--ends", folder / "ends.ndjson", "--program", program, "--signers", folder / "allowed_signers"]
    command += ["--pieces", "8", "-o", folder / "audit"]
    ran = subprocess.run(command, env=spark_environment(folder), capture_output=True, text=True, check=False)
    if ran.returncode != 0:
        sys.exit(f"the audit on Spark failed:\n{ran.stdout}\n{ran.stderr[-4000:]}")
    return json.loads(ran.stdout.splitlines()[-1]), found_in(folder)


def in_duckdb(folder):
    """The same SQL over the same verdicts."""
    connection = duckdb.connect()
    connection.execute("CREATE MACRO explode(list) AS unnest(list)")
    connection.execute(f"""
        CREATE VIEW verdicts AS SELECT *, [found.kind FOR found IN findings] AS kinds
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
    """Takes the last two records of a shop away, and puts a copy of one of its records beside the others."""
    store = sorted((folder / "stores").iterdir())[0]
    records = {json.loads(path.read_text(encoding="utf-8"))["sequence"]: path for path in store.glob("records/*/*.json")}
    ordered = [records[number] for number in sorted(records)]
    for path in ordered[-2:]:
        path.unlink()
    copy = store / "records" / "2024"
    copy.mkdir()
    shutil.copy(ordered[0], copy)
    return {("missing", store.name, number) for number in sorted(records)[-2:]}, ordered[0].stem


def add_others(folder, damaged):
    """A record dated where not every engine reads a time; files with nothing in them; a practice store in a shop's own.

    Returns the id of the record, and how many files are no records.
    """
    store = sorted((folder / "stores").iterdir())[1]
    paths = [path for path in sorted(store.glob("records/*/*.json")) if path.stem not in damaged]
    text = paths[0].read_text(encoding="utf-8")
    closed_at = json.loads(text)["closed_at"]
    paths[0].write_text(text.replace(closed_at, "0000-01-02T00:00:00.000-23:59"), encoding="utf-8")
    for name, content in [("empty", ""), ("blank", "\n  \n"), ("cut", text[: len(text) // 2])]:
        paths[0].with_name(f"{name}.json").write_text(content, encoding="utf-8")
    practice = store / "practice" / "records" / "2026"
    practice.mkdir(parents=True)
    shutil.copy(paths[1], practice)
    return paths[0].stem, 3


def by_the_page(folder, program):
    """Every command of the page, as it stands there, in a folder with the shops' stores in `shops`."""
    (folder / "stores").rename(folder / "shops")
    for name in ["audit_spark.py", "chain.sql"]:
        shutil.copy(MANUAL / name, folder)
    environment = spark_environment(folder) | {"PATH": f"{Path(program).parent}:{os.environ['PATH']}"}
    blocks = (MANUAL / "scale.md").read_text(encoding="utf-8").split("```sh\n")[1:]
    assert len(blocks) >= 4, blocks
    for block in (block.split("```")[0] for block in blocks):
        ran = subprocess.run(["sh", "-c", block], cwd=folder, env=environment, capture_output=True, text=True, check=False)
        # An audit that finds something ends with 1, as the page says.
        if ran.returncode != ("cornerset audit" in block):
            sys.exit(f"a command of the page failed:\n{block}\n{ran.stdout}\n{ran.stderr[-4000:]}")
        if "audit_spark.py" in block:
            counts = json.loads(ran.stdout.splitlines()[-1])
    (folder / "shops").rename(folder / "stores")
    return counts, found_in(folder)


def lake(folder, program):
    """The exports by shop and month, read by DuckDB and by Spark, held to each shop's own CSV.

    Another table lies in the same lake: neither reader takes its rows for these, and Spark takes the two for no table.
    """
    want = {}
    for store in sorted((folder / "stores").iterdir()):
        command = [program, "--store", store, "records", "export", "--rows", "readings", "--format", "csv", "-o", "-"]
        rows = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        command = [program, "--store", store, "records", "export", "--rows", "sessions", "--format", "parquet"]
        subprocess.run([*command, "--partition", "-o", folder / "lake"], check=True, capture_output=True)
        for row in csv.DictReader(io.StringIO(rows)):
            key = (row["bench"], row["closed_at"][:7])
            count, volts = want.get(key, (0, 0.0))
            want[key] = (count + 1, volts + float(row["volts"]))
    table = folder / "lake" / "readings"
    paths = [path for path in table.rglob("*") if path.is_file()]
    assert len(paths) == len(want) and all(path.name == "part-0.parquet" for path in paths), paths
    query = "SELECT bench, shop, month, count(*), sum(volts) FROM {} GROUP BY bench, shop, month"
    source = f"read_parquet('{table}/*/*/*.parquet', hive_partitioning = true, hive_types_autocast = false)"
    in_duckdb = duckdb.connect().execute(query.format(source)).fetchall()
    from pyspark.sql import SparkSession
    from pyspark.errors import PySparkException

    os.environ.update(spark_environment(folder))
    spark = SparkSession.builder.config("spark.sql.sources.partitionColumnTypeInference.enabled", "false").getOrCreate()
    spark.read.parquet(str(table)).createOrReplaceTempView("readings")
    on_spark = [tuple(row) for row in spark.sql(query.format("readings")).collect()]
    try:
        columns = spark.read.parquet(str(folder / "lake")).columns
        raise AssertionError(f"Spark reads two tables as one: {columns}")
    except PySparkException as refused:
        assert "CONFLICTING_PARTITION" in str(refused).upper().replace(" ", "_") or "Conflicting directory" in str(refused), refused
    spark.stop()
    for rows in [in_duckdb, on_spark]:
        assert {(bench, month) for bench, _, month, _, _ in rows} == set(want)
        for bench, shop, month, count, volts in rows:
            assert shop.startswith(bench + "-"), shop
            assert count == want[bench, month][0] and math.isclose(volts, want[bench, month][1], rel_tol=1e-12)
    return len(paths)


def works_views_out_once(folder):
    """Whether the query on Spark reads the views that it keeps: it makes them anew, silently, where it does not find them."""
    from pyspark.sql import SparkSession
    from pyspark.sql import functions as F

    sys.path.insert(0, str(MANUAL))
    import audit_spark

    os.environ.update(spark_environment(folder))
    spark = SparkSession.builder.getOrCreate()
    verdicts = spark.read.parquet(str(folder / "audit/verdicts")).withColumn("kinds", F.col("findings.kind"))
    verdicts.createOrReplaceTempView("verdicts")
    spark.read.schema(audit_spark.ENDS).json(str(folder / "ends.ndjson")).createOrReplaceTempView("ends")
    plan = audit_spark.findings_of(spark)._jdf.queryExecution().sparkPlan().toString()
    spark.stop()
    for view in ["ranked", "steps"]:
        assert f"Scan In-memory table {view}" in plan, f"{view} is worked out anew:\n{plan[:4000]}"


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
        # The layout and the name of a file are of files, not of lines.
        if finding["kind"] not in ["missing", "rewritten", "misfiled"]:
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
    said, records = {"seconds": {}}, report["records"]
    want, kinds = expected(report), {"altered", "missing", "unknown-signer", "repeated"}
    if has_stores:
        gone, copied = roll_back(folder)
        far, unreadable = add_others(folder, {one[1] for one in want})
        want |= gone | {("copied", copied), ("altered", far), ("unreadable", None)}
        kinds |= {"copied", "unreadable"}
        records += 1 - len(gone) + unreadable
    work = by_the_page if has_stores else on_spark
    counts, spark = timed(said, "spark", lambda: work(folder, given.program))
    assert counts["records"] == records, (counts, records)
    assert told(spark, kinds) == want, told(spark, kinds) ^ want
    duck = timed(said, "duckdb", lambda: in_duckdb(folder))
    differing = (Counter(duck) - Counter(spark)) + (Counter(spark) - Counter(duck))
    assert not differing, differing
    if has_stores:
        audit, found = timed(said, "audit", lambda: by_cornerset(folder, given.program))
        assert told(spark, {one[0] for one in spark}) == found, told(spark, {one[0] for one in spark}) ^ found
        # As often, too: files that are no records have no ids.
        of_audit = Counter(finding["kind"] for finding in audit["findings"])
        for kind in {one[0] for one in found} - {"missing"}:
            assert counts["findings"][kind] == of_audit[kind], (kind, counts, of_audit)
        assert of_audit["unreadable"] == unreadable, of_audit
        assert audit["records"] + 1 == records, (audit["records"], records)
        timed(said, "plan", lambda: works_views_out_once(folder))
        said["files"] = timed(said, "lake", lambda: lake(folder, given.program))
    print(json.dumps({"records": records, "findings": counts["findings"]} | said))


if __name__ == "__main__":
    main()
