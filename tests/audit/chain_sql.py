"""chain.sql in DuckDB over the verdicts of many small audits, held to what the audit itself says of each.

Takes folders that tests/audit/sql.rs filled: verdicts.ndjson, ends.ndjson and findings.ndjson (the audit's). The tables are
made as scale.md says. Prints how many findings of each kind were compared.
"""

import json
import re
import sys
from collections import Counter
from pathlib import Path

import duckdb

MANUAL = Path(__file__).resolve().parents[2] / "src" / "manual"
# The audit names so many numbers of one gap.
MOST_IN_A_GAP = 1000


def lines(path):
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def by_sql(folder):
    """What the page's statements and chain.sql say, as they stand."""
    connection = duckdb.connect()
    connection.execute("SET file_search_path = $folder", {"folder": str(folder)})
    (tables,) = re.findall(r"```sql\n(.*?)```", (MANUAL / "scale.md").read_text(encoding="utf-8"), re.DOTALL)
    connection.execute(tables)
    return connection.execute((MANUAL / "chain.sql").read_text(encoding="utf-8")).fetchall()


def numbers(found):
    """Missing numbers, run by run, as the audit names them."""
    return {
        (bench, number)
        for kind, bench, first, last, _ in found
        if kind == "missing"
        for number in range(first, min(last, first + MOST_IN_A_GAP - 1) + 1)
    }


def of_ids(found):
    return {(bench, first, id) for kind, bench, first, _, id in found if kind == "missing" and id is not None}


def compare(folder):
    sql = by_sql(folder)
    keys = ["kind", "bench", "sequence", "sequence", "id"]
    audit = [tuple(finding[key] for key in keys) for finding in lines(folder / "findings.ndjson")]
    told = [Counter(one for one in found if one[0] != "missing") for found in [sql, audit]]
    assert told[0] == told[1], f"{folder}: SQL {told[0] - told[1]}, the audit {told[1] - told[0]}"
    missing = [one for one in sql if one[0] == "missing"]
    assert len(missing) == len(set(missing)), (folder, Counter(missing).most_common(3))
    assert numbers(sql) == numbers(audit), (folder, numbers(sql) ^ numbers(audit))
    # Of two that are remembered for one number that is not there, the audit names the first.
    ends = {(end["bench"], end["sequence"], end["id"]) for end in lines(folder / "ends.ndjson")}
    assert of_ids(sql) <= ends and of_ids(audit) <= of_ids(sql), (folder, of_ids(sql) - ends, of_ids(audit) - of_ids(sql))
    unnamed = {one[:2] for one in ends if one[2] is None}
    places = [{one[:2] for one in of_ids(found)} - unnamed for found in [sql, audit]]
    assert places[0] == places[1], (folder, places[0] ^ places[1])
    return Counter(finding[0] for finding in audit)


counts = Counter()
for each in sys.argv[1:]:
    counts += compare(Path(each).resolve())
print(json.dumps(counts))
