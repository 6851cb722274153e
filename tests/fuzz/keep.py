"""Brings home from a campaign what is worth keeping: for each target the few inputs that together reach most of the code.

    python3 tests/fuzz/keep.py [TARGET...]

Beside what `tests/fuzz/run` has in target/fuzz/corpus, all that is in tests/fuzz/corpus is looked at again. Inputs whose name
begins with `found-` once did harm, and stay. The others are chosen one after the other, each for the most new edges.
"""

import os
import pathlib
import re
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
WORK = pathlib.Path(os.environ.get("CORNERSET_FUZZ_WORK", HERE.parents[1] / "target/fuzz"))
BUILT = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", WORK / "build")) / "x86_64-unknown-linux-gnu/release"
TARGETS = ["typed", "journal", "record", "allowed_signers", "driver", "script", "openssh", "store_files"]
# So many inputs of each target, of so many bytes, and so many together.
MOST_FILES = 40
MOST_BYTES = 16 * 1024
MOST_TOGETHER = 220 * 1024


def edges(target, folders):
    """The edges that each input reaches, as libFuzzer's own merge tells them."""
    with tempfile.TemporaryDirectory() as folder:
        control = pathlib.Path(folder, "control")
        merge = [BUILT / target, "-merge=1", f"-merge_control_file={control}", f"{folder}/none", *folders]
        pathlib.Path(folder, "none").mkdir()
        subprocess.run(merge, check=True, capture_output=True)
        lines = control.read_text().splitlines()
    count = int(lines[0])
    names = lines[2 : 2 + count]
    reached = {}
    for line in lines[2 + count :]:
        found = re.match(r"COV (\d+)((?: \d+)*)$", line)
        if found:
            reached[pathlib.Path(names[int(found[1])])] = frozenset(found[2].split())
    return reached


def keep(target):
    home = HERE / "corpus" / target
    home.mkdir(parents=True, exist_ok=True)
    campaign = WORK / "corpus" / target
    with tempfile.TemporaryDirectory() as folder:
        # A campaign that still runs takes away what it found shorter.
        copy = pathlib.Path(folder, target)
        copy.mkdir()
        for path in campaign.iterdir() if campaign.is_dir() else []:
            try:
                (copy / path.name).write_bytes(path.read_bytes())
            except FileNotFoundError:
                pass
        reached = edges(target, [home, copy])
        inputs = {path: path.read_bytes() for path in reached}
    sizes = {path: len(data) for path, data in inputs.items()}
    found = sorted(home.glob("found-*"))
    kept = {path.name: path.read_bytes() for path in found}
    # The merge tells of an edge only for the first input that reaches it.
    seen = set().union(*(reached.get(path, frozenset()) for path in found))
    left = {path: new for path, new in reached.items() if 0 < sizes[path] <= MOST_BYTES and path not in found}
    together = sum(map(len, kept.values()))
    while left and len(kept) < MOST_FILES:
        best = max(left, key=lambda path: (len(left[path] - seen), -sizes[path]))
        new = left.pop(best) - seen
        if not new:
            break
        if together + sizes[best] > MOST_TOGETHER:
            continue
        seen |= new
        together += sizes[best]
        # Hexadecimal names are libFuzzer's; those that people gave are kept.
        kept[best.name[:16] if re.fullmatch("[0-9a-f]{40}", best.name) else best.name] = inputs[best]
    for path in home.iterdir():
        path.unlink()
    for name, data in kept.items():
        (home / name).write_bytes(data)
    print(f"{target}: {len(kept)} of {len(reached)} inputs, {together} bytes, {len(seen)} edges", flush=True)


for target in sys.argv[1:] or TARGETS:
    keep(target)
