"""An audit of any number of records on Apache Spark: see scale.md beside this file.

The map step is `cornerset audit --stream`, once for each piece of the records; the chains are checked by chain.sql over the
verdicts that it prints. Needs PySpark, and the program and the trust list where every worker finds them.
"""

import argparse
import json
import shlex
import sys
from pathlib import Path

from pyspark import StorageLevel
from pyspark.sql import SparkSession
from pyspark.sql import functions as F

# The columns of a verdict that are kept, with Spark's types. `line` counts in a piece of the stream, and says nothing here.
VERDICTS = """
    id STRING, bench STRING, sequence BIGINT, previous STRING, digest STRING, stated_digest STRING,
    signature_digest STRING, closed_at STRING, last_at STRING, closed_at_ms BIGINT, last_at_ms BIGINT, job STRING,
    technician STRING, amplifier STRING, meter STRING, practice BOOLEAN, scripted BOOLEAN, inside BOOLEAN, miss_db DOUBLE,
    dial_error_percent DOUBLE, readable BOOLEAN, intact BOOLEAN, signer STRING, trusted BOOLEAN, recomputes BOOLEAN,
    findings ARRAY<STRUCT<kind: STRING, detail: STRING>>
"""
ENDS = "bench STRING, sequence BIGINT, digest STRING, id STRING"
# A map step ends with 0 or 1 (findings); anything else, as a trust list that cannot be read, must stop the job.
STEP = '"$0" audit --stream --allowed-signers "$1"; code=$?; [ "$code" -le 1 ] || exit "$code"'


def arguments():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--records", required=True, help="records as NDJSON: a file, a folder or a pattern, packed or not")
    parser.add_argument("--ends", help="the ends of the chains as the stores remember them, as NDJSON")
    parser.add_argument("--program", required=True, help="the program, as a worker finds it")
    parser.add_argument("--signers", required=True, help="the trust list, as a worker finds it")
    parser.add_argument("--pieces", type=int, help="the least number of pieces that one file is cut into")
    parser.add_argument("-o", "--output", required=True, help="a folder for verdicts and findings, which is not there yet")
    return parser.parse_args()


def verdicts_of(spark, given):
    """A verdict for each record, as rows."""
    lines = spark.sparkContext.textFile(given.records, given.pieces)
    # One thread each: Spark has as many of them at work as there are cores.
    step = " ".join(map(shlex.quote, ["/bin/sh", "-c", STEP, given.program, given.signers]))
    verdicts = lines.pipe(step, env={"RAYON_NUM_THREADS": "1"}, checkCode=True)
    rows = spark.read.schema(VERDICTS).option("mode", "FAILFAST").json(verdicts)
    # The month in which it was signed off, where it was.
    return rows.withColumn("month", F.coalesce(F.substring("closed_at", 1, 7), F.lit("unknown")))


def findings_of(spark):
    """What chain.sql finds in the tables `verdicts` and `ends`."""
    # Two views and a query. The query looks at the views several times: they are worked out once, and kept on disk.
    *views, query = (Path(__file__).parent / "chain.sql").read_text(encoding="utf-8").split(";\n")
    for view, name in zip(views, ["ranked", "steps"], strict=True):
        spark.sql(view)
        spark.catalog.cacheTable(name, StorageLevel.DISK_ONLY)
    return spark.sql(query)


def main():
    given = arguments()
    spark = (
        SparkSession.builder.appName("audit of records")
        .config("spark.sql.session.timeZone", "UTC")
        # A bench that is named 0012 is not the number 12.
        .config("spark.sql.sources.partitionColumnTypeInference.enabled", "false")
        .getOrCreate()
    )
    verdicts = str(Path(given.output) / "verdicts") if "://" not in given.output else given.output + "/verdicts"
    findings = verdicts.removesuffix("verdicts") + "findings"
    # Written once and then read by column: no record is looked at twice.
    verdicts_of(spark, given).write.partitionBy("month").parquet(verdicts)
    kept = spark.read.parquet(verdicts)
    # The kinds of its findings, each by its word; their details stay where they are.
    kept = kept.withColumn("kinds", F.col("findings.kind"))
    kept.createOrReplaceTempView("verdicts")
    ends = spark.read.schema(ENDS).json(given.ends) if given.ends else spark.createDataFrame([], ENDS)
    ends.createOrReplaceTempView("ends")
    findings_of(spark).write.json(findings)
    counts = spark.read.schema("kind STRING").json(findings).groupBy("kind").count().collect()
    said = {"records": kept.count(), "findings": {row["kind"]: row["count"] for row in sorted(counts)}}
    print(json.dumps(said))
    spark.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main())
