-- What the chains of all benches show: the same text for Spark SQL and for DuckDB, two views and a query.
--
-- Reads two tables:
--   verdicts  a row for each line that `cornerset audit --stream` printed
--   ends      the last record of each bench as its store remembers it (`chain.json`), or as the audit before said it
--             (`chains` in `cornerset audit --json`): bench, sequence, digest, id (null where only the digest is known)
-- Gives a row for each finding: kind, as `cornerset audit` words it; bench; sequence, and for missing numbers the last of
-- a run in last_sequence; id. `unknown-signer` stands for every signature that no valid line of the trust list covers.

-- Copies of one record: the one that stands best comes first, so that a changed copy does not hide a whole one.
CREATE OR REPLACE TEMPORARY VIEW ranked AS
SELECT bench, sequence, id, previous, digest, stated_digest, signer, intact, trusted, recomputes, practice, closed_at,
    last_at,
    ROW_NUMBER() OVER (
        PARTITION BY id
        ORDER BY
            CASE WHEN trusted THEN 0 WHEN intact AND signer IS NOT NULL THEN 1 WHEN intact THEN 2 ELSE 3 END,
            digest, stated_digest
    ) AS copy
FROM verdicts
-- Practice is no shop's, and its benches are named alike everywhere.
WHERE readable AND NOT practice;

-- One pass over each bench in the order of its numbers.
CREATE OR REPLACE TEMPORARY VIEW steps AS
SELECT ranked.*,
    LAG(sequence) OVER bench_order AS before_sequence,
    LAG(digest) OVER bench_order AS before_digest,
    LAG(stated_digest) OVER bench_order AS before_stated,
    LAG(closed_at) OVER bench_order AS before_closed_at,
    LEAD(sequence) OVER bench_order AS after_sequence
FROM ranked
WHERE copy = 1
WINDOW bench_order AS (PARTITION BY bench ORDER BY sequence, id);

