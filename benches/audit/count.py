"""How long DuckDB takes for counts and mean corners by technician and verdict over records as NDJSON: seconds, the second of two."""

import sys
import time

import duckdb

QUERY = """
    select technician, outcome.verdict, count(*), avg(outcome.corner_hz)
    from read_ndjson_auto(?, maximum_object_size = 16777216)
    group by all
"""

for _ in range(2):
    start = time.perf_counter()
    duckdb.execute(QUERY, [sys.argv[1]]).fetchall()
    took = time.perf_counter() - start
print(took)
