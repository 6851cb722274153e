-- What the records of all benches show together: the same text for Spark SQL and for DuckDB, two views and a query.
--
-- Reads two tables:
--   verdicts  a row for each line that `cornerset audit --stream` printed, and `kinds`, the kinds of its findings as an array
--   ends      the last record of each bench as its store remembers it (`chain.json`), or as the audit before said it
--             (`chains` in `cornerset audit --json`): bench, sequence, digest, id (null where only the digest is known)
-- Gives a row for each finding: kind, as `cornerset audit` words it; bench; sequence, and for missing numbers the last of
-- a run in last_sequence; id. scale.md says in what it differs from `cornerset audit`.

-- Copies of one record: the one that stands best comes first, so that a changed copy does not hide a whole one; of those
-- that stand alike, the one that the next record or the store's memory names. No WITH in a view: Spark does not find one
-- again that it has kept.
CREATE OR REPLACE TEMPORARY VIEW ranked AS
SELECT /*+ BROADCAST(named) */ verdicts.bench, verdicts.sequence, verdicts.id, verdicts.previous, verdicts.digest,
    verdicts.stated_digest, verdicts.signature_digest, verdicts.intact, verdicts.trusted, verdicts.practice,
    verdicts.scripted, verdicts.closed_at_ms, verdicts.last_at_ms, verdicts.kinds,
    ROW_NUMBER() OVER (
        PARTITION BY verdicts.id
        ORDER BY
            CASE
                WHEN verdicts.trusted THEN 0
                WHEN verdicts.intact AND verdicts.signer IS NOT NULL THEN 1
                WHEN verdicts.intact THEN 2
                ELSE 3
            END,
            CASE WHEN named.id IS NULL THEN 1 ELSE 0 END,
            verdicts.digest, verdicts.stated_digest, COALESCE(verdicts.signature_digest, '')
    ) AS copy
FROM verdicts
LEFT JOIN (
    SELECT /*+ BROADCAST(copies) */ DISTINCT copies.id, copies.digest
    FROM (
        SELECT bench, sequence - 1 AS sequence, previous AS digest FROM verdicts WHERE intact
        UNION ALL
        SELECT bench, sequence, digest FROM ends
    ) AS told
    JOIN (
        SELECT /*+ BROADCAST(differing) */ verdicts.id, verdicts.bench, verdicts.sequence, verdicts.digest
        FROM verdicts
        JOIN (
            SELECT id FROM verdicts WHERE readable GROUP BY id HAVING MIN(digest) <> MAX(digest)
        ) AS differing ON differing.id = verdicts.id
        WHERE verdicts.readable
    ) AS copies ON copies.bench = told.bench AND copies.sequence = told.sequence AND copies.digest = told.digest
) AS named ON named.id = verdicts.id AND named.digest = verdicts.digest
WHERE verdicts.readable;

-- One pass over each bench in the order of its numbers.
CREATE OR REPLACE TEMPORARY VIEW steps AS
SELECT ranked.*,
    LAG(sequence) OVER bench_order AS before_sequence,
    LAG(sequence, 2) OVER bench_order AS second_before_sequence,
    LAG(digest) OVER bench_order AS before_digest,
    LAG(stated_digest) OVER bench_order AS before_stated,
    LAG(closed_at_ms) OVER bench_order AS before_closed_at_ms,
    LEAD(sequence) OVER bench_order AS after_sequence
FROM ranked
WHERE copy = 1
WINDOW bench_order AS (PARTITION BY bench ORDER BY sequence, id);

