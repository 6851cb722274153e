"""Exports by shop and month, every shop's into one folder, read by DuckDB and by Spark, and held to each shop's own CSV."""

import argparse
import csv
import io
import json
import math
import subprocess
from pathlib import Path

import duckdb
from pyspark.sql import SparkSession


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--program", required=True)
    given = parser.parse_args()
    lake, want, files = given.folder / "lake", {}, 0
    for store in sorted((given.folder / "stores").iterdir()):
        export = [given.program, "--store", store, "records", "export", "--rows", "readings", "--format"]
        command = [*export, "parquet", "--partition", "--json", "-o", lake]
        # Twice: the second time puts every file in the place of the one that is there.
        for _ in range(2):
            said = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)
        files += said["files"]
        rows = subprocess.run([*export, "csv", "-o", "-"], check=True, capture_output=True, text=True).stdout
        for row in csv.DictReader(io.StringIO(rows)):
            key = (row["bench"], row["closed_at"][:7])
            count, volts = want.get(key, (0, 0.0))
            want[key] = (count + 1, volts + float(row["volts"]))
    paths = sorted(path.relative_to(lake) for path in lake.rglob("*") if path.is_file())
    assert len(paths) == files == len(want) and all(path.name == "part-0.parquet" for path in paths), (paths, files)
    query = "SELECT bench, shop, month, count(*), sum(volts) FROM {} GROUP BY bench, shop, month"

    source = f"read_parquet('{lake}/*/*/*.parquet', hive_partitioning = true, hive_types_autocast = false)"
    in_duckdb = duckdb.connect().execute(query.format(source)).fetchall()

    spark = (
        SparkSession.builder.master("local[2]")
        .config("spark.ui.enabled", "false")
        .config("spark.sql.sources.partitionColumnTypeInference.enabled", "false")
        .getOrCreate()
    )
    spark.read.parquet(str(lake)).createOrReplaceTempView("readings")
    on_spark = [tuple(row) for row in spark.sql(query.format("readings")).collect()]
    spark.stop()

    for rows in [in_duckdb, on_spark]:
        assert {(bench, month) for bench, _, month, _, _ in rows} == set(want)
        for bench, shop, month, count, volts in rows:
            assert shop.startswith(bench + "-"), shop
            assert count == want[bench, month][0] and math.isclose(volts, want[bench, month][1], rel_tol=1e-12)


if __name__ == "__main__":
    main()
