"""Counts `unsafe` in everything that the program is linked from, by crate.

    python3 tests/fuzz/unsafe.py          # every crate that holds any
    python3 tests/fuzz/unsafe.py --path   # only those that bytes from outside pass through

It reads the sources of the resolved tree (`cargo metadata`), without comments, tests and benches. A crate may hold
more than is compiled for one system: the count is an upper bound.
"""

import json
import pathlib
import re
import subprocess
import sys

# What reads or writes what nobody vouches for, and what that is built on.
PATH = {
    "JSON": "serde serde_core serde_json itoa zmij memchr ryu-js",
    "digests": "sha2 digest block-buffer crypto-common generic-array cpufeatures",
    "keys and signatures": "ssh-key ssh-encoding ssh-cipher ed25519-dalek ed25519 curve25519-dalek subtle zeroize signature "
    "p256 primeorder elliptic-curve ecdsa crypto-bigint ff group sec1 base16ct base64ct pem-rfc7468 "
    "bcrypt-pbkdf blowfish byteorder aes ctr cbc cipher inout block-padding aes-gcm ghash polyval chacha20 poly1305",
    "driver files": "toml toml_parser toml_datetime serde_spanned winnow strsim",
    "times": "chrono num-traits",
    "screens": "textwrap unicode-width console",
    "exports": "csv csv-core ryu parquet bytes half twox-hash hashbrown ahash num-bigint",
}
COMMENT = re.compile(r"//[^\n]*")
ASIDE = {"tests", "benches", "examples", "fuzz", "build.rs"}


def resolved():
    """Name and folder of every crate that the program is linked from here."""
    tree = ["cargo", "tree", "--locked", "-e", "normal", "--prefix", "none", "-f", "{p}"]
    names = {tuple(line.split()[:2]) for line in subprocess.check_output(tree, text=True).splitlines()}
    metadata = json.loads(subprocess.check_output(["cargo", "metadata", "--locked", "--format-version", "1"], text=True))
    for package in metadata["packages"]:
        if package["source"] and (package["name"], "v" + package["version"]) in names:
            yield package["name"], package["version"], pathlib.Path(package["manifest_path"]).parent


def count(folder):
    """How often `unsafe` stands in the code of a crate."""
    files = [path for path in folder.rglob("*.rs") if not ASIDE & set(path.relative_to(folder).parts)]
    texts = (COMMENT.sub("", path.read_text(encoding="utf-8", errors="replace")) for path in files)
    return sum(len(re.findall(r"\bunsafe\b(?!_)", text)) for text in texts)


def main():
    counts = {name: (count(folder), version) for name, version, folder in resolved()}
    if "--path" in sys.argv[1:]:
        for what, names in PATH.items():
            held = [(counts[name], name) for name in names.split() if name in counts]
            some = ", ".join(f"{name} {found}" for (found, _), name in sorted(held, reverse=True) if found)
            print(f"{what}: {some or 'none'}; none in {sum(1 for (found, _), _ in held if not found)} of {len(held)}")
        return
    for found, name, version in sorted(((found, name, version) for name, (found, version) in counts.items()), reverse=True):
        if found:
            print(f"{found:6} {name} {version}")
    print(f"none in {sum(1 for found, _ in counts.values() if not found)} of {len(counts)} crates")


main()
