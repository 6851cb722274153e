//! The data dictionary: what stands in `columns.md`.

use super::table::{Rows, columns};

/// Name, type, unit and meaning of every column of a table. The unit is empty where there is none.
pub fn dictionary(rows: Rows) -> Vec<(&'static str, &'static str, &'static str, &'static str)> {
    columns(rows).iter().map(|column| (column.name, column.kind.word(), column.unit, column.meaning)).collect()
}

const HEAD: &str = "\
Records as rows, for spreadsheets and warehouses: three tables, each as NDJSON, CSV or Parquet.

A column has the name of its key in the record; nested keys are joined with `_`, so `outcome.corner_hz` is
`outcome_corner_hz`. The same name means the same in every table. Tables are joined by `id`; a reading is found by `id`
and `number`, in `pairs` by `event` too.

| type | NDJSON | CSV | Parquet |
| --- | --- | --- | --- |
| text | a string, exact | see below | UTF-8, exact |
| number | as in the record | the same digits | DOUBLE |
| whole number | as in the record | the same digits | INT64 |
| yes/no | `true`, `false` | `true`, `false` | BOOLEAN |
| moment | RFC 3339 with its offset | the same | TIMESTAMP in milliseconds, UTC |
| null | `null` | an empty field | null |

Text in CSV is made safe for spreadsheets and terminals. A character that cannot be seen or that acts is written as its
code point, `<U+001B>`. Text that a spreadsheet could take for a formula (its first character that can be seen is `=`,
`+`, `-`, `@` or a form of these, or a tab or a line end comes before it) gets a single quote `'` in front; so does text
that starts with one, so that taking one away from every text that starts with it gives the text again. An empty text is
an empty field too. Numbers never get a quote. For exact text take NDJSON or Parquet. A comma separates fields: a
program that is told to split at another character splits texts, and finds starts of formulas inside them.
";

/// The whole page, as Markdown.
pub fn dictionary_page() -> String {
    let mut page = HEAD.to_owned();
    for rows in Rows::ALL {
        page.push_str(&format!("\n# `{}`\n\n{}\n\n", rows.word(), rows.meaning()));
        page.push_str("| column | type | unit | null | meaning |\n| --- | --- | --- | --- | --- |\n");
        for column in columns(rows) {
            let null = if column.nullable { "may be" } else { "" };
            let cells = [&format!("`{}`", column.name), column.kind.word(), column.unit, null, column.meaning];
            page.push_str(&format!("| {} |\n", cells.join(" | ")));
        }
    }
    page
}