-- From here on there are few: records that do not follow the one just before.
WITH doubtful AS (
    SELECT * FROM steps
    WHERE intact AND sequence > 1 AND previous IS NOT NULL
        AND NOT COALESCE(before_sequence = sequence - 1 AND previous IN (before_digest, before_stated), FALSE)
),
neighbours AS (
    SELECT doubtful.bench, doubtful.sequence, doubtful.id, doubtful.digest, doubtful.trusted, doubtful.last_at,
        other.id AS other_id, other.digest AS other_digest, other.trusted AS other_trusted,
        other.closed_at AS other_closed_at, other.intact AS other_intact,
        doubtful.previous IN (other.digest, other.stated_digest) AS is_named
    FROM doubtful
    JOIN steps AS other ON other.bench = doubtful.bench AND other.sequence = doubtful.sequence - 1
),
broken AS (
    SELECT bench, sequence, id FROM neighbours
    GROUP BY bench, sequence, id
    HAVING MAX(CASE WHEN is_named THEN 1 ELSE 0 END) = 0 AND MIN(CASE WHEN other_intact THEN 1 ELSE 0 END) = 1
),
-- One of the two is not what it was. A trusted signature vouches for a record, and so does what is remembered of it, and
-- the record after it.
parties AS (
    SELECT neighbours.bench, neighbours.sequence, neighbours.id, neighbours.id AS party, neighbours.digest,
        neighbours.trusted, neighbours.sequence AS place
    FROM neighbours JOIN broken ON broken.id = neighbours.id
    UNION
    SELECT neighbours.bench, neighbours.sequence, neighbours.id, neighbours.other_id, neighbours.other_digest,
        neighbours.other_trusted, neighbours.sequence - 1
    FROM neighbours JOIN broken ON broken.id = neighbours.id
),
vouched AS (
    SELECT parties.bench, parties.sequence, parties.id, parties.party,
        MAX(CASE WHEN parties.trusted OR next.id IS NOT NULL OR ends.bench IS NOT NULL THEN 1 ELSE 0 END) AS is_vouched
    FROM parties
    LEFT JOIN steps AS next
        ON next.bench = parties.bench AND next.sequence = parties.place + 1 AND next.previous = parties.digest
        AND next.intact
    LEFT JOIN ends
        ON ends.bench = parties.bench AND ends.sequence = parties.place AND ends.digest = parties.digest
    GROUP BY parties.bench, parties.sequence, parties.id, parties.party
),
accused AS (
    SELECT bench, sequence, id AS accuser,
        CASE
            WHEN MAX(CASE WHEN party <> id THEN is_vouched END) = 1 AND MAX(CASE WHEN party = id THEN is_vouched END) = 0
                THEN id
            ELSE COALESCE(
                MIN(CASE WHEN party <> id AND is_vouched = 0 THEN party END), MIN(CASE WHEN party <> id THEN party END)
            )
        END AS id
    FROM vouched
    GROUP BY bench, sequence, id
),
-- What is remembered against what stands there.
remembered AS (
    SELECT ends.bench, ends.sequence, ends.id AS end_id, ends.digest AS end_digest, steps.id, steps.digest,
        steps.intact, steps.trusted,
        MAX(CASE WHEN ends.id = steps.id OR (ends.id IS NULL AND ends.digest = steps.digest) THEN 1 ELSE 0 END)
            OVER (PARTITION BY ends.bench, ends.sequence, ends.digest) AS is_there
    FROM ends
    JOIN steps ON steps.bench = ends.bench AND steps.sequence = ends.sequence
),
lasts AS (
    SELECT bench, MAX(sequence) AS sequence FROM steps GROUP BY bench
),
last_ends AS (
    SELECT bench, MAX(sequence) AS sequence FROM ends GROUP BY bench
),
findings AS (
    SELECT 'unreadable' AS kind, bench, sequence, sequence AS last_sequence, id FROM verdicts WHERE NOT readable
    UNION ALL
    SELECT 'altered', bench, sequence, sequence, id FROM ranked WHERE NOT intact
    UNION ALL
    SELECT 'altered', bench, sequence, sequence, id FROM steps
    WHERE intact
        AND (sequence = 0 OR (sequence = 1 AND previous IS NOT NULL) OR (sequence > 1 AND previous IS NULL))
    UNION ALL
    SELECT 'altered', steps.bench, steps.sequence, steps.sequence, steps.id
    FROM accused JOIN steps ON steps.id = accused.id
    UNION ALL
    SELECT 'altered', bench, sequence, sequence, id FROM remembered
    WHERE intact AND ((end_id = id AND end_digest <> digest) OR (is_there = 0 AND NOT trusted))
    UNION ALL
    -- Numbers that no record has, run by run.
    SELECT 'missing', bench, COALESCE(before_sequence, 0) + 1, sequence - 1, CAST(NULL AS STRING) FROM steps
    WHERE sequence > COALESCE(before_sequence, 0) + 1
    UNION ALL
    -- A bench that was rolled back: its end is remembered, and nothing reaches so far.
    SELECT 'missing', last_ends.bench, COALESCE(lasts.sequence, 0) + 1, last_ends.sequence, CAST(NULL AS STRING)
    FROM last_ends LEFT JOIN lasts ON lasts.bench = last_ends.bench
    WHERE last_ends.sequence > COALESCE(lasts.sequence, 0)
    UNION ALL
    SELECT DISTINCT 'missing', bench, sequence, sequence, end_id FROM remembered WHERE is_there = 0
    UNION ALL
    SELECT 'repeated', bench, sequence, sequence, id FROM steps
    WHERE sequence = before_sequence OR sequence = after_sequence
    UNION ALL
    SELECT
        CASE
            WHEN other.digest = steps.digest AND other.stated_digest = steps.stated_digest
                AND other.signer IS NOT DISTINCT FROM steps.signer AND other.intact = steps.intact
                THEN 'copied'
            ELSE 'repeated'
        END,
        other.bench, other.sequence, other.sequence, other.id
    FROM ranked AS other JOIN steps ON steps.id = other.id
    WHERE other.copy > 1
    UNION ALL
    SELECT 'times-backwards', bench, sequence, sequence, id FROM steps
    WHERE intact AND before_sequence = sequence - 1 AND previous IN (before_digest, before_stated)
        AND before_closed_at > last_at + INTERVAL '10' MINUTE
    UNION ALL
    SELECT 'times-backwards', bench, sequence, sequence, id FROM neighbours
    WHERE is_named AND other_closed_at > last_at + INTERVAL '10' MINUTE
    UNION ALL
    SELECT 'unknown-signer', bench, sequence, sequence, id FROM steps
    WHERE signer IS NOT NULL AND NOT trusted AND NOT practice
    UNION ALL
    SELECT 'unsigned', bench, sequence, sequence, id FROM steps WHERE intact AND signer IS NULL AND NOT practice
    UNION ALL
    SELECT 'recomputed-differently', bench, sequence, sequence, id FROM steps WHERE intact AND NOT recomputes
)
SELECT DISTINCT kind, bench, sequence, last_sequence, id
FROM findings
ORDER BY kind, bench, sequence, id