-- The views by other names, so that an engine that keeps what it looks at more than once (DuckDB) works them out once.
WITH placed AS (
    SELECT * FROM steps
),
every_copy AS (
    SELECT * FROM ranked
),
-- From here on there are few: records that do not follow the one just before, or have several before them.
doubtful AS (
    SELECT * FROM placed
    WHERE intact AND sequence > 1 AND previous IS NOT NULL
        AND NOT COALESCE(
            before_sequence = sequence - 1 AND previous IN (before_digest, before_stated)
                AND COALESCE(second_before_sequence < sequence - 1, TRUE),
            FALSE
        )
),
pairs AS (
    SELECT doubtful.bench, doubtful.sequence, doubtful.id, doubtful.digest, doubtful.trusted, doubtful.last_at_ms,
        other.id AS other_id, other.digest AS other_digest, other.trusted AS other_trusted,
        other.closed_at_ms AS other_closed_at_ms, other.intact AS other_intact,
        doubtful.previous IN (other.digest, other.stated_digest) AS is_named
    FROM doubtful
    JOIN placed AS other ON other.bench = doubtful.bench AND other.sequence = doubtful.sequence - 1
),
-- Of several that it names, by what they say or by what they say of themselves, the first one counts.
neighbours AS (
    SELECT pairs.*,
        ROW_NUMBER() OVER (PARTITION BY id ORDER BY CASE WHEN is_named THEN 0 ELSE 1 END, other_id) AS nearness
    FROM pairs
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
    LEFT JOIN placed AS next
        ON next.bench = parties.bench AND next.sequence = parties.place + 1 AND next.previous = parties.digest
        AND next.intact
    LEFT JOIN ends
        ON ends.bench = parties.bench AND ends.digest = parties.digest
        AND (ends.id = parties.party OR (ends.id IS NULL AND ends.sequence = parties.place))
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
    SELECT ends.bench, ends.sequence, ends.id AS end_id, ends.digest AS end_digest, placed.id, placed.digest,
        placed.intact, placed.trusted,
        MAX(CASE WHEN ends.id = placed.id OR (ends.id IS NULL AND ends.digest = placed.digest) THEN 1 ELSE 0 END)
            OVER (PARTITION BY ends.bench, ends.sequence, ends.digest, ends.id) AS is_there
    FROM ends
    LEFT JOIN placed ON placed.bench = ends.bench AND placed.sequence = ends.sequence
),
lasts AS (
    SELECT bench, MAX(sequence) AS sequence FROM placed GROUP BY bench
),
last_ends AS (
    SELECT bench, MAX(sequence) AS sequence FROM ends GROUP BY bench
),
-- A record that is altered by itself is found out already.
altered_by_others AS (
    SELECT bench, sequence, id FROM placed
    WHERE intact
        AND (sequence = 0 OR (sequence = 1 AND previous IS NOT NULL) OR (sequence > 1 AND previous IS NULL))
    UNION
    SELECT placed.bench, placed.sequence, placed.id FROM accused JOIN placed ON placed.id = accused.id
    UNION
    SELECT bench, sequence, id FROM remembered
    WHERE intact AND ((end_id = id AND end_digest <> digest) OR (is_there = 0 AND NOT trusted))
),
-- What is out of line in one record: the audit said it in its verdict. Of `scripted` and `practice` it cannot know there
-- whether others on the bench were typed by hand, and whether there are real ones.
noted AS (
    SELECT EXPLODE(kinds) AS kind, bench, sequence, id FROM placed
),
other_copies AS (
    SELECT other.bench, other.sequence, other.id, other.kinds,
        other.digest = placed.digest AND other.stated_digest = placed.stated_digest
            AND other.signature_digest IS NOT DISTINCT FROM placed.signature_digest AS is_same
    FROM every_copy AS other JOIN placed ON placed.id = other.id
    WHERE other.copy > 1
),
noted_of_copies AS (
    SELECT EXPLODE(kinds) AS kind, bench, sequence, id FROM other_copies WHERE NOT is_same
),
findings AS (
    SELECT 'unreadable' AS kind, bench, sequence, sequence AS last_sequence, id FROM verdicts WHERE NOT readable
    UNION ALL
    SELECT kind, bench, sequence, sequence, id FROM noted
    UNION ALL
    -- Of a changed copy, all that makes a record count for nothing.
    SELECT kind, bench, sequence, sequence, id FROM noted_of_copies
    WHERE kind IN ('altered', 'unknown-signer', 'key-not-valid', 'unchecked-signature', 'recomputed-differently')
    UNION ALL
    SELECT CASE WHEN is_same THEN 'copied' ELSE 'repeated' END, bench, sequence, sequence, id FROM other_copies
    UNION ALL
    SELECT 'scripted', bench, sequence, sequence, id FROM placed
    WHERE scripted AND NOT practice AND bench IN (SELECT bench FROM placed WHERE NOT scripted AND NOT practice)
    UNION ALL
    SELECT 'practice', bench, sequence, sequence, id FROM placed
    WHERE practice AND (SELECT COUNT(*) FROM placed WHERE NOT practice) > 0
    UNION ALL
    SELECT 'altered', bench, sequence, sequence, id FROM altered_by_others
    UNION ALL
    -- Numbers that no record has, run by run.
    SELECT 'missing', bench, COALESCE(before_sequence, 0) + 1, sequence - 1, CAST(NULL AS STRING) FROM placed
    WHERE sequence > COALESCE(before_sequence, 0) + 1
    UNION ALL
    -- A bench that was rolled back: its end is remembered, and nothing reaches so far.
    SELECT 'missing', last_ends.bench, COALESCE(lasts.sequence, 0) + 1, last_ends.sequence, CAST(NULL AS STRING)
    FROM last_ends LEFT JOIN lasts ON lasts.bench = last_ends.bench
    WHERE last_ends.sequence > COALESCE(lasts.sequence, 0)
    UNION ALL
    -- A record that is remembered and not there, by its id, or because another one has its number.
    SELECT DISTINCT 'missing', bench, sequence, sequence, end_id FROM remembered
    WHERE is_there = 0 AND (end_id IS NOT NULL OR id IS NOT NULL)
    UNION ALL
    SELECT 'repeated', bench, sequence, sequence, id FROM placed
    WHERE sequence = before_sequence OR sequence = after_sequence
    UNION ALL
    -- Ten minutes: a session may wait for its key while others are closed.
    SELECT 'times-backwards', bench, sequence, sequence, id FROM placed
    WHERE intact AND sequence > 1 AND before_sequence = sequence - 1 AND previous IN (before_digest, before_stated)
        AND COALESCE(second_before_sequence < sequence - 1, TRUE)
        AND before_closed_at_ms - last_at_ms > 600000
    UNION ALL
    SELECT 'times-backwards', bench, sequence, sequence, id FROM neighbours
    WHERE is_named AND nearness = 1 AND other_closed_at_ms - last_at_ms > 600000
)
SELECT kind, bench, sequence, last_sequence, id
FROM findings
ORDER BY kind, bench, sequence, id
