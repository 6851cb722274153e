"""What the scripts beside this file have in common: writing a table with its header, and checking one against it.

Without an argument a script writes its table. With --check it computes everything again and compares with the table
as it stands; it exits 1 and says where they differ.
"""

import datetime
import pathlib
import sys

import numpy
import scipy

# Relative, and absolute below 1: another version of a library may round its last bits otherwise, nothing more.
SAME = 1e-10


def header(title, source):
    """The lines at the top of a table."""
    return [
        f"# {title}",
        *(f"# {line}" for line in source),
        f"# made with scipy {scipy.__version__}, numpy {numpy.__version__}"
        f" on {datetime.date.today().isoformat()} by the Cornerset developers",
    ]


def rows(text):
    """The lines of a table that are no header."""
    return [line for line in text.splitlines() if line.strip() and not line.startswith("#")]


def differs(here, there):
    """Where two values of a table differ, as text; None where they do not."""
    if isinstance(here, dict) and isinstance(there, dict):
        if here.keys() != there.keys():
            return f"keys {sorted(here)} against {sorted(there)}"
        pairs = [(key, here[key], there[key]) for key in here]
    elif isinstance(here, list) and isinstance(there, list):
        if len(here) != len(there):
            return f"{len(here)} entries against {len(there)}"
        pairs = [(index, a, b) for index, (a, b) in enumerate(zip(here, there))]
    elif type(here) in (int, float) and type(there) in (int, float):
        same = abs(here - there) <= SAME * max(1.0, abs(here), abs(there))
        return None if same else f"{here!r} against {there!r}"
    else:
        return None if here == there else f"{here!r} against {there!r}"
    for key, a, b in pairs:
        inner = differs(a, b)
        if inner is not None:
            return f"{key}: {inner}"
    return None


def main(script, table, title, source, lines, read):
    """Writes the table, or checks it: `lines` are its rows as text, `read` turns a row into values."""
    path = pathlib.Path(script).with_name(table)
    if sys.argv[1:] == ["--check"]:
        committed = rows(path.read_text(encoding="utf-8"))
        if len(committed) != len(lines):
            sys.exit(f"{table}: {len(committed)} rows, computed {len(lines)}")
        for number, (row, line) in enumerate(zip(committed, lines), start=1):
            difference = differs(read(row), read(line))
            if difference is not None:
                sys.exit(f"{table}, row {number}: {difference}\n  {row}")
        print(f"{table}: {len(lines)} rows as computed now")
    elif sys.argv[1:]:
        sys.exit(f"{pathlib.Path(script).name} takes --check or nothing")
    else:
        path.write_text("\n".join([*header(title, source), *lines]) + "\n", encoding="utf-8")
        print(f"{table}: {len(lines)} rows written")
